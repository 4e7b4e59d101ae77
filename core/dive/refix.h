// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"
#include "dive/dive_values.h"
#include "nav/clock_offset.h"

#include <QJsonObject>
#include <optional>

namespace holdfast
{

// ---- the CTD's clock against the vehicle's

/// Estimates the offset from the pressure that the CTD saw and the depths in the dive's position logs.
/// Errors as estimateClockOffset, with a sentence that says which log is missing.
[[nodiscard]] Result<ClockOffset> diveClockOffset(const Database &db, int dive);

/// Applies an offset to the dive's CTD logs by a person's decision: it is subtracted from their times
/// whenever water values are computed; the logs themselves stay as they are. 0 takes an earlier decision
/// back. Refused beyond ±1 h: then a log is of another dive.
[[nodiscard]] Done applyClockOffset(CruiseFile &file, const Act &act, int dive, Microseconds offset,
                                    const QString &reason);

// ---- fixes and water values as accepted, and computed again

/// One sample's values.
struct SampleValues {
    QString id;
    NavFix fix;
    WaterValues water;
};

/// All samples of a dive computed from the logs that are in use now.
struct ComputedValues {
    int dive = 0;
    std::vector<SampleValues> samples;
    QJsonObject provenance; ///< program, method, parameters, logs with their SHA-256, clock offset
};
[[nodiscard]] Result<ComputedValues> computeValues(const Database &db, int dive);
/// The same from a track that was built already (diveTrack with FixMethod::Smooth).
[[nodiscard]] Result<ComputedValues> computeValues(const Database &db, int dive, const Track &track);

/// One quantity of one sample, as it was accepted and as it comes out now.
struct ValueChange {
    QString sample;
    QString quantity; ///< "latitude_deg", "depth_m", …
    QString accepted; ///< empty when nothing was accepted before
    QString now;      ///< empty when there is no value
};
struct ValueComparison {
    std::vector<ValueChange> values;           ///< every quantity of every sample
    std::vector<std::optional<double>> movedM; ///< per sample: distance between the two positions
    std::vector<QString> samples;              ///< the ids that `movedM` belongs to
    [[nodiscard]] bool differs() const;
};
[[nodiscard]] Result<ValueComparison> compareValues(const Database &db, const ComputedValues &computed);

/// A person accepts the values: they become an entry with their provenance; earlier accepted ones stay in the
/// record. Error Refused when the dive has no samples. A reason is needed.
[[nodiscard]] Done acceptValues(CruiseFile &file, const Act &act, const ComputedValues &computed,
                                const QString &reason);

} // namespace holdfast
