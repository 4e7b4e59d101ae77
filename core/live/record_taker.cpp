// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/record_taker.h"

#include <utility>

namespace holdfast
{

std::optional<UtcTime> NewRecords::lastTime() const
{
    if (!positions.empty())
        return positions.back().time;
    if (!velocities.empty())
        return velocities.back().time;
    if (!acoustics.empty())
        return acoustics.back().time;
    if (ctd.size() > 0)
        return utcFromMicroseconds(ctd.timeUs.back());
    return {};
}

NewRecords RecordTaker::take(LineParser &parser)
{
    NewRecords fresh;
    auto &positions = parser.positions();
    if (positions.size() > m_positionsSeen) {
        fresh.positions.assign(positions.begin() + static_cast<std::ptrdiff_t>(m_positionsSeen),
                               positions.end());
        positions.erase(positions.begin(), positions.end() - 1);
        m_positionsSeen = 1;
    }
    if (!parser.velocities().empty())
        fresh.velocities = std::exchange(parser.velocities(), {});
    if (!parser.acoustics().empty())
        fresh.acoustics = std::exchange(parser.acoustics(), {});
    if (parser.ctd().size() > 0)
        fresh.ctd = std::exchange(parser.ctd(), {});
    return fresh;
}

} // namespace holdfast
