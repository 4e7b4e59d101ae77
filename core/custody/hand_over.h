// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"

#include <QJsonObject>
#include <QMap>
#include <optional>

namespace holdfast
{

// Hand-overs: relinquished by and received by, both named, each confirming, and in transit in between.
// core/custody/README.md lists the entries, custody_words.h the words. Lists of ids are taken as typed or
// scanned, each once; all or none. A time `at` may be stated, but not in the future.

/// How a person stood for an entry: a typed name, a PIN, a signature drawn on the screen. An attestation, not
/// a legal electronic signature. `data` holds what the means needs: for "drawn" the strokes
/// (drawn_signature.h).
struct Confirmation {
    QString by;                              ///< empty: the person the entry is about
    QString means = QStringLiteral("typed"); ///< typed, pin, drawn
    QJsonObject data;
    QString withoutPin = {}; ///< why somebody who has a PIN at this station does not confirm by it
    [[nodiscard]] QJsonObject json() const; ///< {"by": …, "means": …, "data": …}
};

/// Names who answers for what a dive collects, from the seafloor to the first hand-over; said again it
/// changes from `at` on.
[[nodiscard]] Done appointCustodian(CruiseFile &file, const Act &act, int dive, const QString &person,
                                    UtcTime at);

struct OfferDetails {
    QStringList ids;        ///< samples, specimens and subsamples
    QString box;            ///< instead of or besides ids: all that lies at this place or below it
    bool withParts = false; ///< also every part split off what is listed
    QString from, to;       ///< who relinquishes and who is to receive; not the same person
    QString purpose = QStringLiteral("hand-over");
    QString basis = QStringLiteral("held"); ///< while in transit
    QString place;                          ///< where it is in transit; may be empty
    QString carrier, tracking;              ///< carrier needed for the purpose "courier"
    std::optional<UtcTime> dueBack;         ///< needed for a loan, which must end after `at`
    QString remark;
    UtcTime at{};
    Confirmation confirmation; ///< of who relinquishes
};
struct Offered {
    QString offer; ///< uuid
    QString code;  ///< what people call it by: "VAN-3"
    QStringList ids;
    QStringList leftOut; ///< of those at the place, each with the sentence that says why
};
/// Relinquishes items; they are in transit until the receiver answers. Refused: held by somebody else,
/// offered already, ended; the sentence names the holder.
[[nodiscard]] Result<Offered> offerItems(CruiseFile &file, const Act &act, const OfferDetails &details);

struct Receipt {
    QString offer; ///< code or uuid
    QString by;    ///< who receives
    QStringList accepted;
    bool acceptRest = false;        ///< all that is neither accepted nor refused by id
    QMap<QString, QString> refused; ///< id and reason
    QString basis = QStringLiteral("held");
    QString place;                   ///< where it is kept; may be empty
    QString condition, temperatureC; ///< on receipt: a word of receiptConditions(); as read, may be empty
    std::optional<int> count;        ///< containers counted
    QStringList sealsIntact, sealsBroken; ///< every seal in force on what is accepted must be in one
    QString remark;
    UtcTime at{};
    Confirmation confirmation; ///< of the receiver
};
struct Received {
    QStringList accepted, refused;
    QStringList open; ///< still in transit
};
/// Answers an offer, wholly or partly. What is refused stays with who relinquished it.
[[nodiscard]] Result<Received> receiveItems(CruiseFile &file, const Act &act, const Receipt &receipt);

struct HandedOver {
    Offered offered;
    Received received;
};
/// Both sides are there and both have confirmed: relinquished and received in one go, both or neither.
/// `receipt.offer` is not looked at.
[[nodiscard]] Result<HandedOver> handOverItems(CruiseFile &file, const Act &act, const OfferDetails &details,
                                               const Receipt &receipt);

/// Takes back what is not answered yet.
[[nodiscard]] Result<QStringList> withdrawOffer(CruiseFile &file, const Act &act, const QString &offer,
                                                const QString &reason, UtcTime at);

struct Claim {
    QStringList ids;
    QString by, basis = QStringLiteral("held"), place, reason;
    UtcTime at{};
    Confirmation confirmation;
};
/// Says that somebody has it although nobody handed it over: found again, or an unrecorded hand-over. It
/// shows as a break in custody with this reason; it does not fill the gap.
[[nodiscard]] Done claimItems(CruiseFile &file, const Act &act, const Claim &claim);

struct CustodyEnd {
    QStringList ids;
    QString how;   ///< a word of custodyEnds()
    QString by;    ///< who had it
    QString place; ///< its final place; needed for "deposited"
    QString reason;
    UtcTime at{};
    Confirmation confirmation;
};
[[nodiscard]] Done endCustody(CruiseFile &file, const Act &act, const CustodyEnd &end);

/// The holder keeps it on another basis from now on: locked up, left in view, in a secured area.
[[nodiscard]] Done secureItems(CruiseFile &file, const Act &act, const QStringList &ids, const QString &basis,
                               UtcTime at);

struct HandOverInfo {
    QString entry, offer, code, from, to, purpose, carrier, tracking, basis, place, remark, by;
    QJsonObject confirmation;
    std::optional<UtcTime> dueBack;
    UtcTime time{};
    QStringList items, accepted, refused, withdrawn;
    [[nodiscard]] QStringList open() const; ///< not answered yet
};
/// By uuid or code. NotFound; Refused when two stations gave the same code: say the uuid.
[[nodiscard]] Result<HandOverInfo> readHandOver(const Database &db, const QString &offer);
/// Oldest first; `openOnly` leaves out those answered to the last item.
[[nodiscard]] Result<std::vector<HandOverInfo>> readHandOvers(const Database &db, bool openOnly);

[[nodiscard]] VerbRules handOverVerbRules();

} // namespace holdfast
