// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "ledger/entry.h"

#include <QByteArray>
#include <QJsonValue>

namespace holdfast
{

/// JSON in one form only, so that the same content always has the same bytes and the same hash: the JSON
/// Canonicalization Scheme (RFC 8785) restricted to what the ledger holds. Object keys in order of their
/// UTF-16 code units, no blanks, the shortest escapes, UTF-8. Numbers are whole and within ±(2^53 - 1);
/// measured values are kept as text, so no reader has to agree with another on how to print a fraction. Error
/// Internal when a value holds a fraction, an undefined, or half of a surrogate pair.
[[nodiscard]] Result<QByteArray> canonicalJson(const QJsonValue &value);

/// The bytes whose SHA-256 is an entry's hash: the canonical JSON object of all its columns but the hash,
/// `time` as ISO 8601 with microseconds and `body` as it stands (it is canonical already; any other spelling
/// changes the hash). See core/ledger/README.md for a worked example that can be checked with common tools.
[[nodiscard]] QByteArray canonicalEntry(const Entry &entry);

/// SHA-256 (FIPS 180-4) of `bytes`, 64 small hex digits.
[[nodiscard]] QString sha256Hex(const QByteArray &bytes);

} // namespace holdfast
