// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/describe.h"

#include "base/ids.h"
#include "dive/act_steps.h"
#include "dive/one_line.h"
#include "dive/readers.h"
#include "dive/verbs.h"

namespace holdfast
{

namespace
{

QString s(const char *text)
{
    return QString::fromLatin1(text);
}

/// Whether an id was given that stands on a label.
Result<bool> hasIds(const Database &db)
{
    auto row = query(db.connection(),
                     s("SELECT EXISTS (SELECT 1 FROM sample) OR EXISTS (SELECT 1 FROM blank_label)"));
    if (!row)
        return row.error();
    return row->next() && row->integer(0) != 0;
}

Done cruiseDescribed(const Database &db, const Entry &e)
{
    const QJsonObject b = e.bodyObject();
    for (const auto &[key, sql] : {std::pair{s("title"), s("UPDATE cruise SET title=?")},
                                   std::pair{s("idPattern"), s("UPDATE cruise SET id_pattern=?")}}) {
        if (!b.contains(key))
            continue;
        const QString text = b.value(key).toString();
        if (auto done = execSql(db.connection(), sql, {text.isNull() ? s("") : text}); !done)
            return done;
    }
    return {};
}

/// The site has no table: papers read the few entries that say it.
Done diveDescribed(const Database &, const Entry &)
{
    return {};
}

} // namespace

Done titleCruise(CruiseFile &file, const Act &act, const QString &title)
{
    const QString text = title.simplified();
    if (auto line = wantOneLine(title.trimmed(), s("The cruise's title")); !line)
        return line;
    return file.write([&]() -> Done {
        const auto cruise = readCruise(file.db());
        if (!cruise)
            return cruise.error();
        if (cruise->title == text)
            return {};
        return recorded(file, act, verb::cruiseDescribed, {{s("cruise"), cruise->code}, {s("title"), text}});
    });
}

Done setIdPattern(CruiseFile &file, const Act &act, const QString &pattern)
{
    if (auto good = IdPattern::fromText(pattern.trimmed()); !good)
        return good.error();
    return file.write([&]() -> Done {
        const auto cruise = readCruise(file.db());
        if (!cruise)
            return cruise.error();
        if (cruise->idPattern == pattern.trimmed())
            return {};
        const auto given = hasIds(file.db());
        if (!given)
            return given.error();
        if (*given)
            return fail(ErrorKind::Refused,
                        QStringLiteral("Samples or labels have ids by the pattern %1 already; ids never "
                                       "change.")
                            .arg(cruise->idPattern));
        return recorded(file, act, verb::cruiseDescribed,
                        {{s("cruise"), cruise->code}, {s("idPattern"), pattern.trimmed()}});
    });
}

Done nameSite(CruiseFile &file, const Act &act, int dive, const QString &site)
{
    const QString text = site.simplified();
    if (auto line = wantOneLine(site.trimmed(), s("The site")); !line)
        return line;
    return file.write([&]() -> Done {
        if (auto known = readDive(file.db(), dive); !known)
            return known.error();
        const auto now = readSite(file.db(), dive);
        if (!now)
            return now.error();
        if (*now == text)
            return {};
        return recorded(file, act, verb::diveDescribed, {{s("dive"), dive}, {s("site"), text}});
    });
}

Result<QString> readSite(const Database &db, int dive)
{
    QString site;
    const auto read = forEachEntryWith(db, {verb::diveDescribed}, [&](const Entry &e) -> Done {
        const QJsonObject b = e.bodyObject();
        if (b.value(s("dive")).toInteger() == dive)
            site = b.value(s("site")).toString();
        return {};
    });
    if (!read)
        return read.error();
    return site;
}

VerbRules describeVerbRules()
{
    return {{verb::cruiseDescribed, cruiseDescribed}, {verb::diveDescribed, diveDescribed}};
}

} // namespace holdfast
