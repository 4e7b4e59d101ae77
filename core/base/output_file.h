// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QByteArrayView>
#include <QString>
#include <QStringList>
#include <functional>

class QFileDevice;

namespace holdfast
{

/// Whether a result may be written to `path`. Error Refused when a database stands there (a cruise file, or
/// one of its side files), so that a mistyped name can't cost the record; Usage for an empty name.
[[nodiscard]] Done mayWriteOver(const QString &path);

/// Takes the next piece of a result.
using TakePiece = std::function<Done(QByteArrayView)>;

/// Writes what `fill` hands over, piece by piece, to `path`, whole or not at all: it goes into a new file
/// beside it, which takes the place of an older one only when every byte is on the disk. "-" is standard
/// output; a device or a pipe is written to as it is. Errors: those of mayWriteOver() and of `fill`;
/// Unwritable when the disk is full or the place can't be written to.
[[nodiscard]] Done writeOutput(const QString &path, const std::function<Done(const TakePiece &)> &fill);

/// Why a file could not be written, without the full stop of a sentence. A write that a full disk cut short
/// leaves no reason in the file: the disk is asked then.
[[nodiscard]] QString whyUnwritten(const QFileDevice &file);

/// Error Usage when `path` is one of the files that are read for the result, also by another name or a link.
[[nodiscard]] Done isNoInput(const QString &path, const QStringList &inputs);

} // namespace holdfast
