// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "simulated_dive.h"

#include <QString>
#include <vector>

namespace holdfast::demo
{

/// One thing that happens on an invented dive, `min` minutes after launch.
struct Event {
    enum class What { Sample, Failed, SetAside, Lid, Move, Amend, Lost };
    double min = 0;
    What what = What::Sample;
    QString slot; ///< Sample, Lid, Move (to where)
    QString kind; ///< Sample; Amend: the new kind
    int count = 1;
    QString words; ///< the description or the reason
    QString by;    ///< who logs
    QString askedBy;
    int number = 0; ///< Move, Amend, Lost: which sample of the dive
    bool open = false;
};

/// What the party on deck finds in slots that are not as logged.
struct Found {
    QString slot, answer, note;
};

/// How far an invented dive has got.
enum class Stage { Closed, OnDeck, OnBottom };

struct DemoDive {
    int number = 1;
    DivePlan plan;
    std::vector<Event> events;
    std::vector<Found> found; ///< the rest is as logged
    int tallied = 0;          ///< slots answered before the demo stops, for Stage::OnDeck
    Stage stage = Stage::Closed;
};

/// Three dives on a seamount that does not exist, by people who do not exist: one closed, one on deck in the
/// middle of its tally, one on the bottom with its logs still to be replayed.
[[nodiscard]] std::vector<DemoDive> scenario();

} // namespace holdfast::demo
