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

/// The feed profile of this name from the templates.
[[nodiscard]] Result<FeedProfile> feedProfile(const QString &name);

} // namespace holdfast
