// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "cli/cli.h"

namespace holdfast::cli
{

/// --pin and --pin-fd, for the verbs in which a person can confirm.
[[nodiscard]] QList<Flag> pinFlags();

/// Whether the person confirmed by PIN: false when no flag asks for it; an error when the PIN is wrong. The
/// entry then says so in its `confirmation` (means: pin). A PIN is never a word of the command line, which
/// others on the computer can see.
[[nodiscard]] Result<bool> confirmedByPin(const CruiseFile &file, const Arguments &arguments,
                                          const QString &person, UtcTime now);

} // namespace holdfast::cli
