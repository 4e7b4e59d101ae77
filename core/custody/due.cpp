// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/due.h"

#include "custody/custody_book.h"
#include "custody/held_acts.h"
#include "store/sql.h"

#include <QSet>
#include <algorithm>

namespace holdfast
{

namespace
{

/// One row an item that is still at hand.
const QString heldItems = QStringLiteral(
    "SELECT i.id, i.sample, i.parent, s.dive, i.what, i.purpose FROM (SELECT id, id AS sample, '' AS parent, "
    "kind AS what, '' AS purpose FROM sample s WHERE NOT EXISTS (SELECT 1 FROM specimen p WHERE "
    "p.sample=s.id AND p.state='held') UNION ALL SELECT id, sample, parent, material, purpose FROM specimen "
    "WHERE state='held') i JOIN sample s ON s.id=i.sample WHERE s.state='held'");

/// What would stop a clock that runs: the temperature of the place where it lies.
QString questionOf(const HeldActs &acts, const HoldingLimit &limit, const ClockReading &r)
{
    const QString place = acts.placeInQuestion(limit);
    if (place.isEmpty() || (r.what != coldWords() && !limit.preservatives.isEmpty()))
        return {};
    return QStringLiteral("how cold is %1? Its temperature is not recorded").arg(place);
}

/// Items of which somebody once said that they were used up, destroyed or at their final place.
Result<QSet<QString>> endedItems(const Database &db)
{
    auto rows =
        query(db.connection(), QStringLiteral("SELECT DISTINCT item FROM custody_event WHERE what='ended'"));
    if (!rows)
        return rows.error();
    QSet<QString> items;
    while (rows->next())
        items.insert(rows->text(0));
    return items;
}

/// Whether that still holds: it may have been taken up again.
Result<bool> custodyEnded(const Database &db, const QSet<QString> &ended, const QString &id)
{
    if (!ended.contains(id))
        return false;
    const auto now = custodyNow(db, id);
    if (!now)
        return now.error();
    return now->state == PeriodState::Ended;
}

} // namespace

Result<DueList> readDue(const Database &db, const HoldingRules &rules, UtcTime now)
{
    auto rows = query(db.connection(), heldItems);
    if (!rows)
        return rows.error();
    const auto book = HeldBook::readAll(db);
    if (!book)
        return book.error();
    const auto ended = endedItems(db);
    if (!ended)
        return ended.error();
    DueList list;
    while (rows->next()) {
        Item item;
        item.id = rows->text(0);
        item.sample = rows->text(1);
        item.parent = rows->text(2);
        item.dive = static_cast<int>(rows->integer(3));
        item.what = rows->text(4);
        item.purpose = rows->text(5);
        item.state = QStringLiteral("held");
        const auto over = custodyEnded(db, *ended, item.id);
        if (!over)
            return over.error();
        const HoldingLimit *limit = rules.of(item);
        if (!limit) {
            if (!*over)
                list.withoutLimit << item.id;
            continue;
        }
        const HeldActs acts = book->of(item.id);
        const auto times = acts.timesFor(*limit);
        if (!times) {
            if (!*over && (limit->coldMinutes || limit->preserveMinutes))
                list.notLeftBottom << item.id;
            continue;
        }
        for (const ClockReading &r : coldClock(*limit, *times, now)) {
            if (r.state == ClockState::MetLate)
                list.metLate.push_back({item, r, limit->note, limit->source, {}});
            else if (r.state != ClockState::Met && !*over)
                list.due.push_back({item, r, limit->note, limit->source, questionOf(acts, *limit, r)});
        }
    }
    std::stable_sort(list.due.begin(), list.due.end(), [](const DueItem &a, const DueItem &b) {
        return std::tie(a.clock.due, a.item.id) < std::tie(b.clock.due, b.item.id);
    });
    std::stable_sort(list.metLate.begin(), list.metLate.end(),
                     [](const DueItem &a, const DueItem &b) { return a.item.id < b.item.id; });
    list.notLeftBottom.sort();
    list.withoutLimit.sort();
    return list;
}

} // namespace holdfast
