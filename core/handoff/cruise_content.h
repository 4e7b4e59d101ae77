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

/// Where a linked photograph is, as far as anybody looked.
struct PhotographFile {
    QString file;   ///< its path in the package; empty: it is not in it
    QString whyNot; ///< why it can't be had, "not found where it was linked"; empty: it can
};

/// What is told of a sample and of a specimen alike.
struct ItemRecord {
    std::vector<Identification> names; ///< oldest first; the last one counts
    std::vector<Photograph> photographs;
    std::vector<PreservationInfo> preservations; ///< its own
    std::optional<PreservationInfo> preserved;   ///< what it is in now, from its parent where it has none
    std::vector<StorageInfo> storage;
    CustodyChain custody;                       ///< who had it, from the seafloor on
    QHash<QString, PhotographFile> packed = {}; ///< by SHA-256; empty until photographs are looked for
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
    /// What has become of it by its chain of custody: held, lost, void, consumed, destroyed, deposited.
    [[nodiscard]] QString stateNow() const;
};

struct DiveRecord {
    DiveInfo info;
    std::vector<IntakeInfo> logs;
    AbsentLogs absent; ///< those of them that another station has
    std::vector<SampleRecord> samples;
    std::vector<AmendmentInfo> amendments; ///< of its samples, oldest first
    QHash<QString, QString> successors;    ///< of a log that was replaced → the log in its place (uuids)
    /// Least and greatest depth at which the vehicle was logged between launch and recovery; positive down.
    std::optional<std::pair<double, double>> depthRangeM;
    std::vector<NavFix> track; ///< the smoothed track, thinned to trackSpacing; only instants with a fix
    QJsonObject provenance;    ///< of the values (dive/refix.h)
};

struct CruiseContent {
    CruiseInfo cruise;
    std::vector<DiveRecord> dives;
};

inline constexpr std::chrono::seconds trackSpacing{20};

/// Sets the range of depths of each dive by its CTD scans, which know depth better than the acoustics, and by
/// the track before and after them; a dive without scans keeps that of its position log. Reads all scans,
/// which only a package needs.
[[nodiscard]] Done depthRangesByScans(const Database &db, CruiseContent &content, const JobControl &job);

/// Calls `take` with the id of each sample and specimen and what is told of it.
template <typename Content, typename Take>
void forEachItem(Content &content, const Take &take)
{
    for (auto &dive : content.dives) {
        for (auto &s : dive.samples) {
            take(s.info.id, s.item);
            for (auto &p : s.specimens)
                take(p.info.id, p.item);
        }
    }
}

/// What is done with a dive while its track is at hand, on the thread that `db` belongs to.
using WithDive = std::function<Done(const Database &db, const DiveRecord &dive, const Track &track)>;

/// Reads the whole cruise and computes the values of its samples from the logs in use, two dives at a time
/// where `db` is a file (two_threads.h). Each dive's track is built once: `withDive` is given it, for what
/// else is made of it. The connection should be inside one read transaction. Memory: two dives' position
/// logs.
[[nodiscard]] Result<CruiseContent> readContent(const Database &db, const JobControl &job,
                                                const WithDive &withDive = {});

} // namespace holdfast
