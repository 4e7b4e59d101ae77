// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/cruise_content.h"
#include "handoff/dataset_about.h"
#include "handoff/vocabulary.h"

namespace holdfast
{

// The Darwin Core Archive of a package, `data/dwca/`: events (cruise > dive > sample > subsample) as core,
// occurrences of what lives, and the water values as extended measurements or facts. Rocks, sediment and
// water are events without occurrence; their descriptions are in igsn.json. Void samples are left out.

inline const QString dwcaFolder = QStringLiteral("data/dwca/");

/// The id of the event of a dive: "TK26:dive-04". The cruise's is its code, a sample's and a subsample's its
/// id.
[[nodiscard]] QString diveEventId(const QString &cruise, int dive);

[[nodiscard]] Done writeDarwinCore(PackageWriter &package, const CruiseContent &content,
                                   const DatasetAbout &about, const std::vector<VocabularyTerm> &vocabulary,
                                   const QString &packageName, UtcTime now);

/// What the data set is called: as who stands for it says, else the cruise's title, else by its code.
[[nodiscard]] QString datasetTitle(const CruiseContent &content, const DatasetAbout &about);

/// eml.xml (EML 2.2.0 with the children of dataset in the order of its schema).
[[nodiscard]] QByteArray emlXml(const CruiseContent &content, const DatasetAbout &about,
                                const QString &packageName, UtcTime now);

/// When a dive was in the water: launch to recovery, else as far as its samples and its track reach; empty
/// when nothing tells.
struct Interval {
    std::optional<UtcTime> from, to;
    /// "2026-03-12T07:00:00.000Z/2026-03-12T15:00:00.000Z", both ends in full; one instant alone when only
    /// one is known.
    [[nodiscard]] QString iso() const;
};
[[nodiscard]] Interval diveInterval(const DiveRecord &dive);
[[nodiscard]] Interval cruiseInterval(const CruiseContent &content);

/// All places of a dive: its track, else the fixes of its samples.
[[nodiscard]] std::vector<GeoPoint> placesOf(const DiveRecord &dive);

} // namespace holdfast
