// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QByteArray>
#include <QString>
#include <QStringList>
#include <string_view>
#include <vector>

namespace holdfast
{

/// A table of comma-separated text (RFC 4180), read whole: for lists of times and for calculations, not for
/// logs (a log of a million lines is read by feed/).
struct CsvTable {
    QString source;                ///< for the sentence of an error: the file's name, or "standard input"
    QStringList header;            ///< names of the columns, blanks around them dropped
    std::vector<QStringList> rows; ///< each as long as the header
    std::vector<int> lineOf;       ///< line on which each row begins, counted from 1

    /// Column by name; -1 when there is none.
    [[nodiscard]] int column(const QString &name) const { return static_cast<int>(header.indexOf(name)); }
    /// Column by name. Error Malformed that names the columns there are.
    [[nodiscard]] Result<int> needColumn(const QString &name) const;
};

/// Reads a table: header row first; lines that begin with '#' before it and blank lines are passed over; a
/// byte order mark, CR LF and a missing last line end are taken; quoted fields may hold commas, quotes and
/// line ends. Error Malformed with the line: empty input, binary data (a NUL byte), text that is not UTF-8, a
/// row with another number of fields than the header, a quote that is never closed.
[[nodiscard]] Result<CsvTable> readCsv(const QByteArray &bytes, const QString &source);

/// The same from a file; NotFound or Unreadable when it is not there, a folder, or not readable.
[[nodiscard]] Result<CsvTable> readCsvFile(const QString &path);

/// One field as it is written: quoted when it holds a comma, quote or line end.
[[nodiscard]] QByteArray csvField(const QString &text);

/// A number in the shortest form that reads back to the same value; empty for NaN and infinities.
[[nodiscard]] QByteArray csvNumber(double value);
/// With a fixed number of decimals; empty for NaN and infinities.
[[nodiscard]] QByteArray csvFixed(double value, int decimals);

/// Writes a file whole or not at all (a temporary file beside it is renamed). "-" is standard output; a
/// device or a pipe is written to as it is. A database that stands there is not written over
/// (base/output_file.h).
[[nodiscard]] Done writeWhole(const QString &path, const QByteArray &bytes);

} // namespace holdfast
