// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/feed_address.h"
#include "feed/feed_profile.h"
#include "live/host_clock.h"
#include "live/line_source.h"

#include <memory>

namespace holdfast
{

/// The source for an address. A replay's file is looked for from `folder`; error NotFound or Malformed when
/// it is not there or has no line with a time.
[[nodiscard]] Result<std::unique_ptr<LineSource>> makeSource(const FeedAddress &address,
                                                             const FeedProfile &profile,
                                                             const QString &folder,
                                                             const HostClock &clock = {});

/// The first of the plain profiles (position-csv, ctd-csv, dvl-csv, nmea) that finds a time in the log, and
/// that time. Error Malformed names those that were tried.
struct FittingProfile {
    FeedProfile profile;
    UtcTime first{};
};
[[nodiscard]] Result<FittingProfile> fittingProfile(const QString &path);

} // namespace holdfast
