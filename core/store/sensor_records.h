// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "store/sensor_blocks.h"

namespace holdfast
{

/// The table of a CTD log with its line numbers; it refers to `scans`. Derived columns and flags are added by
/// the caller before packing.
[[nodiscard]] SensorTable tableOf(const CtdColumns &scans);

/// Records as columns, for packing; the table refers to this object, which must outlive it.
class RecordColumns
{
public:
    /// Pitch and roll only where a record has one.
    explicit RecordColumns(const std::vector<PositionRecord> &records);
    explicit RecordColumns(const std::vector<VelocityRecord> &records);
    explicit RecordColumns(const std::vector<AcousticRecord> &records);
    [[nodiscard]] SensorTable table() const;

private:
    std::vector<double> &add(const char *name);

    std::vector<std::int64_t> m_timeUs;
    std::vector<std::pair<std::string, std::vector<double>>> m_values;
    std::vector<std::uint32_t> m_lines;
    std::vector<PositionSource> m_sources;
};

/// Records made of rows again. A column that is not there is missing in every record.
[[nodiscard]] CtdColumns scansOf(const SensorRows &rows);
[[nodiscard]] std::vector<PositionRecord> positionsOf(const SensorRows &rows);
[[nodiscard]] std::vector<VelocityRecord> velocitiesOf(const SensorRows &rows);
[[nodiscard]] std::vector<AcousticRecord> acousticsOf(const SensorRows &rows);

} // namespace holdfast
