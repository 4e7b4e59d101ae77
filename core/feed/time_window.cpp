// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/time_window.h"

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

std::vector<UtcTime> timesOf(const IntakeData &data)
{
    std::vector<UtcTime> times;
    for (const PositionRecord &record : data.positions)
        times.push_back(record.time);
    for (const VelocityRecord &record : data.velocities)
        times.push_back(record.time);
    for (const AcousticRecord &record : data.acoustics)
        times.push_back(record.time);
    for (const std::int64_t us : data.ctd.timeUs)
        times.push_back(utcFromMicroseconds(us));
    return times;
}

} // namespace

void warnOutsideWindow(IntakeData &data, std::optional<UtcTime> start, std::optional<UtcTime> end)
{
    if (!start && !end)
        return;
    const auto inside = [&](UtcTime t) { return (!start || t >= *start) && (!end || t <= *end); };
    const IntakeReport &report = data.report;
    if (report.firstTime && inside(*report.firstTime) && inside(*report.lastTime))
        return; // the records are in order of time
    std::int64_t outside = 0;
    std::optional<UtcTime> first;
    const std::vector<UtcTime> times = timesOf(data);
    for (const UtcTime t : times) {
        if (inside(t))
            continue;
        ++outside;
        if (!first)
            first = t;
    }
    QString sentence =
        u"%1 of %2 records are outside the dive's time (%3 to %4); the first is at %5."_s.arg(outside)
            .arg(times.size())
            .arg(start ? toIso(*start) : u"the beginning"_s, end ? toIso(*end) : u"now"_s,
                 toIso(first.value_or(UtcTime{})));
    constexpr Microseconds rollover = std::chrono::weeks{1024};
    for (const int periods : {1, 2, -1, -2}) {
        if (first && start && end && inside(*first + periods * rollover)) {
            sentence +=
                u" Moved by %1 weeks it would be inside: the receiver's week count has run over."_s.arg(
                    1024 * periods);
            break;
        }
    }
    data.report.warnings += sentence;
}

} // namespace holdfast
