// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/due.h"

#include "store/sql.h"

#include <algorithm>

namespace holdfast
{

namespace
{

std::optional<UtcTime> maybeTime(const Statement &row, int column)
{
    if (row.isNull(column))
        return {};
    return utcFromMicroseconds(row.integer(column));
}

/// The first time each counts: a limit once met stays met. One row an item that is still at hand.
const QString heldItems = QStringLiteral(
    "SELECT i.id, i.sample, i.parent, d.number, i.what, i.purpose, d.off_bottom_us, (SELECT min(time_us) "
    "FROM "
    "preservation p WHERE p.item=i.id), (SELECT min(time_us) FROM storage t WHERE t.item=i.id) FROM (SELECT "
    "id, id AS sample, '' AS parent, kind AS what, '' AS purpose FROM sample s WHERE NOT EXISTS (SELECT 1 "
    "FROM "
    "specimen p WHERE p.sample=s.id) UNION ALL SELECT id, sample, parent, material, purpose FROM specimen) i "
    "JOIN sample s ON s.id=i.sample JOIN dive d ON d.number=s.dive WHERE s.state='held'");

} // namespace

Result<DueList> readDue(const Database &db, const HoldingRules &rules, UtcTime now)
{
    auto rows = query(db.connection(), heldItems);
    if (!rows)
        return rows.error();
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
        const HoldingLimit *limit = rules.of(item);
        if (!limit) {
            list.withoutLimit << item.id;
            continue;
        }
        const auto offBottom = maybeTime(*rows, 6);
        if (!offBottom) {
            if (limit->coldMinutes || limit->preserveMinutes)
                list.notLeftBottom << item.id;
            continue;
        }
        for (const ClockReading &r :
             coldClock(*limit, {*offBottom, maybeTime(*rows, 7), maybeTime(*rows, 8)}, now)) {
            if (r.state != ClockState::Met && r.state != ClockState::MetLate)
                list.due.push_back({item, r, limit->note, limit->source});
        }
    }
    std::stable_sort(list.due.begin(), list.due.end(), [](const DueItem &a, const DueItem &b) {
        return std::tie(a.clock.due, a.item.id) < std::tie(b.clock.due, b.item.id);
    });
    list.notLeftBottom.sort();
    list.withoutLimit.sort();
    return list;
}

} // namespace holdfast
