// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/custody_chain.h"
#include "custody/preservation.h"
#include "custody/specimens.h"
#include "dive/absent_logs.h"
#include "dive/readers.h"
#include "dive/refix.h"
#include "handoff/package_writer.h"

namespace holdfast
{

/// How a sample's values as they come out now stand to those that a person accepted.
enum class Acceptance { Never, AsAccepted, ChangedSince };
[[nodiscard]] QString acceptanceWord(Acceptance acceptance);

/// What is told of a sample and of a specimen alike.
struct ItemRecord {
    std::vector<Identification> names; ///< oldest first; the last one counts
    std::vector<Photograph> photographs;
    std::vector<PreservationInfo> preservations; ///< its own
    std::optional<PreservationInfo> preserved;   ///< what it is in now, from its parent where it has none
    std::vector<StorageInfo> storage;
    CustodyChain custody; ///< who had it, from the seafloor on
};

struct SpecimenRecord {
    SpecimenInfo info;
    QString family; ///< of its material; its sample's when the word is not known
    ItemRecord item;
};

struct SampleRecord {
    SampleInfo info;
    NavFix fix;
    WaterValues water;
    QString waterReason; ///< why it has no water values, where the log is at another station
    Acceptance acceptance = Acceptance::Never;
    QString permitDoubt;          ///< why its permit is in doubt; empty: nothing speaks against it
    QString notFound;             ///< on deck: the sentence of the tally without the id; empty when it was
    std::optional<TimeSpan> span; ///< in which a find was collected; none where the moment was caught
    ItemRecord item;
    std::vector<SpecimenRecord> specimens; ///< without the void ones

    /// The depth of the sample, positive down: by the CTD where it passes, else the vehicle's.
    [[nodiscard]] std::optional<double> depthM() const;
};

struct DiveRecord {
    DiveInfo info;
    std::vector<IntakeInfo> logs;
    AbsentLogs absent; ///< those of them that another station has
    std::vector<SampleRecord> samples;
    std::vector<NavFix> track; ///< the smoothed track, thinned to trackSpacing; only instants with a fix
    QJsonObject provenance;    ///< of the values (dive/refix.h)
};

struct CruiseContent {
    CruiseInfo cruise;
    std::vector<DiveRecord> dives;
};

inline constexpr std::chrono::seconds trackSpacing{20};

/// What is done with a dive while its track is at hand, on the thread that `db` belongs to.
using WithDive = std::function<Done(const Database &db, const DiveRecord &dive, const Track &track)>;

/// Reads the whole cruise and computes the values of its samples from the logs in use, two dives at a time
/// where `db` is a file (two_threads.h). Each dive's track is built once: `withDive` is given it, for what
/// else is made of it. The connection should be inside one read transaction. Memory: two dives' position
/// logs.
[[nodiscard]] Result<CruiseContent> readContent(const Database &db, const JobControl &job,
                                                const WithDive &withDive = {});

} // namespace holdfast
