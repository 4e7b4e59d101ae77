// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/log_intake.h"
#include "store/line_log.h"

namespace holdfast
{

/// A recording with what stands in it.
struct RecordedFeed {
    Recording recording;
    RecordingSums sums;
    bool closed = false;
};

struct RecordedBlock {
    Recording recording;
    PackedLines lines;
};

/// How long lines wait for another writer of the file.
enum class Patience {
    Short, ///< a fifth of a second, so that a stamp never stands behind them: they are tried again
    Usual, ///< as every other write
    Long,  ///< half a minute: nobody will try again
};

/// Stores blocks of received lines, durable when it returns without an error. It is no entry of the ledger:
/// the one that closes the recording proves them.
[[nodiscard]] Done storeLines(CruiseFile &file, const std::vector<RecordedBlock> &blocks,
                              Patience patience = Patience::Short);

/// Closes a recording: its counts and the digest of its blocks go into the ledger. `ending` says how it ended
/// ("closed", "left open"). A recording of which no line was stored has nothing to close.
[[nodiscard]] Done closeRecording(CruiseFile &file, const Act &act, const QString &uuid,
                                  const QString &ending);
/// Closes the recordings of this file's station that a program left open when it ended. Call it only when no
/// other window records into the file. @return how many.
[[nodiscard]] Result<int> closeLeftOpen(CruiseFile &file, const Act &act);

/// The recordings of a dive, or of all of them (0), in the order in which they began.
[[nodiscard]] Result<std::vector<RecordedFeed>> readRecordings(const Database &db, int dive);

/// Gives the recorded lines of a feed of a dive in the order in which they came. Error NotFound names the
/// feeds that have lines.
[[nodiscard]] Done recordedLines(const Database &db, int dive, const QString &feed,
                                 const std::function<Done(const ReceivedLines &)> &take);

/// Makes a sensor log of the dive out of the recorded lines of a feed, as takeInLog() does of a file. With an
/// empty `profile` it is read by the one the feed was opened with last. What was made of the same feed before
/// is replaced by it: it stays, but is no longer used. A header stands at its beginning, once, wherever the
/// feed said it. The log's first line says where it comes from, as a
/// remark or as a proprietary sentence.
[[nodiscard]] Result<TakenLog> takeInLines(CruiseFile &file, const Act &act, int dive, const QString &feed,
                                           const QString &profile = {}, const IntakeOptions &options = {});

/// The same without keeping those who write waiting: reads by `reading`, which may be read-only and belongs
/// to the calling thread, and writes as storeInTurns() does.
[[nodiscard]] Result<TakenLog> takeInLinesInTurns(const Database &reading, const WriteTurn &turn,
                                                  const Act &act, int dive, const QString &feed,
                                                  const IntakeOptions &options = {});

} // namespace holdfast
