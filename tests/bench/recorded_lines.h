// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/line_recording.h"

#include <random>
#include <utility>

namespace holdfast::bench
{

inline constexpr int linesTakenIn = 1'000'000;
inline constexpr int linesOfABlock = 24;

/// A million scans at 24 Hz as a live feed would have left them: a block a second.
inline bool recordScans(CruiseFile &file, UtcTime begin)
{
    const auto profile = feedProfile(QStringLiteral("ctd-csv"));
    if (!profile)
        return false;
    const Recording recording{QStringLiteral("lines"),
                              1,
                              QStringLiteral("van"),
                              QStringLiteral("CTD"),
                              QStringLiteral("udp://127.0.0.1:1"),
                              QStringLiteral("ctd-csv"),
                              profile->json,
                              begin};
    std::mt19937 random(1);
    std::normal_distribution<double> noise(0, 1);
    std::vector<RecordedBlock> blocks;
    for (int line = 0; line < linesTakenIn;) {
        ReceivedLines lines;
        if (line == 0)
            lines.add(microsecondsOf(begin),
                      "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg");
        for (int i = 0; i < linesOfABlock; ++i, ++line) {
            const UtcTime time = begin + Microseconds(static_cast<std::int64_t>(line) * 1'000'000 / 24);
            lines.add(microsecondsOf(time), QStringLiteral("%1,%2,%3,%4,%5")
                                                .arg(toIso(time))
                                                .arg(32.1 + 0.002 * noise(random), 0, 'f', 4)
                                                .arg(3.4 + 0.002 * noise(random), 0, 'f', 4)
                                                .arg(1450 + 0.1 * noise(random), 0, 'f', 3)
                                                .arg(182 + 0.3 * noise(random), 0, 'f', 2)
                                                .toLatin1());
        }
        auto packed = packLines(lines, ',');
        if (!packed)
            return false;
        blocks.push_back({recording, std::move(*packed)});
        if (blocks.size() == 1000 || line >= linesTakenIn) {
            if (!storeLines(file, std::exchange(blocks, {})))
                return false;
        }
    }
    return true;
}

} // namespace holdfast::bench
