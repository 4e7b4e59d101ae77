// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/cruise_tables.h"

namespace holdfast
{

// The parts of recordTables(), and the words that they share.

namespace table_words
{

inline constexpr auto text = CellType::Text;
inline constexpr auto whole = CellType::Whole;
inline constexpr auto number = CellType::Number;
inline constexpr auto time = CellType::Time;
inline constexpr auto yesNo = CellType::YesNo;

inline constexpr const char *byWhom = "Person who did and recorded it.";
inline constexpr const char *recordedAt = "When it was recorded, UTC.";
inline constexpr const char *itemId = "Id of the sample or specimen.";
inline constexpr const char *warningText = "What the program warned about when it was recorded.";
inline constexpr const char *reasonText = "Reason given.";

/// Columns that many tables have.
inline const CellColumn byColumn{"by", text, "", byWhom};
inline const CellColumn recordedColumn{"recorded", time, "", recordedAt};
inline const CellColumn entryColumn{"entry", text, "", "Ledger entry (uuid).", "", true};
inline const CellColumn itemColumn{"item", text, "", itemId, "", true};
inline const CellColumn diveColumn{"dive", whole, "", "Number of the dive.", "", true};
inline const CellColumn reasonColumn{"reason", text, "", reasonText};

} // namespace table_words

[[nodiscard]] std::vector<TableSpec> benchTables();
[[nodiscard]] std::vector<TableSpec> custodyTables();
[[nodiscard]] std::vector<TableSpec> logTables();
[[nodiscard]] std::vector<TableSpec> readyingTables();

} // namespace holdfast
