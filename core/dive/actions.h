// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"
#include "dive/kinds.h"
#include "dive/readers.h"

#include <QJsonObject>
#include <QMap>

namespace holdfast
{

// What people do while collecting. Each action checks the rules, writes its entries and brings the tables up
// to date in one transaction: when it returns without an error it is durable; when it returns one, nothing
// happened.

/// Plans dive `number` (1 or more, each once) with a vehicle and a loadout, whose whole content goes into the
/// record.
[[nodiscard]] Done planDive(CruiseFile &file, const Act &act, int number, const QString &vehicle,
                            const QJsonObject &loadout);

/// Corrects the plan of a dive that is there: another vehicle, another loadout. Slots of the plan before in
/// which something lies stay, beside the new plan; the earlier plan stays in the record.
[[nodiscard]] Done planDiveAgain(CruiseFile &file, const Act &act, int number, const QString &vehicle,
                                 const QJsonObject &loadout, const QString &reason);

enum class Phase { Launched, OnBottom, OffBottom, OnDeck };
[[nodiscard]] QString phaseWord(Phase phase);
/// Records when a phase was reached; said again it is a correction, and both stay in the ledger.
[[nodiscard]] Done reachPhase(CruiseFile &file, const Act &act, int dive, Phase phase, UtcTime at);

/// Takes a phase back that was recorded by mistake. Error Refused when a later one is recorded, or none of
/// it.
[[nodiscard]] Done takeBackPhase(CruiseFile &file, const Act &act, int dive, Phase phase);

/// Catches a moment. `seen` is what was known then (depth, feed ages, …), texts only.
/// @return the stamp's uuid. Error Refused when the dive is closed.
[[nodiscard]] Result<QString> takeStamp(CruiseFile &file, const Act &act, int dive, UtcTime at,
                                        const QJsonObject &seen = {});

/// A waiting stamp becomes a failed attempt, or is set aside; the reason is kept. Neither is ever deleted.
[[nodiscard]] Done failStamp(CruiseFile &file, const Act &act, const QString &stamp, const QString &reason);
[[nodiscard]] Done setStampAside(CruiseFile &file, const Act &act, const QString &stamp,
                                 const QString &reason);
/// Takes back failed or set aside: the stamp waits again.
[[nodiscard]] Done reopenStamp(CruiseFile &file, const Act &act, const QString &stamp);

struct SampleDetails {
    QString slot; ///< empty: not in a slot yet
    QString kind; ///< not empty
    int count = 1;
    QString description, tool, askedBy, permit;
};
struct LoggedSample {
    QString id;
    QStringList warnings; ///< recorded with the sample
};
/// A waiting stamp becomes a sample: it gets the dive's next number, which is never given again.
/// Refused: no such slot, a slot that is taken or of the wrong kind (placement.h), a stamp that no longer
/// waits.
[[nodiscard]] Result<LoggedSample> logSample(CruiseFile &file, const Act &act, const QString &stamp,
                                             const SampleDetails &details, const KindTable &kinds);
/// takeStamp and logSample in one transaction, for a moment that is already known.
[[nodiscard]] Result<LoggedSample> stampSample(CruiseFile &file, const Act &act, int dive, UtcTime at,
                                               const SampleDetails &details, const KindTable &kinds,
                                               const QJsonObject &seen = {});

/// Moves a sample to another slot of its dive (or out of any, with an empty code), by the same rules.
[[nodiscard]] Result<QStringList> moveSample(CruiseFile &file, const Act &act, const QString &id,
                                             const QString &slot, const QString &reason);
/// Exchanges the slots of two samples of one dive.
[[nodiscard]] Done swapSamples(CruiseFile &file, const Act &act, const QString &first, const QString &second,
                               const QString &reason);

/// Corrects fields of a sample: kind, count, description, tool, asked by, permit. The earlier values stay in
/// the record. Fields that already have the value are left out; nothing is written when none is left.
[[nodiscard]] Done amendSample(CruiseFile &file, const Act &act, const QString &id,
                               const QMap<QString, QString> &fields, const QString &reason,
                               const KindTable &kinds);

/// A sample is lost (spilled, dropped on the way), void (it never was one), or held again; its id stays.
[[nodiscard]] Done setSampleState(CruiseFile &file, const Act &act, const QString &id, const QString &state,
                                  const QString &reason);

} // namespace holdfast
