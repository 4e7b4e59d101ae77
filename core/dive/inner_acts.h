// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/actions.h"
#include "dive/readiness.h"

namespace holdfast
{

// What actions record, for an act that is several of them in one transaction: only inside CruiseFile::write,
// which takes back what went before when one is refused. Rules and errors are those of the action named.

/// amendSample; the reason must have been looked at.
[[nodiscard]] Done recordSampleAmendment(CruiseFile &file, const Act &act, const QString &id,
                                         const QMap<QString, QString> &fields, const QString &reason,
                                         const KindTable &kinds);
/// moveSample.
[[nodiscard]] Result<QStringList> recordSampleMove(CruiseFile &file, const Act &act, const QString &id,
                                                   const QString &slot, const QString &reason);
/// setSampleState.
[[nodiscard]] Done recordSampleState(CruiseFile &file, const Act &act, const QString &id,
                                     const QString &state, const QString &reason);
/// takeStamp.
[[nodiscard]] Result<QString> recordStamp(CruiseFile &file, const Act &act, int dive, UtcTime at,
                                          const QJsonObject &seen);
/// stampSample.
[[nodiscard]] Result<LoggedSample> recordStampedSample(CruiseFile &file, const Act &act, int dive, UtcTime at,
                                                       const SampleDetails &details, const KindTable &kinds,
                                                       const QJsonObject &seen);
/// changeWatch.
[[nodiscard]] Done recordWatch(CruiseFile &file, const Act &act, int dive, const QString &role,
                               const QString &person);
/// checkReady.
[[nodiscard]] Done recordReadyCheck(CruiseFile &file, const Act &act, int dive, const ReadyPoint &point,
                                    bool inOrder, const QString &seen, const QString &note);

} // namespace holdfast
