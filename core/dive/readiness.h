// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"
#include "dive/readers.h"

#include <map>
#include <optional>

namespace holdfast
{

// Readying a dive: what is checked before the launch and by whom, who is on watch, what may be taken at most
// and what is wanted. Nothing here ever blocks a stamp.

/// A point of the checklist. What it is about: one box of the loadout by its title, or one of the words
/// below.
struct ReadyPoint {
    QString item;    ///< "box", "feeds", "clocks", "watch", "permits", "plan"
    QString subject; ///< the box's title; empty for the others
    friend bool operator==(const ReadyPoint &, const ReadyPoint &) = default;
    friend bool operator<(const ReadyPoint &a, const ReadyPoint &b)
    {
        return a.item != b.item ? a.item < b.item : a.subject < b.subject;
    }
};
[[nodiscard]] QString readyItemBox();

struct ReadyCheck {
    bool inOrder = false;
    QString seen; ///< what the instruments said at that moment; may be empty
    QString note;
    QString by;
    UtcTime time{};
};

/// Says that a point is in order, or is not (then `note` says why). Said again it is a correction.
/// Errors: NotFound for a box the loadout has not, or an item that is none; Usage for a fault without a note.
[[nodiscard]] Done checkReady(CruiseFile &file, const Act &act, int dive, const ReadyPoint &point,
                              bool inOrder, const QString &seen = {}, const QString &note = {});
/// Takes a check back: the point is open again. Refused when it was not checked.
[[nodiscard]] Done withdrawReady(CruiseFile &file, const Act &act, int dive, const ReadyPoint &point);
[[nodiscard]] Result<std::map<ReadyPoint, ReadyCheck>> readReadyChecks(const Database &db, int dive);

/// Who does what on a watch. The role "log" is the one who logs.
struct WatchPost {
    QString role, person;
    UtcTime since{};
};
[[nodiscard]] QString logRole();
/// The watch is in order, and who says so is the one who logs from now on: one act.
[[nodiscard]] Done checkWatchAndLog(CruiseFile &file, const Act &act, int dive, const QString &seen = {},
                                    const QString &note = {});
/// Hands a post over by name; an empty person leaves it empty. Refused when it would change nothing.
[[nodiscard]] Done changeWatch(CruiseFile &file, const Act &act, int dive, const QString &role,
                               const QString &person);
/// The log first, then by role.
[[nodiscard]] Result<std::vector<WatchPost>> readWatch(const Database &db, int dive);

/// How many of a taxon a permit lets a cruise take. The permit's own text decides; this only counts.
struct PermitLimit {
    QString taxon; ///< as typed behind p: in the quick line, or the title; letter case does not matter
    int most = 0;
    QString title; ///< the permit's name or number
    int taken = 0; ///< individuals of all samples under it on this cruise, lost ones too, void ones not
    [[nodiscard]] int left() const { return most - taken; }
};
/// Sets a limit, 0 .. 100000; none takes it off. Error Usage for an empty taxon or another number; Refused
/// when there is none to take off.
[[nodiscard]] Done limitPermit(CruiseFile &file, const Act &act, const QString &taxon,
                               std::optional<int> most, const QString &title = {});
[[nodiscard]] Result<std::vector<PermitLimit>> readPermits(const Database &db);
/// Which limit a sample's permit word means: by taxon, else by title; none for an empty or another word.
[[nodiscard]] std::optional<std::size_t> limitOf(const std::vector<PermitLimit> &permits,
                                                 const QString &permit);
/// Why a sample's permit is in doubt, in words: no limit has this name (where any is set), or more was taken
/// than it allows. Empty when nothing is.
[[nodiscard]] QString permitDoubt(const std::vector<PermitLimit> &permits, const QString &permit);

/// What is wanted of a dive (dive 0: of the whole cruise), and how much at most.
struct WantedItem {
    int dive = 0;
    QString kind; ///< a kind, or a family of kinds
    int least = 0;
    std::optional<int> most;
    int taken = 0;
    [[nodiscard]] bool enough() const { return taken >= least; }
    [[nodiscard]] bool means(const QString &ofKind, const QString &family) const;
};
/// Sets an item of the plan, replacing the one of the same kind and dive. Error Usage for an empty kind,
/// numbers out of 0 .. 100000 or a least above the most.
[[nodiscard]] Done wantItem(CruiseFile &file, const Act &act, int dive, const QString &kind, int least,
                            std::optional<int> most);
/// Takes an item off the plan. Refused when it is not on it.
[[nodiscard]] Done dropItem(CruiseFile &file, const Act &act, int dive, const QString &kind);
/// Those of the dive and of the whole cruise, by kind.
[[nodiscard]] Result<std::vector<WantedItem>> readWanted(const Database &db, int dive);

/// What a sample of this count would exceed, in sentences that the record keeps with it; empty: nothing.
[[nodiscard]] QStringList overLimits(const std::vector<PermitLimit> &permits,
                                     const std::vector<WantedItem> &wanted, const QString &kind,
                                     const QString &family, const QString &permit, int count);

/// A warning that overLimits() gives: it no longer holds once the sample is corrected.
[[nodiscard]] bool isOfLimits(const QString &warning);
/// The counts as they were without this sample, to ask again what its corrected values would exceed.
void takeOut(std::vector<PermitLimit> &permits, std::vector<WantedItem> &wanted, const SampleInfo &sample);

/// All that is known of a dive's readiness.
struct Readiness {
    QStringList boxes; ///< the titles of the loadout's boxes, in its order
    std::map<ReadyPoint, ReadyCheck> checks;
    std::vector<WatchPost> watch;
    std::vector<PermitLimit> permits;
    std::vector<WantedItem> wanted;
};
[[nodiscard]] Result<Readiness> readReadiness(const Database &db, int dive);

/// One line of "What is left to ready?".
struct ReadyLine {
    enum class State { Open, InOrder, Doubt };
    ReadyPoint point;
    State state = State::Open;
    QString title; ///< "Port bioboxes: empty and clean"
    QString words; ///< who checked it when, what was seen, or what is to do
};
/// The checklist of a dive, in the order of the work.
[[nodiscard]] std::vector<ReadyLine> readyLines(const Readiness &readiness);
/// "3 of 12 points left" in words: "all is in order", "1 point is left".
[[nodiscard]] QString readyAnswer(const std::vector<ReadyLine> &lines);

} // namespace holdfast
