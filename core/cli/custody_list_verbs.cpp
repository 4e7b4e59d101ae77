// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"
#include "custody/custody_book.h"
#include "custody/custody_lists.h"
#include "custody/hand_over.h"
#include "custody/history.h"

#include <QJsonArray>

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

QJsonObject periodJson(const CustodyPeriod &p)
{
    static const QHash<int, QString> states{{static_cast<int>(PeriodState::Nobody), q("nobody")},
                                            {static_cast<int>(PeriodState::InVehicle), q("in the vehicle")},
                                            {static_cast<int>(PeriodState::Held), q("held")},
                                            {static_cast<int>(PeriodState::InTransit), q("in transit")},
                                            {static_cast<int>(PeriodState::Ended), q("ended")}};
    QJsonObject o{{q("state"), states.value(static_cast<int>(p.state))},
                  {q("holder"), p.holder},
                  {q("basis"), p.basis},
                  {q("place"), p.place},
                  {q("from"), toIso(p.from)},
                  {q("entry"), p.ref}};
    if (p.to)
        o.insert(q("to"), toIso(*p.to));
    return o;
}

Done whereis(const Arguments &a, const World &world)
{
    const auto file = openForReading(a.positional().at(0));
    if (!file)
        return file.error();
    for (const QString &typed : a.positional().mid(1)) {
        const auto item = readItem(file->db(), typed);
        if (!item)
            return item.error();
        const auto now = custodyNow(file->db(), item->id);
        if (!now)
            return now.error();
        world.out(QStringLiteral("%1  %2, since %3\n").arg(item->id, custodyText(*now), toIso(now->from)));
    }
    return {};
}

/// Who has what: holder, then items in order of id.
Done holdings(const Arguments &a, const World &world)
{
    const auto file = openForReading(a.positional().at(0));
    if (!file)
        return file.error();
    const auto book = CustodyBook::readAll(file->db());
    if (!book)
        return book.error();
    const QString only = a.text(q("holder")).simplified();
    QMap<QString, std::vector<std::pair<QString, CustodyPeriod>>> byHolder;
    for (const QString &id : book->ids()) {
        const CustodyChain chain = book->chainOf(id);
        const CustodyPeriod *now = chain.last();
        if (!now || (!only.isEmpty() && now->holder.compare(only, Qt::CaseInsensitive) != 0))
            continue;
        const QString holder = now->state == PeriodState::Ended ? q("(ended)")
                               : now->holder.isEmpty()          ? q("(nobody is recorded)")
                                                                : now->holder;
        byHolder[holder].emplace_back(id, *now);
    }
    if (a.has(q("json"))) {
        QJsonArray holders;
        for (auto it = byHolder.begin(); it != byHolder.end(); ++it) {
            QJsonArray items;
            for (const auto &[id, period] : it.value()) {
                QJsonObject o = periodJson(period);
                o.insert(q("id"), id);
                items.append(o);
            }
            holders.append(QJsonObject{{q("holder"), it.key()}, {q("items"), items}});
        }
        outJson(world, {{q("holders"), holders}});
        return {};
    }
    if (byHolder.isEmpty())
        world.out(q("Nothing.\n"));
    for (auto it = byHolder.begin(); it != byHolder.end(); ++it) {
        world.out(QStringLiteral("%1: %2\n").arg(it.key()).arg(it.value().size()));
        for (const auto &[id, period] : it.value())
            world.out(QStringLiteral("  %1  %2, since %3\n")
                          .arg(id, -18)
                          .arg(custodyText(period), toIso(period.from)));
    }
    return {};
}

Done handOvers(const Arguments &a, const World &world)
{
    const auto file = openForReading(a.positional().at(0));
    if (!file)
        return file.error();
    const auto all = readHandOvers(file->db(), a.has(q("open")));
    if (!all)
        return all.error();
    if (all->empty())
        world.out(a.has(q("open")) ? q("Nothing is in transit.\n") : q("No hand-over yet.\n"));
    for (const HandOverInfo &h : *all) {
        const QStringList open = h.open();
        world.out(
            QStringLiteral("%1  %2  %3 -> %4  %5: %6 accepted, %7 refused, %8 withdrawn, %9 in transit\n")
                .arg(h.code, toIso(h.time), h.from, h.to, h.purpose)
                .arg(h.accepted.size())
                .arg(h.refused.size())
                .arg(h.withdrawn.size())
                .arg(open.size()));
        if (!open.isEmpty())
            world.out(QStringLiteral("    in transit: %1\n").arg(open.join(QStringLiteral(", "))));
    }
    return {};
}

QJsonObject historyJson(const History &history)
{
    QJsonArray lines;
    for (const HistoryLine &l : history.lines)
        lines.append(QJsonObject{{q("at"), toIso(l.at)},
                                 {q("written"), toIso(l.written)},
                                 {q("who"), l.who},
                                 {q("entry"), l.ref},
                                 {q("verb"), l.verb},
                                 {q("about"), l.about},
                                 {q("sentence"), l.sentence},
                                 {q("struck"), QJsonArray::fromStringList(l.struck)}});
    QJsonArray periods;
    for (const CustodyPeriod &p : history.custody.periods)
        periods.append(periodJson(p));
    QJsonArray findings;
    for (const CustodyFinding &f : history.custody.findings)
        findings.append(QJsonObject{{q("kind"), findingWord(f.what)},
                                    {q("at"), toIso(f.at)},
                                    {q("entry"), f.ref},
                                    {q("sentence"), f.sentence},
                                    {q("explained"), f.explained}});
    return {{q("id"), history.id}, {q("lines"), lines}, {q("custody"), periods}, {q("findings"), findings}};
}

Done history(const Arguments &a, const World &world)
{
    const auto file = openForReading(a.positional().at(0));
    if (!file)
        return file.error();
    const auto story = readHistory(file->db(), a.positional().at(1));
    if (!story)
        return story.error();
    if (a.has(q("json")))
        outJson(world, historyJson(*story));
    else
        world.out(historyText(*story));
    return {};
}

} // namespace

QList<Verb> custodyListVerbs()
{
    return {
        {q("whereis"),
         {q("FILE"), q("ID...")},
         {},
         q("Says who has samples or specimens now, on what basis and where."),
         {},
         whereis},
        {q("holdings"),
         {q("FILE")},
         {{q("holder"), q("PERSON"), q("only what this person has")}, jsonFlag()},
         q("Lists who has what."),
         {},
         holdings},
        {q("handovers"),
         {q("FILE")},
         {{q("open"), {}, q("only those with something in transit")}},
         q("Lists the hand-overs and what became of them."),
         {},
         handOvers},
        {q("history"),
         {q("FILE"), q("ID")},
         {jsonFlag()},
         q("Tells the whole story of a sample or specimen, with what was struck and who had it when."),
         q("Entries are named by station and number, as in \"van 123\"; holdfast correct takes these names."),
         history},
    };
}

} // namespace holdfast::cli
