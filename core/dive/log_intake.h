// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"
#include "feed/intake.h"
#include "store/sensor_log.h"

namespace holdfast
{

/// What came of taking in one log.
struct TakenLog {
    QString uuid; ///< of the intake
    QString kind; ///< position, ctd, velocity, ship, acoustic
    QString fileName;
    QString sha256;
    qint64 bytes = 0;
    IntakeReport report;
};

/// Reads a log file by a feed profile, derives and flags its water values when it is a CTD log, and stores it
/// with its ledger entry in one transaction. The whole reading and computing is done before the file is
/// locked for writing. Errors: no such dive; the file was taken in for this dive before (Duplicate, with when
/// and by whom); what intakeFile says; Malformed when not one line could be used.
[[nodiscard]] Result<TakenLog> takeInLog(CruiseFile &file, const Act &act, int dive, const QString &path,
                                         const FeedProfile &profile, const IntakeOptions &options = {});

/// The same for a corrected log that takes the place of an earlier one of the dive: the earlier stays in the
/// file but is no longer used. `replaces` is its file name, uuid or SHA-256 (or the beginning of one, 8
/// characters or more).
[[nodiscard]] Result<TakenLog> takeInCorrectedLog(CruiseFile &file, const Act &act, int dive,
                                                  const QString &path, const FeedProfile &profile,
                                                  const QString &replaces, const IntakeOptions &options = {});

/// The same for bytes in memory, `name` standing for the file's name. `replaces` as above, or empty.
[[nodiscard]] Result<TakenLog> takeInBytes(CruiseFile &file, const Act &act, int dive,
                                           const QByteArray &bytes, const QString &name,
                                           const FeedProfile &profile, const QString &replaces,
                                           const IntakeOptions &options = {});

/// A log that was read and packed, and is not in the file yet.
struct ReadyLog {
    QString uuid; ///< of the intake
    int dive = 0;
    IntakeData data;
    PackedLog packed;
    QString limitsName;
    QString replaces;
};
/// Reads and packs a log as takeInBytes() does, with a connection that may be read-only: nothing is written.
[[nodiscard]] Result<ReadyLog> readyBytes(const Database &db, int dive, const QByteArray &bytes,
                                          const QString &name, const FeedProfile &profile,
                                          const QString &replaces, const IntakeOptions &options = {});

/// Runs a piece of work on the thread that writes the file, and comes back when it is done.
using WriteTurn = std::function<Done(const std::function<Done(CruiseFile &)> &)>;

/// Puts a log into the file in many short transactions, so that others write in between, and its entry in the
/// last one: before that it counts for nothing. What a crash or an error left half is taken out before the
/// next log is put in, so the same log can be taken in again. Two programs must not do this to one file at
/// once; the one that began first is refused then. `options` give progress and stop. `beside`, a writing
/// connection of the calling thread, keeps the write-ahead log short meanwhile (store/wal_care.h).
[[nodiscard]] Result<TakenLog> storeInTurns(ReadyLog log, const Act &act, const WriteTurn &turn,
                                            const IntakeOptions &options = {},
                                            const Database *beside = nullptr);

/// The feed profile of this name from the templates.
[[nodiscard]] Result<FeedProfile> feedProfile(const QString &name);

} // namespace holdfast
