// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QByteArray>

namespace holdfast
{

// Tag files of a bag are in the encoding that bagit.txt declares (RFC 8493 2.3), bagit.txt itself in UTF-8.

/// Whether text in the encoding of this name (IANA's, letter case does not count) can be read here.
[[nodiscard]] bool isKnownEncoding(const QByteArray &name);

/// The bytes of a tag file in UTF-8; an empty name is UTF-8, which is given back as it is, with any byte
/// order mark. Malformed when they are not in the encoding.
[[nodiscard]] Result<QByteArray> tagTextInUtf8(const QByteArray &bytes, const QByteArray &encoding);

} // namespace holdfast
