// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/specimens.h"
#include "dive/absent_logs.h"
#include "dive/dive_values.h"
#include "dive/readers.h"
#include "print/custody_sheet.h"
#include "print/substances.h"

namespace holdfast
{

// What the papers of a dive share: its samples with what the logs say of their moments, and how a thing is
// kept.

struct ValuedSample {
    SampleInfo sample;
    NavFix fix;
    WaterValues water;
    AbsentLogs absent = {}; ///< of its dive
    std::optional<TimeSpan> span =
        {}; ///< of a find: in which it was collected; its sample's time is when it was found

    /// m, positive down: from the CTD where it passes, else the vehicle's.
    [[nodiscard]] std::optional<double> depthM() const;
};
/// In order of number; void and lost ones too.
[[nodiscard]] Result<std::vector<ValuedSample>> valuedSamples(const Database &db, int dive);
/// The same from a track that was built already (diveTrack with FixMethod::Smooth).
[[nodiscard]] Result<std::vector<ValuedSample>> valuedSamples(const Database &db, int dive,
                                                              const Track &track);

/// How a sample or specimen is kept now; what is not recorded is empty. A part that has no preservative of
/// its own is in what it was split off from (custody/held_acts.h).
struct KeptNow {
    QString preservative; ///< short, for labels: "ethanol 96 %", "formalin 10 %", "formalin 4 % formaldehyde"
    QString preservativeInFull; ///< for sheets: "formalin 10 % (3.7 % formaldehyde)", from whom it has it
    QString hazard;             ///< the word of templates/hazards for it
    QString container;          ///< "cryovial 1 of 2", for a label "1 of 2" is its end
    int containerNumber = 1, containerCount = 1;
    QString place;
    QString temperature;                       ///< "-20 °C"
    [[nodiscard]] QString containerOf() const; ///< "1 of 2"; empty for a single one
};
[[nodiscard]] Result<KeptNow> keptNow(const Database &db, const QString &id, const SubstanceTable &table);

/// "2026-03-12 06:00 to 10:26 UTC, found at recovery": what stands where else the moment does.
[[nodiscard]] QString foundText(const TimeSpan &span);

/// templates/hazards/substances.json
[[nodiscard]] Result<SubstanceTable> substanceTable();

/// A sample as its row on a sheet.
[[nodiscard]] Result<CustodySample> sheetRow(const Database &db, const ValuedSample &valued,
                                             const SubstanceTable &table);

} // namespace holdfast
