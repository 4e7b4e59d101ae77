// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/items.h"

#include "base/ids.h"
#include "custody/blank_labels.h"
#include "custody/custody_book.h"
#include "custody/custody_lists.h"
#include "store/sql.h"

#include <cmath>

namespace holdfast
{

namespace
{

/// The item that has this very id; nothing when there is none.
Result<std::optional<Item>> itemById(const Database &db, const QString &id)
{
    auto row =
        query(db.connection(),
              QStringLiteral("SELECT id, id, '', dive, time_us, logged_by, kind, '', state FROM sample "
                             "WHERE id=? UNION ALL "
                             "SELECT p.id, p.sample, p.parent, s.dive, p.time_us, p.by_whom, "
                             "p.material, p.purpose, CASE WHEN p.state='void' THEN 'void' ELSE s.state END "
                             "FROM specimen p JOIN sample s ON "
                             "s.id=p.sample WHERE p.id=?"),
              {id, id});
    if (!row)
        return row.error();
    if (!row->next())
        return std::optional<Item>();
    return std::optional(Item{row->text(0), row->text(1), row->text(2), static_cast<int>(row->integer(3)),
                              utcFromMicroseconds(row->integer(4)), row->text(5), row->text(6), row->text(7),
                              row->text(8)});
}

} // namespace

Result<Item> readItem(const Database &db, const QString &typedId)
{
    const auto read = readPrintedId(typedId);
    if (!read)
        return read.error();
    const auto item = itemById(db, read->id);
    if (!item)
        return item.error();
    if (*item)
        return **item;
    const auto labelled = itemOfLabel(db, read->id);
    if (!labelled)
        return labelled.error();
    if (!labelled->isEmpty()) {
        const auto bound = itemById(db, *labelled);
        if (!bound)
            return bound.error();
        if (*bound)
            return **bound;
    }
    return fail(
        ErrorKind::NotFound,
        QStringLiteral("No sample, specimen or bound label has the id %1 in this cruise.").arg(read->id));
}

Result<Item> readItemAtHand(const Database &db, const QString &typedId)
{
    auto item = readItem(db, typedId);
    if (!item)
        return item;
    if (item->state == QLatin1String("void") && !item->parent.isEmpty())
        return fail(ErrorKind::Refused,
                    QStringLiteral("%1 is void; nothing can be done with it.").arg(item->id));
    if (item->state != QLatin1String("held"))
        return fail(ErrorKind::Refused,
                    QStringLiteral("Sample %1 is %2; nothing can be done with %3 until it is held again.")
                        .arg(item->sample, item->state, item->id));
    const auto now = custodyNow(db, item->id);
    if (!now)
        return now.error();
    if (now->state == PeriodState::Ended)
        return fail(ErrorKind::Refused, QStringLiteral("%1 is %2 since %3; nothing can be done with it.")
                                            .arg(item->id, custodyText(*now), toIso(now->from)));
    if (now->state == PeriodState::InTransit)
        return fail(ErrorKind::Refused, QStringLiteral("%1 is %2; it must be received or withdrawn first.")
                                            .arg(item->id, custodyText(*now)));
    return item;
}

Result<QString> measuredText(const QString &text, const QString &what)
{
    const QString t = text.trimmed();
    if (t.isEmpty())
        return QStringLiteral("");
    bool number = false;
    const double value = t.toDouble(&number);
    if (number && std::isfinite(value) && value > 0)
        return t;
    return fail(ErrorKind::Usage,
                QStringLiteral("%1 must be a number above 0 with a decimal point, not \"%2\".").arg(what, t));
}

} // namespace holdfast
