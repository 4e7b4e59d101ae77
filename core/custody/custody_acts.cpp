// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/custody_book.h"
#include "custody/custody_checks.h"
#include "custody/custody_lists.h"
#include "custody/custody_verbs.h"
#include "custody/custody_words.h"
#include "custody/entry_body.h"
#include "custody/items.h"
#include "dive/act_steps.h"
#include "dive/readers.h"

namespace holdfast
{

Done appointCustodian(CruiseFile &file, const Act &act, int dive, const QString &person, UtcTime at)
{
    for (const Done &check : {checkPersonName(person), checkStatedTime(at, act.now)}) {
        if (!check)
            return check;
    }
    return file.write([&]() -> Done {
        if (const auto known = readDive(file.db(), dive); !known)
            return known.error();
        return recordEntry(file, act, verb::custodianAppointed,
                           {{QStringLiteral("dive"), dive},
                            {QStringLiteral("person"), person.trimmed()},
                            {QStringLiteral("timeUs"), statedUs(at)}});
    });
}

Done claimItems(CruiseFile &file, const Act &act, const Claim &claim)
{
    for (const Done &check :
         {checkPersonName(claim.by), wantReason(claim.reason), checkStatedTime(claim.at, act.now)}) {
        if (!check)
            return check;
    }
    const auto basis = checkedBasis(claim.basis);
    const auto place = placeOrNone(claim.place);
    const auto confirmation = checkedConfirmation(file, act, claim.confirmation, claim.by.simplified());
    if (!basis)
        return basis.error();
    if (!place)
        return place.error();
    if (!confirmation)
        return confirmation.error();
    return file.write([&]() -> Done {
        const auto listed = listedIds(file.db(), claim.ids, {}, false);
        if (!listed)
            return listed.error();
        const QStringList &ids = listed->ids;
        for (const QString &id : ids) {
            const auto now = custodyNow(file.db(), id);
            if (!now)
                return now.error();
            if (now->state == PeriodState::Held && samePerson(now->holder, claim.by))
                return fail(ErrorKind::Refused,
                            QStringLiteral("%1 is %2 already.").arg(id, custodyText(*now)));
        }
        return recordEntry(file, act, verb::custodyClaimed,
                           {{QStringLiteral("items"), QJsonArray::fromStringList(ids)},
                            {QStringLiteral("by"), claim.by.simplified()},
                            {QStringLiteral("basis"), *basis},
                            {QStringLiteral("place"), *place},
                            {QStringLiteral("reason"), claim.reason.trimmed()},
                            {QStringLiteral("timeUs"), statedUs(claim.at)},
                            {QStringLiteral("confirmation"), *confirmation}});
    });
}

Done endCustody(CruiseFile &file, const Act &act, const CustodyEnd &end)
{
    const auto how = checkedEnd(end.how);
    if (!how)
        return how.error();
    for (const Done &check :
         {checkPersonName(end.by), wantReason(end.reason), checkStatedTime(end.at, act.now)}) {
        if (!check)
            return check;
    }
    const auto place = placeOrNone(end.place);
    if (!place)
        return place.error();
    if (*how == QLatin1String("deposited") && place->isEmpty())
        return fail(ErrorKind::Usage, QStringLiteral("Say at which place it was deposited."));
    const QString by = end.by.simplified();
    const auto confirmation = checkedConfirmation(file, act, end.confirmation, by);
    if (!confirmation)
        return confirmation.error();
    return file.write([&]() -> Done {
        const auto listed = listedIds(file.db(), end.ids, {}, false);
        if (!listed)
            return listed.error();
        const QStringList &ids = listed->ids;
        for (const QString &id : ids) {
            const auto now = custodyNow(file.db(), id);
            if (!now)
                return now.error();
            // What is lost on its way never gets to be received.
            if (now->state == PeriodState::InTransit && *how == QLatin1String("lost"))
                continue;
            if (auto may = checkHolder(file.db(), {id}, by, end.at); !may)
                return may;
        }
        return recordEntry(file, act, verb::custodyEnded,
                           {{QStringLiteral("items"), QJsonArray::fromStringList(ids)},
                            {QStringLiteral("how"), *how},
                            {QStringLiteral("by"), by},
                            {QStringLiteral("place"), *place},
                            {QStringLiteral("reason"), end.reason.trimmed()},
                            {QStringLiteral("timeUs"), statedUs(end.at)},
                            {QStringLiteral("confirmation"), *confirmation}});
    });
}

Done secureItems(CruiseFile &file, const Act &act, const QStringList &typed, const QString &word, UtcTime at)
{
    const auto basis = checkedBasis(word);
    if (!basis)
        return basis.error();
    if (auto good = checkStatedTime(at, act.now); !good)
        return good;
    return file.write([&]() -> Done {
        const auto listed = listedIds(file.db(), typed, {}, false);
        if (!listed)
            return listed.error();
        const QStringList &ids = listed->ids;
        for (const QString &id : ids) {
            if (const auto item = readItemAtHand(file.db(), id); !item)
                return item.error();
        }
        return recordEntry(file, act, verb::custodySecured,
                           {{QStringLiteral("items"), QJsonArray::fromStringList(ids)},
                            {QStringLiteral("basis"), *basis},
                            {QStringLiteral("timeUs"), statedUs(at)}});
    });
}

} // namespace holdfast
