// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/custody_checks.h"

#include "custody/custody_book.h"
#include "custody/custody_lists.h"
#include "custody/custody_words.h"
#include "custody/preservation.h"

namespace holdfast
{

namespace
{

Error heldByAnother(const QString &id, const QString &who, const CustodyPeriod &now)
{
    return fail(ErrorKind::Refused,
                QStringLiteral("%1 can't relinquish %2: %3. Let the holder hand it over, or, when that "
                               "happened unrecorded, claim it with a reason.")
                    .arg(who, id, custodyText(now)));
}

} // namespace

QJsonObject Confirmation::json() const
{
    QJsonObject o{{QStringLiteral("by"), by.trimmed()}, {QStringLiteral("means"), means}};
    if (!data.isEmpty())
        o.insert(QStringLiteral("data"), data);
    return o;
}

Result<QString> placeOrNone(const QString &place)
{
    if (place.trimmed().isEmpty())
        return QStringLiteral("");
    return checkedPlace(place);
}

/// The confirmation of a party: by the party itself, by a known means.
Result<QJsonObject> checkedConfirmation(Confirmation given, const QString &party)
{
    static const QStringList means{QStringLiteral("typed"), QStringLiteral("pin"), QStringLiteral("drawn")};
    if (given.by.trimmed().isEmpty())
        given.by = party;
    if (!samePerson(given.by, party))
        return fail(ErrorKind::Refused,
                    QStringLiteral("%1 must confirm this, not %2.").arg(party, given.by.trimmed()));
    if (!means.contains(given.means))
        return fail(ErrorKind::Usage, QStringLiteral("\"%1\" is no way to confirm; there are %2.")
                                          .arg(given.means, means.join(QStringLiteral(", "))));
    return given.json();
}

/// May `who` relinquish or end each of these now?
Done checkHolder(const Database &db, const QStringList &ids, const QString &who, UtcTime at)
{
    for (const QString &id : ids) {
        const auto now = custodyNow(db, id);
        if (!now)
            return now.error();
        if (now->state == PeriodState::Ended)
            return fail(ErrorKind::Refused,
                        QStringLiteral("%1 is %2 since %3.").arg(id, custodyText(*now), toIso(now->from)));
        if (now->state == PeriodState::InTransit)
            return fail(ErrorKind::Refused,
                        QStringLiteral("%1 is %2 already; it must be received or withdrawn first.")
                            .arg(id, custodyText(*now)));
        if (!now->holder.isEmpty() && !samePerson(now->holder, who))
            return heldByAnother(id, who, *now);
        if (at < now->from)
            return fail(ErrorKind::Refused, QStringLiteral("%1 came to %2 at %3, which is after %4.")
                                                .arg(id, now->holder, toIso(now->from), toIso(at)));
    }
    return {};
}

} // namespace holdfast
