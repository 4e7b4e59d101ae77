// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/csv.h"
#include "handoff/bag_source.h"

namespace holdfast
{

/// A table of a package as CSV (RFC 4180), up to the limits of reading_limits.h. Errors: NotFound, Refused
/// when it is larger, Malformed.
[[nodiscard]] Result<CsvTable> readBagTable(const BagSource &source, const QString &path);

} // namespace holdfast
