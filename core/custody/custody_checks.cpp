// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/custody_checks.h"

#include "custody/custody_book.h"
#include "custody/custody_lists.h"
#include "custody/custody_words.h"
#include "custody/drawn_signature.h"
#include "custody/preservation.h"
#include "ledger/pin_book.h"

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

/// Whether this person confirms by PIN at the file's station. Nobody does where its key is not: there nothing
/// is written either.
Result<bool> hasPinHere(const CruiseFile &file, const QString &person)
{
    auto row = query(file.db().connection(), QStringLiteral("SELECT public_key FROM station WHERE name=?"),
                     {file.station()});
    if (!row)
        return row.error();
    if (!row->next() || row->text(0).isEmpty())
        return false;
    const auto book = PinBook::open(row->text(0));
    if (book)
        return book->has(person);
    if (book.error().kind == ErrorKind::NotFound)
        return false;
    return book.error();
}

} // namespace

QJsonObject Confirmation::json() const
{
    QJsonObject o{{QStringLiteral("by"), by.simplified()}, {QStringLiteral("means"), means}};
    if (!data.isEmpty())
        o.insert(QStringLiteral("data"), data);
    if (!withoutPin.trimmed().isEmpty())
        o.insert(QStringLiteral("withoutPin"), withoutPin.trimmed());
    return o;
}

Result<QString> placeOrNone(const QString &place)
{
    if (place.trimmed().isEmpty())
        return QStringLiteral("");
    return checkedPlace(place);
}

Result<QJsonObject> checkedConfirmation(const CruiseFile &file, const Act &act, Confirmation given,
                                        const QString &party)
{
    static const QStringList means{QStringLiteral("typed"), QStringLiteral("pin"), QStringLiteral("drawn")};
    const bool said = !given.by.trimmed().isEmpty();
    if (said && !samePerson(given.by, party))
        return fail(ErrorKind::Refused,
                    QStringLiteral("%1 must confirm this, not %2.").arg(party, given.by.trimmed()));
    if (!means.contains(given.means))
        return fail(ErrorKind::Usage, QStringLiteral("\"%1\" is no way to confirm; there are %2.")
                                          .arg(given.means, means.join(QStringLiteral(", "))));
    if (given.means == QLatin1String("drawn")) {
        if (const auto drawn = DrawnSignature::fromJson(given.data); !drawn)
            return drawn.error().whileDoing(QStringLiteral("The signature of %1").arg(party));
    }
    const bool typed = given.means == QLatin1String("typed");
    if (!typed)
        given.withoutPin.clear();
    if (typed && given.withoutPin.trimmed().isEmpty()) {
        const auto has = hasPinHere(file, party);
        if (!has)
            return has.error();
        if (*has)
            return fail(ErrorKind::Refused,
                        QStringLiteral("%1 has set a PIN at this station and must confirm by it; without "
                                       "it a reason is needed, which stays with the record.")
                            .arg(party));
    }
    // What somebody enters for another is no confirmation by that other.
    if (typed && !said && !samePerson(act.person, party)) {
        given.by = act.person;
        given.means = QStringLiteral("none");
    } else if (!said) {
        given.by = party;
    }
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
        if (at < now->from && now->holder.isEmpty())
            return fail(
                ErrorKind::Refused,
                QStringLiteral("%1: the last that is recorded of its custody is of %2, which is after "
                               "%3.")
                    .arg(id, toIso(now->from), toIso(at)));
        if (at < now->from)
            return fail(ErrorKind::Refused, QStringLiteral("%1 came to %2 at %3, which is after %4.")
                                                .arg(id, now->holder, toIso(now->from), toIso(at)));
    }
    return {};
}

} // namespace holdfast
