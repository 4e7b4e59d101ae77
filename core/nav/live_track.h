// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "nav/track.h"

#include <memory>

namespace holdfast
{

/// The causal twin of Track for the live screen: takes positions as they come and says where the vehicle is
/// now, with the same motion and error model and the stated default parameters. What it says is provisional;
/// Track says it again, better, from the whole dive. Not thread safe; one owner.
class LiveTrack
{
public:
    /// Options outside their ranges are an error (Usage), as in Track::build.
    [[nodiscard]] static Result<LiveTrack> start(const TrackOptions &options = {});

    LiveTrack(LiveTrack &&) noexcept;
    LiveTrack &operator=(LiveTrack &&) noexcept;
    ~LiveTrack();

    /// Takes one position and gives the provisional fix at its time. A position that is invalid, late
    /// (earlier than one already taken), stale or an outlier does not move the track; the fix then is Suspect
    /// and says so. Constant time and memory.
    NavFix add(const PositionRecord &record);

    /// Where the vehicle is at `now`, at or after the last position taken; NoFix beyond the extrapolation
    /// limit.
    [[nodiscard]] NavFix at(UtcTime now) const;

private:
    struct State;
    explicit LiveTrack(std::unique_ptr<State> state);
    std::unique_ptr<State> m_state;
};

} // namespace holdfast
