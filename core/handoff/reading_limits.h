// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QtGlobal>

namespace holdfast
{

// How much of somebody else's package is taken into memory at a time. A few kilobytes of a zip unpack to
// megabytes of line feeds, each of which would become a line, a row or a finding; so all that is read as text
// is read up to a size, and counted beyond a number. House limits, far above what cruises reach: each says
// beside it what that is. What lies above is told as an error and not read, never passed over.

constexpr qint64 mostTagBytes = qint64{1} << 20;       ///< of bagit.txt, bag-info.txt, meta.xml: kilobytes
constexpr qint64 mostDocumentBytes = qint64{16} << 20; ///< of an EML document: hundreds of kilobytes
constexpr qint64 mostListBytes = qint64{64} << 20;     ///< of a manifest: SHA-512 sums of 300 000 files
constexpr qint64 mostTableBytes = qint64{64} << 20;    ///< of a table: some 400 000 measurements
constexpr qint64 mostTableRows = 1'000'000;            ///< of one table
constexpr qint64 mostArchiveCells = 8'000'000;         ///< of all tables of one archive together
/// Of a line in a manifest: a checksum and a path, which systems keep below 4096 bytes, encoded.
constexpr qint64 mostListLineBytes = 16'384;
constexpr qint64 mostLedgerLineBytes = qint64{16} << 20; ///< of one entry: kilobytes

/// Of a manifest of a bag with so many files and folders: one for each, and as many that are missing.
constexpr qint64 mostListLines(qint64 entries)
{
    return 20'000 + 2 * entries;
}

} // namespace holdfast
