// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"

#include <chrono>
#include <functional>

namespace holdfast
{

/// The computer's two clocks: the one that tells UTC and may be set, and the one that never steps. Given in,
/// so that a test can set the first one.
struct HostClock {
    using Steady = std::chrono::steady_clock;
    std::function<UtcTime()> utc = [] {
        return std::chrono::floor<Microseconds>(std::chrono::system_clock::now());
    };
    std::function<Steady::time_point()> steady = [] { return Steady::now(); };
};

} // namespace holdfast
