// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"
#include "water/alignment.h"

#include <QJsonArray>

namespace holdfast
{

/// What a person decided about the sensors of one CTD log.
struct SensorCorrection {
    QString intake;   ///< uuid
    QString fileName; ///< of the log
    SensorCorrections values;
    QString reason;
    QString by;
    UtcTime time{};
};

/// What correctSensors() would refuse of the values alone.
[[nodiscard]] Done checkCorrections(const SensorCorrections &values, const QString &reason);

/// Derives a CTD log again from its own bytes with corrections of its sensors: pressure read in air taken
/// off, temperature read later by its lag. The values as read stay recoverable (the log's bytes are kept) and
/// corrections of 0 bring them back; each correction replaces the one before, none adds to it. `log` is the
/// file name, uuid or SHA-256 (8 characters or more) of a CTD log in use; it may be empty when there is only
/// one. Values accepted for samples stay until a person accepts new ones (dive/refix.h). Errors: Usage for a
/// lag beyond 5 s, an offset beyond 20 dbar or no reason; NotFound names the logs that are there.
[[nodiscard]] Result<SensorCorrection> correctSensors(CruiseFile &file, const Act &act, int dive,
                                                      const QString &log, const SensorCorrections &values,
                                                      const QString &reason);

/// The corrections that hold for the logs in use of a dive; a log without one is not in the list.
[[nodiscard]] Result<std::vector<SensorCorrection>> sensorCorrections(const Database &db, int dive);

/// The same for provenance: list of `intake`, `temperatureLagUs`, `pressureOffsetDbar`.
[[nodiscard]] QJsonArray asProvenance(const std::vector<SensorCorrection> &corrections);

} // namespace holdfast
