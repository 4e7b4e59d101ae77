// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "store/database.h"

namespace holdfast
{

// Stations that write without hearing of each other give numbers from blocks of their own, so that ids do not
// collide: the first station 1 to 300, the next 301 to 600 … of each dive; parts of a sample 1 to 100, 101 to
// 200 … A station alone has no end to its block.

inline constexpr int numbersInABlock = 300;
inline constexpr int partsInABlock = 100;

/// The next number that `station` gives to a sample of a dive. Error Refused when its block is used up.
[[nodiscard]] Result<int> nextSampleNumber(const Database &db, const QString &station, int dive);
/// The next number that `station` gives to a part of `parent` (a sample or specimen).
[[nodiscard]] Result<int> nextPartNumber(const Database &db, const QString &station, const QString &parent);

/// The first of `count` numbers for blank labels that `station` may print for a dive. Labels stick on jars
/// before anybody exchanges anything, so that stations must not print the same: a station alone has the
/// numbers 1 to 99999, one among several the block of `blanksInABlock` that goes with its block of samples.
/// Error Refused when they are used up.
inline constexpr int blanksInABlock = 3000;
[[nodiscard]] Result<int> nextBlankNumber(const Database &db, const QString &station, int dive, int count);

/// The first number of a block that no station of the file has or has used, up to now. Which one depends on
/// the name, so that two stations set up from the same copy seldom get the same.
[[nodiscard]] Result<int> freeNumbersFrom(const Database &db, const QString &station);

} // namespace holdfast
