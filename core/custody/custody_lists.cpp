// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/custody_lists.h"

#include "store/sql.h"

#include <QSet>

namespace holdfast
{

namespace
{

Done addParts(const Database &db, QStringList &ids)
{
    QSet<QString> there(ids.begin(), ids.end());
    for (qsizetype i = 0; i < ids.size(); ++i) {
        auto rows =
            query(db.connection(),
                  QStringLiteral("SELECT id FROM specimen WHERE parent=? AND state='held' ORDER BY number"),
                  {ids.at(i)});
        if (!rows)
            return rows.error();
        while (rows->next()) {
            if (!there.contains(rows->text(0))) {
                ids << rows->text(0);
                there.insert(rows->text(0));
            }
        }
    }
    return {};
}

} // namespace

Result<AtPlace> readAtHand(const Database &db, const QString &place)
{
    auto stored = readPlace(db, place);
    if (!stored)
        return stored.error();
    AtPlace out;
    for (StorageInfo &one : *stored) {
        const auto item = readItemAtHand(db, one.item);
        if (item)
            out.atHand.push_back(std::move(one));
        else if (item.error().kind == ErrorKind::Refused)
            out.leftOut << item.error().sentence;
        else
            return item.error();
    }
    return out;
}

Result<ListedItems> listedIds(const Database &db, const QStringList &typed, const QString &box,
                              bool withParts)
{
    ListedItems listed;
    QStringList &ids = listed.ids;
    for (const QString &text : typed) {
        const auto item = readItem(db, text);
        if (!item)
            return item.error();
        if (ids.contains(item->id))
            return fail(ErrorKind::Duplicate, QStringLiteral("%1 is in the list twice.").arg(item->id));
        ids << item->id;
    }
    if (!box.trimmed().isEmpty()) {
        const auto place = checkedPlace(box);
        if (!place)
            return place.error();
        const auto there = readAtHand(db, *place);
        if (!there)
            return there.error();
        if (there->atHand.empty())
            return fail(ErrorKind::NotFound,
                        there->leftOut.isEmpty()
                            ? QStringLiteral("Nothing is stored at %1.").arg(*place)
                            : QStringLiteral("Nothing that is stored at %1 is at hand. %2")
                                  .arg(*place, there->leftOut.mid(0, 3).join(QLatin1Char(' '))));
        for (const StorageInfo &s : there->atHand) {
            if (!ids.contains(s.item))
                ids << s.item;
        }
        listed.leftOut = there->leftOut;
    }
    if (ids.isEmpty())
        return fail(ErrorKind::Usage, QStringLiteral("At least one id or a place is needed."));
    if (withParts) {
        if (auto done = addParts(db, ids); !done)
            return done.error();
    }
    return listed;
}

QString custodyText(const CustodyPeriod &p)
{
    QStringList how;
    if (!p.basis.isEmpty())
        how << p.basis;
    if (!p.place.isEmpty())
        how << p.place;
    const QString tail =
        how.isEmpty() ? QString() : QStringLiteral(" (%1)").arg(how.join(QStringLiteral(", ")));
    switch (p.state) {
    case PeriodState::Nobody:
        return QStringLiteral("nobody is recorded") + tail;
    case PeriodState::InVehicle:
        return QStringLiteral("%1 answers for it").arg(p.holder) + tail;
    case PeriodState::Held:
        return QStringLiteral("held by %1").arg(p.holder) + tail;
    case PeriodState::InTransit:
        return QStringLiteral("in transit with %1").arg(p.holder) + tail;
    case PeriodState::Ended:
        return p.place.isEmpty() ? p.basis : QStringLiteral("%1 (%2)").arg(p.basis, p.place);
    }
    return {};
}

Done checkStatedTime(UtcTime at, UtcTime now)
{
    if (at <= now)
        return {};
    return fail(ErrorKind::Usage, QStringLiteral("%1 is in the future.").arg(toIso(at)));
}

} // namespace holdfast
