// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "print/custody_sheet.h"

namespace holdfast
{

/// The text, or missingText() when it is empty.
[[nodiscard]] QString orMissing(const QString &text);

/// Date above time, for narrow columns; missingText() when absent.
[[nodiscard]] QString twoLineTime(const std::optional<UtcTime> &time);

/// What stands in a sample's row under one of the fields of templates/sheets/README.md; empty for fields that
/// are drawn or left free.
[[nodiscard]] QString sampleCell(const CustodySample &sample, const QString &field);

} // namespace holdfast
