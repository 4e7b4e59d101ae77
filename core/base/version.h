// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>

namespace holdfast
{

/// The program's version, as "0.1.0": kept with every value it computed and printed by --version.
[[nodiscard]] QString programVersion();

} // namespace holdfast
