// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/line_parser.h"

namespace holdfast
{

/// What one line of a feed gave.
struct NewRecords {
    std::vector<PositionRecord> positions;
    std::vector<VelocityRecord> velocities;
    std::vector<AcousticRecord> acoustics;
    CtdColumns ctd;

    [[nodiscard]] std::optional<UtcTime> lastTime() const;
};

/// Takes the records out of a parser as they come, so that a feed can run for days in constant memory.
class RecordTaker
{
public:
    [[nodiscard]] NewRecords take(LineParser &parser);

private:
    std::size_t m_positionsSeen = 0; ///< the parser keeps its last one: a later sentence may join it
};

} // namespace holdfast
