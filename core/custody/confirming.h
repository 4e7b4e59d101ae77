// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"
#include "ledger/pin_book.h"

namespace holdfast
{

// How people confirm by PIN at the file's station. All but the recording takes about a tenth of a second and
// 64 MB a PIN: never on the thread of a window.

/// The PINs of the file's station. Error Refused on a computer that is not that station.
[[nodiscard]] Result<PinBook> pinBookOf(const CruiseFile &file);

/// Whether `pin` is the person's here; errors as PinBook::confirm gives them.
[[nodiscard]] Done confirmByPin(const CruiseFile &file, const QString &person, const QString &pin,
                                UtcTime now);

/// Sets a person's first PIN, or another one when `old` is right, and puts on record that it was set.
[[nodiscard]] Done setPin(CruiseFile &file, const Act &act, const QString &person, const QString &pin,
                          const QString &old);

/// Takes a forgotten PIN away, on record with who did it.
[[nodiscard]] Done forgetPin(CruiseFile &file, const Act &act, const QString &person);

} // namespace holdfast
