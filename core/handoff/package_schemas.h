// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/package_writer.h"

namespace holdfast
{

/// The schemas of templates/handoff/schemas, by which any validator checks the JSON and XML of a package
/// without this program: `data/schemas/`, with a line of each in its README about what it is of.
[[nodiscard]] Done writeSchemas(PackageWriter &package);

} // namespace holdfast
