// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"
#include "custody/find.h"

#include <QJsonArray>

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

Result<FindQuery> queryOf(const Arguments &a)
{
    FindQuery find;
    find.text = a.positional().mid(1).join(QLatin1Char(' '));
    find.holder = a.text(q("holder"));
    find.place = a.text(q("place"));
    find.slot = a.text(q("slot"));
    for (const auto &[flag, into] : {std::pair{q("dive"), &find.dive}, std::pair{q("limit"), &find.limit}}) {
        if (!a.has(flag))
            continue;
        const auto number = a.whole(flag);
        if (!number)
            return number.error();
        *into = *number;
    }
    if (a.has(q("due-before"))) {
        const auto t = a.time(q("due-before"));
        if (!t)
            return t.error();
        find.dueBefore = *t;
    }
    if (find.limit < 1)
        return fail(ErrorKind::Usage, q("--limit needs a number of 1 or more."));
    return find;
}

QString lineOf(const FoundItem &f)
{
    QStringList parts{f.names.isEmpty() ? f.what : f.what + QStringLiteral(" (%1)").arg(f.names)};
    for (const QString &part : {f.words, f.slot.isEmpty() ? QString() : QStringLiteral("slot ") + f.slot,
                                f.place, f.holder.isEmpty() ? QString() : QStringLiteral("with ") + f.holder,
                                f.state == q("held") ? QString() : f.state,
                                f.due ? QStringLiteral("due ") + toIso(*f.due) : QString()}) {
        if (!part.isEmpty())
            parts << part;
    }
    return QStringLiteral("%1  %2\n").arg(f.id, -18).arg(parts.join(QStringLiteral("; ")));
}

Done find(const Arguments &a, const World &world)
{
    const auto query = queryOf(a);
    if (!query)
        return query.error();
    const auto rules = HoldingRules::load();
    if (!rules)
        return rules.error();
    const auto file = openForReading(a.positional().at(0));
    if (!file)
        return file.error();
    const auto found = findItems(file->db(), *query, *rules, world.now());
    if (!found)
        return found.error();
    if (a.has(q("json"))) {
        QJsonArray items;
        for (const FoundItem &f : *found) {
            QJsonObject o{{q("id"), f.id},       {q("dive"), f.dive},     {q("slot"), f.slot},
                          {q("what"), f.what},   {q("names"), f.names},   {q("words"), f.words},
                          {q("place"), f.place}, {q("holder"), f.holder}, {q("state"), f.state}};
            if (f.due)
                o.insert(q("due"), toIso(*f.due));
            items.append(o);
        }
        outJson(world, {{q("items"), items}, {q("limit"), query->limit}});
        return {};
    }
    for (const FoundItem &f : *found)
        world.out(lineOf(f));
    if (found->empty())
        world.out(q("Nothing fits.\n"));
    else if (!query->dueBefore && static_cast<int>(found->size()) == query->limit)
        world.out(QStringLiteral("The first %1; --limit N shows more.\n").arg(query->limit));
    return {};
}

} // namespace

QList<Verb> findVerbs()
{
    return {{q("find"),
             {q("FILE"), q("[WORD...]")},
             {{q("holder"), q("WORDS"), q("who has it")},
              {q("place"), q("WORDS"), q("where it is stored")},
              {q("slot"), q("SLOT"), q("the slot it lay in")},
              {q("dive"), q("N"), q("only this dive")},
              {q("due-before"), q("UTC"), q("a holding limit ends by then and is not met; least time first")},
              {q("limit"), q("N"), q("at most so many; 50 without it")},
              jsonFlag()},
             q("Finds samples and specimens by id, words, slot, place, holder or due time."),
             q("All words must fit, each from its beginning, in any order."),
             find}};
}

} // namespace holdfast::cli
