// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QStringView>
#include <optional>

namespace holdfast
{

/// The check character of ISO/IEC 7064, pure system MOD 37-2, over the letters and digits of an identifier.
/// Hyphens, full stops and blanks do not count, so an id keeps its check however it is grouped by hand; small
/// letters count as capitals. The result is one of 0-9, A-Z or '*'. The system finds every single wrong
/// character and every swap of two neighbours. Nothing is returned for an id with no letter or digit, or with
/// any other character. Source: ISO/IEC 7064:2003, pure systems (radix 2, modulus 37). Published check: the
/// ISBT 128 donation number G1234 98 654321 has the check character H.
[[nodiscard]] std::optional<QChar> checkCharacter(QStringView id);

/// True when `check` is the check character of `id`.
[[nodiscard]] bool checkCharacterHolds(QStringView id, QChar check);

} // namespace holdfast
