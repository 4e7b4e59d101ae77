// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/hand_over.h"

#include "base/ids.h"
#include "custody/custody_book.h"
#include "custody/custody_checks.h"
#include "custody/custody_lists.h"
#include "custody/custody_verbs.h"
#include "custody/custody_words.h"
#include "custody/entry_body.h"
#include "custody/seals.h"
#include "dive/act_steps.h"
#include "dive/readers.h"

#include <algorithm>

namespace holdfast
{

namespace
{

Done checkOffer(const OfferDetails &d)
{
    for (const QString &name : {d.from, d.to}) {
        if (auto named = checkPersonName(name); !named)
            return named;
    }
    if (samePerson(d.from, d.to))
        return fail(ErrorKind::Refused,
                    QStringLiteral("%1 can't relinquish to themselves; to put it to another place, store it.")
                        .arg(d.from.trimmed()));
    if (d.purpose == QLatin1String("courier") && d.carrier.trimmed().isEmpty())
        return fail(ErrorKind::Usage, QStringLiteral("A courier needs the carrier's name."));
    if (d.purpose == QLatin1String("loan") && !(d.dueBack && *d.dueBack > d.at))
        return fail(ErrorKind::Usage,
                    QStringLiteral("A loan needs the time it is due back, after it begins."));
    return {};
}

/// The station's name in an id's letters and the number of hand-overs it has offered, from 1: also those that
/// are held back, whose codes stand on paper by now.
Result<QString> nextCode(const CruiseFile &file)
{
    QString prefix;
    for (const QChar c : file.station().toUpper()) {
        if ((c >= QLatin1Char('A') && c <= QLatin1Char('Z')) ||
            (c >= QLatin1Char('0') && c <= QLatin1Char('9')))
            prefix += c;
    }
    if (prefix.isEmpty())
        prefix = QStringLiteral("H");
    auto row = query(file.db().connection(),
                     QStringLiteral("SELECT count(*) FROM ledger WHERE station=? AND verb=?"),
                     {file.station(), verb::handOverOffered});
    if (!row)
        return row.error();
    if (!row->next())
        return fail(ErrorKind::Internal, QStringLiteral("The hand-overs could not be counted."));
    return QStringLiteral("%1-%2").arg(prefix).arg(row->integer(0) + 1);
}

} // namespace

namespace
{

/// Inside a transaction.
Result<Offered> relinquish(CruiseFile &file, const Act &act, const OfferDetails &given)
{
    OfferDetails d = given;
    const auto purpose = checkedPurpose(d.purpose);
    const auto basis = checkedBasis(d.basis);
    const auto place = placeOrNone(d.place);
    for (const Result<QString> *word : {&purpose, &basis, &place}) {
        if (!*word)
            return word->error();
    }
    d.purpose = *purpose;
    for (const Done &check : {checkOffer(d), checkStatedTime(d.at, act.now)}) {
        if (!check)
            return check.error();
    }
    const QString from = d.from.simplified();
    const auto confirmation = checkedConfirmation(file, act, d.confirmation, from);
    if (!confirmation)
        return confirmation.error();
    const auto listed = listedIds(file.db(), d.ids, d.box, d.withParts);
    if (!listed)
        return listed.error();
    if (auto may = checkHolder(file.db(), listed->ids, from, d.at); !may)
        return may.error();
    const auto code = nextCode(file);
    if (!code)
        return code.error();
    const Offered offered{newUuid(), *code, listed->ids, listed->leftOut};
    QJsonObject body{{QStringLiteral("offer"), offered.offer},
                     {QStringLiteral("code"), offered.code},
                     {QStringLiteral("items"), QJsonArray::fromStringList(listed->ids)},
                     {QStringLiteral("from"), from},
                     {QStringLiteral("to"), d.to.simplified()},
                     {QStringLiteral("purpose"), d.purpose},
                     {QStringLiteral("carrier"), d.carrier.simplified()},
                     {QStringLiteral("tracking"), d.tracking.trimmed()},
                     {QStringLiteral("basis"), *basis},
                     {QStringLiteral("place"), *place},
                     {QStringLiteral("remark"), d.remark.trimmed()},
                     {QStringLiteral("timeUs"), statedUs(d.at)},
                     {QStringLiteral("confirmation"), *confirmation}};
    if (d.dueBack)
        body.insert(QStringLiteral("dueBackUs"), statedUs(*d.dueBack));
    if (auto done = recordEntry(file, act, verb::handOverOffered, body); !done)
        return done.error();
    return offered;
}

/// What of an offer is accepted and refused by a receipt; each id once, all still open.
struct Answered {
    QStringList accepted;
    QMap<QString, QString> refused;
};

Result<Answered> answered(const HandOverInfo &offer, const Receipt &receipt)
{
    const QStringList open = offer.open();
    Answered a;
    const auto isOpen = [&](const QString &typed) -> Result<QString> {
        const auto read = readPrintedId(typed);
        if (!read)
            return read.error();
        if (open.contains(read->id))
            return read->id;
        return fail(ErrorKind::Refused,
                    offer.items.contains(read->id)
                        ? QStringLiteral("%1 of hand-over %2 was answered already.").arg(read->id, offer.code)
                        : QStringLiteral("%1 is not in hand-over %2; it must be handed over by itself.")
                              .arg(read->id, offer.code));
    };
    for (const QString &typed : receipt.accepted) {
        const auto id = isOpen(typed);
        if (!id)
            return id.error();
        if (a.accepted.contains(*id))
            return fail(ErrorKind::Duplicate, QStringLiteral("%1 is in the list twice.").arg(*id));
        a.accepted << *id;
    }
    for (auto it = receipt.refused.begin(); it != receipt.refused.end(); ++it) {
        const auto id = isOpen(it.key());
        if (!id)
            return id.error();
        if (a.accepted.contains(*id))
            return fail(ErrorKind::Duplicate, QStringLiteral("%1 is both accepted and refused.").arg(*id));
        if (auto reason = wantReason(it.value()); !reason)
            return reason.error().whileDoing(QStringLiteral("Refusing %1").arg(*id));
        a.refused.insert(*id, it.value().trimmed());
    }
    if (receipt.acceptRest) {
        for (const QString &id : open) {
            if (!a.accepted.contains(id) && !a.refused.contains(id))
                a.accepted << id;
        }
    }
    if (a.accepted.isEmpty() && a.refused.isEmpty())
        return fail(
            ErrorKind::Usage,
            QStringLiteral("Say what is accepted and what is refused; still open in hand-over %1: %2.")
                .arg(offer.code,
                     open.isEmpty() ? QStringLiteral("nothing") : open.join(QStringLiteral(", "))));
    return a;
}

/// The seals that a receipt names, as they are kept; every one in force must be among them.
struct SealsSeen {
    QStringList intact, broken;
};

Result<SealsSeen> sealsSeen(const Database &db, const Receipt &receipt, const QStringList &accepted)
{
    SealsSeen seen;
    for (const auto &[typed, kept] :
         {std::pair{&receipt.sealsIntact, &seen.intact}, std::pair{&receipt.sealsBroken, &seen.broken}}) {
        for (const QString &number : *typed) {
            const auto seal = readSeal(db, number);
            if (!seal)
                return seal.error();
            *kept << seal->seal;
        }
    }
    for (const QString &id : accepted) {
        const auto book = CustodyBook::readOf(db, id);
        if (!book)
            return book.error();
        for (const QString &seal : book->chainOf(id).seals) {
            if (!seen.intact.contains(seal) && !seen.broken.contains(seal))
                return fail(
                    ErrorKind::Refused,
                    QStringLiteral("%1 is under seal %2: look at it before receiving, and say whether "
                                   "it is intact or broken.")
                        .arg(id, seal));
        }
    }
    return seen;
}

Result<QJsonObject> receiptBody(const Receipt &r)
{
    const auto basis = checkedBasis(r.basis);
    const auto place = placeOrNone(r.place);
    const auto condition = checkedCondition(r.condition);
    for (const Result<QString> *word : {&basis, &place, &condition}) {
        if (!*word)
            return word->error();
    }
    const QString temperature = r.temperatureC.trimmed();
    bool number = false;
    const double degrees = temperature.toDouble(&number);
    if (!temperature.isEmpty() && !(number && degrees >= -273.15 && degrees <= 100))
        return fail(
            ErrorKind::Usage,
            QStringLiteral("The temperature read must be degrees Celsius, -273.15 to 100, not \"%1\".")
                .arg(temperature));
    if (r.count && (*r.count < 1 || *r.count > 100000))
        return fail(ErrorKind::Usage, QStringLiteral("The containers counted must be 1 to 100000."));
    QJsonObject body{{QStringLiteral("basis"), *basis},
                     {QStringLiteral("place"), *place},
                     {QStringLiteral("condition"), *condition},
                     {QStringLiteral("temperatureC"), temperature},
                     {QStringLiteral("remark"), r.remark.trimmed()},
                     {QStringLiteral("timeUs"), statedUs(r.at)}};
    if (r.count)
        body.insert(QStringLiteral("count"), *r.count);
    return body;
}

/// Inside a transaction.
Result<Received> receive(CruiseFile &file, const Act &act, const Receipt &receipt)
{
    for (const Done &check : {checkPersonName(receipt.by), checkStatedTime(receipt.at, act.now)}) {
        if (!check)
            return check.error();
    }
    const QString by = receipt.by.simplified();
    auto body = receiptBody(receipt);
    if (!body)
        return body.error();
    const auto confirmation = checkedConfirmation(file, act, receipt.confirmation, by);
    if (!confirmation)
        return confirmation.error();
    const auto offer = readHandOver(file.db(), receipt.offer);
    if (!offer)
        return offer.error();
    if (samePerson(offer->from, by))
        return fail(ErrorKind::Refused,
                    QStringLiteral("%1 relinquished hand-over %2 and can't receive it; withdraw it instead.")
                        .arg(by, offer->code));
    if (!samePerson(offer->to, by))
        return fail(ErrorKind::Refused,
                    QStringLiteral("Hand-over %1 is for %2. When %3 takes it instead, let %4 withdraw it "
                                   "and offer it to %3.")
                        .arg(offer->code, offer->to, by, offer->from));
    if (receipt.at < offer->time)
        return fail(ErrorKind::Refused, QStringLiteral("Hand-over %1 was relinquished at %2, after %3.")
                                            .arg(offer->code, toIso(offer->time), toIso(receipt.at)));
    const auto what = answered(*offer, receipt);
    if (!what)
        return what.error();
    const auto seals = sealsSeen(file.db(), receipt, what->accepted);
    if (!seals)
        return seals.error();
    QJsonArray refused;
    for (auto it = what->refused.begin(); it != what->refused.end(); ++it)
        refused.append(QJsonObject{{QStringLiteral("id"), it.key()}, {QStringLiteral("reason"), it.value()}});
    body->insert(QStringLiteral("offer"), offer->offer);
    body->insert(QStringLiteral("from"), offer->from);
    body->insert(QStringLiteral("by"), by);
    body->insert(QStringLiteral("accepted"), QJsonArray::fromStringList(what->accepted));
    body->insert(QStringLiteral("refused"), refused);
    body->insert(QStringLiteral("sealsIntact"), QJsonArray::fromStringList(seals->intact));
    body->insert(QStringLiteral("sealsBroken"), QJsonArray::fromStringList(seals->broken));
    body->insert(QStringLiteral("confirmation"), *confirmation);
    if (auto done = recordEntry(file, act, verb::handOverAnswered, *body); !done)
        return done.error();
    Received received{what->accepted, what->refused.keys(), {}};
    for (const QString &id : offer->open()) {
        if (!received.accepted.contains(id) && !received.refused.contains(id))
            received.open << id;
    }
    return received;
}

} // namespace

Result<Offered> offerItems(CruiseFile &file, const Act &act, const OfferDetails &details)
{
    return file.write([&] { return relinquish(file, act, details); });
}

Result<Received> receiveItems(CruiseFile &file, const Act &act, const Receipt &receipt)
{
    return file.write([&] { return receive(file, act, receipt); });
}

Result<HandedOver> handOverItems(CruiseFile &file, const Act &act, const OfferDetails &details,
                                 const Receipt &receipt)
{
    return file.write([&]() -> Result<HandedOver> {
        const auto offered = relinquish(file, act, details);
        if (!offered)
            return offered.error();
        Receipt answer = receipt;
        answer.offer = offered->offer;
        auto received = receive(file, act, answer);
        if (!received)
            return received.error();
        return HandedOver{*offered, std::move(*received)};
    });
}

Result<QStringList> withdrawOffer(CruiseFile &file, const Act &act, const QString &offer,
                                  const QString &reason, UtcTime at)
{
    for (const Done &check : {wantReason(reason), checkStatedTime(at, act.now)}) {
        if (!check)
            return check.error();
    }
    return file.write([&]() -> Result<QStringList> {
        const auto known = readHandOver(file.db(), offer);
        if (!known)
            return known.error();
        const QStringList open = known->open();
        if (open.isEmpty())
            return fail(
                ErrorKind::Refused,
                QStringLiteral("Hand-over %1 is answered; nothing is left to withdraw.").arg(known->code));
        if (at < known->time)
            return fail(ErrorKind::Refused, QStringLiteral("Hand-over %1 was relinquished at %2, after %3.")
                                                .arg(known->code, toIso(known->time), toIso(at)));
        if (auto done = recordEntry(file, act, verb::handOverWithdrawn,
                                    {{QStringLiteral("offer"), known->offer},
                                     {QStringLiteral("items"), QJsonArray::fromStringList(open)},
                                     {QStringLiteral("reason"), reason.trimmed()},
                                     {QStringLiteral("timeUs"), statedUs(at)}});
            !done)
            return done.error();
        return open;
    });
}

} // namespace holdfast
