// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/intake_report.h"
#include "feed/records.h"

namespace holdfast
{

/// Puts records in order of time, equal times in the order of the log. Counts what was moved, drops records
/// that repeat another of the same time in every value (counted as repaired), and notes records that share a
/// time but not their values; both of these stay. Sets the report's accepted count and time span.
void putInOrder(std::vector<PositionRecord> &records, IntakeReport &report);
void putInOrder(std::vector<VelocityRecord> &records, IntakeReport &report);
void putInOrder(std::vector<AcousticRecord> &records, IntakeReport &report);
void putInOrder(CtdColumns &scans, IntakeReport &report);

} // namespace holdfast
