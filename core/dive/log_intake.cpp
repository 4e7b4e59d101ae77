// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/log_intake.h"

#include "base/ids.h"
#include "base/template_folder.h"
#include "dive/intake_entry.h"
#include "dive/readers.h"
#include "dive/scan_log.h"
#include "dive/verbs.h"
#include "store/wal_care.h"

#include <QJsonObject>

namespace holdfast
{

namespace
{

/// What one turn puts in or takes out: about a millisecond of work, so that a stamp hardly waits for it.
constexpr qint64 bytesOfATurn = 64 * 1024;
constexpr int rowsOfATurn = 8;
constexpr int turnsPerShortening = 8; ///< about half a megabyte of log

Done notTakenBefore(const Database &db, int dive, const IntakeData &data)
{
    const auto intakes = readIntakes(db, dive);
    if (!intakes)
        return intakes.error();
    for (const IntakeInfo &intake : *intakes) {
        if (intake.sha256 == data.sha256)
            return fail(
                ErrorKind::Duplicate,
                QStringLiteral(
                    "%1 was taken in for dive %2 already, as %3 at %4 by %5 (same SHA-256); it was not "
                    "read again.%6")
                    .arg(data.fileName)
                    .arg(dive)
                    .arg(intake.fileName, toIso(intake.taken), intake.by,
                         intake.replaced
                             ? QStringLiteral(" It is not in use: put it back (holdfast logs --put-back).")
                             : QString()));
    }
    return {};
}

/// The values of the log as packed blocks; for a CTD log with what was derived and flagged.
Result<PackedLog> pack(const Database &db, int dive, IntakeData &data, LogKind kind, QString &limitsName)
{
    switch (kind) {
    case LogKind::Position:
    case LogKind::Ship:
        return packLog(RecordColumns(data.positions).table());
    case LogKind::Acoustic:
        return packLog(RecordColumns(data.acoustics).table());
    case LogKind::Velocity:
        return packLog(RecordColumns(data.velocities).table());
    case LogKind::Ctd:
        break;
    }
    auto packed = judgeAndPack(db, dive, data.ctd);
    if (!packed)
        return packed.error();
    limitsName = packed->judged.limitsName;
    for (const QString &finding : packed->judged.summary.findings)
        data.report.warnings << finding;
    return std::move(packed->log);
}

/// The earlier log that a corrected one takes the place of.
Result<IntakeInfo> logToReplace(const Database &db, int dive, const QString &named, LogKind kind)
{
    const auto intakes = readIntakes(db, dive);
    if (!intakes)
        return intakes.error();
    std::vector<IntakeInfo> found;
    QStringList names;
    for (const IntakeInfo &intake : *intakes) {
        const bool begins =
            named.size() >= 8 && (intake.sha256.startsWith(named) || intake.uuid.startsWith(named));
        if (!intake.replaced)
            names << intake.fileName;
        if (!intake.replaced && (intake.fileName == named || begins))
            found.push_back(intake);
    }
    if (found.size() != 1)
        return fail(ErrorKind::NotFound,
                    QStringLiteral("Of the logs in use of dive %2, %1 have the name \"%3\"; there are: %4.")
                        .arg(found.size())
                        .arg(dive)
                        .arg(named, names.join(QStringLiteral(", "))));
    if (found.front().kind != nameOf(kind))
        return fail(ErrorKind::Refused, QStringLiteral("%1 is a %2 log; a %3 log can't take its place.")
                                            .arg(found.front().fileName, found.front().kind, nameOf(kind)));
    return found.front();
}

/// What the dive says about its logs, where the caller does not.
Result<IntakeOptions> optionsForDive(const Database &db, int dive, const IntakeOptions &options)
{
    const auto info = readDive(db, dive);
    if (!info)
        return info.error();
    IntakeOptions forDive = options;
    if (!forDive.windowStart)
        forDive.windowStart = info->launched;
    if (!forDive.windowEnd)
        forDive.windowEnd = info->onDeck;
    if (!forDive.dateHint)
        forDive.dateHint = info->launched;
    return forDive;
}

/// Packs a log that was read; `path` names it in sentences.
Result<ReadyLog> packed(const Database &db, int dive, const QString &path, IntakeData read,
                        const QString &replaces, const IntakeOptions &options)
{
    if (auto first = notTakenBefore(db, dive, read); !first)
        return first.error();
    if (read.report.accepted == 0)
        return fail(
            ErrorKind::Malformed,
            QStringLiteral(
                "%1: not one of its %2 lines could be used by the profile %3%4; nothing was taken in.")
                .arg(path)
                .arg(read.report.lines)
                .arg(read.profile.name,
                     read.report.rejects.empty()
                         ? QString()
                         : QStringLiteral(" (%1)").arg(read.report.rejects.front().reason)));
    ReadyLog log{newUuid(), dive, std::move(read), {}, {}, replaces};
    auto values = pack(db, dive, log.data, logKindOf(log.data.profile), log.limitsName);
    if (!values)
        return values.error();
    if (options.stop.stop_requested())
        return fail(ErrorKind::Cancelled, QStringLiteral("%1 was not taken in: stopped.").arg(path));
    log.packed = std::move(*values);
    return log;
}

/// The entry of a log, and the earlier one out of use; inside a transaction.
Done recordLog(CruiseFile &file, const Act &act, const ReadyLog &log)
{
    if (auto first = notTakenBefore(file.db(), log.dive, log.data); !first)
        return first;
    auto made = intakeEntryBody(log.uuid, log.dive, log.data, log.packed, log.limitsName);
    if (!made)
        return made.error();
    QJsonObject body = std::move(*made);
    if (!log.replaces.isEmpty()) {
        const auto earlier = logToReplace(file.db(), log.dive, log.replaces, logKindOf(log.data.profile));
        if (!earlier)
            return earlier.error();
        body.insert(QStringLiteral("replaces"), earlier->uuid);
        if (auto done = SensorLogWriter(file.db().connection()).setInUse(earlier->uuid, false); !done)
            return done;
    }
    auto entry = file.record(act, verb::logTakenIn, body);
    if (!entry)
        return entry.error();
    return {};
}

TakenLog takenOf(ReadyLog log)
{
    return {log.uuid,        nameOf(logKindOf(log.data.profile)), log.data.fileName,
            log.data.sha256, static_cast<qint64>(log.data.bytes), std::move(log.data.report)};
}

/// Stores a log with its entry in one transaction.
Result<TakenLog> store(CruiseFile &file, const Act &act, Result<ReadyLog> ready)
{
    if (!ready)
        return ready.error();
    const auto written = file.write([&]() -> Done {
        if (auto recorded = recordLog(file, act, *ready); !recorded)
            return recorded;
        auto stored = SensorLogWriter(file.db().connection())
                          .write(ready->uuid, ready->dive, ready->data, ready->packed);
        return stored ? Done() : Done(stored.error());
    });
    if (!written)
        return written.error();
    return takenOf(std::move(*ready));
}

/// Takes logs that were begun and not finished out again, in small pieces.
Done takeOutHalf(const WriteTurn &turn, std::optional<qint64> only)
{
    std::vector<qint64> left;
    const auto looked = turn([&](CruiseFile &file) -> Done {
        auto files = SensorLogWriter(file.db().connection()).leftInTheMaking();
        if (!files)
            return files.error();
        left = std::move(*files);
        return {};
    });
    if (!looked)
        return looked;
    for (const qint64 id : left) {
        if (only && id != *only)
            continue;
        for (bool more = true; more;) {
            const auto done = turn([&](CruiseFile &file) -> Done {
                return file.write([&]() -> Done {
                    const auto gone = SensorLogWriter(file.db().connection()).takeOutPiece(id, rowsOfATurn);
                    if (!gone)
                        return gone.error();
                    more = *gone;
                    return {};
                });
            });
            if (!done)
                return done;
        }
    }
    return {};
}

/// While many turns are taken the write-ahead log is kept short from the calling thread, where there is a
/// connection for it.
class LogKeptShort
{
public:
    LogKeptShort(const WriteTurn &turn, const Database *beside) : m_turn(turn), m_beside(beside) {}
    LogKeptShort(const LogKeptShort &) = delete;
    LogKeptShort &operator=(const LogKeptShort &) = delete;
    ~LogKeptShort()
    {
        // Where the file is closed already there is nothing to give back.
        if (m_left)
            static_cast<void>(give(false).has_value());
    }
    [[nodiscard]] Done begin()
    {
        m_left = m_beside != nullptr;
        return m_left ? give(true) : Done();
    }
    [[nodiscard]] Done afterTurn()
    {
        if (!m_left || ++m_turns % turnsPerShortening != 0)
            return {};
        return shortenLog(m_beside->connection());
    }

private:
    Done give(bool leave)
    {
        return m_turn([leave](CruiseFile &file) { return leaveLogToOthers(file.db().connection(), leave); });
    }
    const WriteTurn &m_turn;
    const Database *m_beside;
    bool m_left = false;
    int m_turns = 0;
};

Done putAllPieces(const ReadyLog &log, qint64 id, const WriteTurn &turn, const IntakeOptions &options,
                  LogKeptShort &shortLog)
{
    SensorLogWriter::Put put;
    for (bool more = true; more;) {
        if (options.stop.stop_requested())
            return fail(ErrorKind::Cancelled,
                        QStringLiteral("%1 was not taken in: stopped.").arg(log.data.fileName));
        SensorLogWriter::Put next = put;
        const auto done = turn([&](CruiseFile &file) -> Done {
            return file.write([&]() -> Done {
                next = put;
                const auto some = SensorLogWriter(file.db().connection())
                                      .putPiece(id, log.data, log.packed, bytesOfATurn, next);
                if (!some)
                    return some.error();
                more = *some;
                return {};
            });
        });
        if (!done)
            return done;
        put = next;
        if (auto kept = shortLog.afterTurn(); !kept)
            return kept;
        if (options.progress)
            options.progress(static_cast<std::int64_t>(put.blocks + put.texts),
                             static_cast<std::int64_t>(log.packed.blocks.size() + log.data.text.size()));
    }
    return {};
}

} // namespace

Result<ReadyLog> readyBytes(const Database &db, int dive, const QByteArray &bytes, const QString &name,
                            const FeedProfile &profile, const QString &replaces, const IntakeOptions &options)
{
    const auto forDive = optionsForDive(db, dive, options);
    if (!forDive)
        return forDive.error();
    auto data =
        intakeBytes({bytes.constData(), static_cast<std::size_t>(bytes.size())}, name, profile, *forDive);
    if (!data)
        return data.error();
    return packed(db, dive, name, std::move(*data), replaces, options);
}

Result<TakenLog> storeInTurns(ReadyLog log, const Act &act, const WriteTurn &turn,
                              const IntakeOptions &options, const Database *beside)
{
    LogKeptShort shortLog(turn, beside);
    if (auto left = shortLog.begin(); !left)
        return left.error();
    if (auto clean = takeOutHalf(turn, {}); !clean)
        return clean.error();
    qint64 id = 0;
    const auto begun = turn([&](CruiseFile &file) -> Done {
        return file.write([&]() -> Done {
            if (auto first = notTakenBefore(file.db(), log.dive, log.data); !first)
                return first;
            const auto row =
                SensorLogWriter(file.db().connection()).begin(log.uuid, log.dive, log.data, log.packed);
            if (!row)
                return row.error();
            id = *row;
            return {};
        });
    });
    if (!begun)
        return begun.error();
    auto put = putAllPieces(log, id, turn, options, shortLog);
    if (put) {
        put = turn([&](CruiseFile &file) -> Done {
            return file.write([&]() -> Done {
                if (auto recorded = recordLog(file, act, log); !recorded)
                    return recorded;
                return SensorLogWriter(file.db().connection()).finish(id);
            });
        });
    }
    if (!put) {
        // What can't be taken out now is taken out before the next log is put in.
        static_cast<void>(takeOutHalf(turn, id).has_value());
        return put.error();
    }
    return takenOf(std::move(log));
}

Result<FeedProfile> feedProfile(const QString &name)
{
    const auto folder = templateFolder();
    if (!folder)
        return folder.error();
    return loadFeedProfile(name, {*folder + QStringLiteral("/feeds")});
}

Result<TakenLog> takeInLog(CruiseFile &file, const Act &act, int dive, const QString &path,
                           const FeedProfile &profile, const IntakeOptions &options)
{
    return takeInCorrectedLog(file, act, dive, path, profile, {}, options);
}

Result<TakenLog> takeInCorrectedLog(CruiseFile &file, const Act &act, int dive, const QString &path,
                                    const FeedProfile &profile, const QString &replaces,
                                    const IntakeOptions &options)
{
    const auto forDive = optionsForDive(file.db(), dive, options);
    if (!forDive)
        return forDive.error();
    auto data = intakeFile(path, profile, *forDive);
    if (!data)
        return data.error();
    return store(file, act, packed(file.db(), dive, path, std::move(*data), replaces, options));
}

Result<TakenLog> takeInBytes(CruiseFile &file, const Act &act, int dive, const QByteArray &bytes,
                             const QString &name, const FeedProfile &profile, const QString &replaces,
                             const IntakeOptions &options)
{
    return store(file, act, readyBytes(file.db(), dive, bytes, name, profile, replaces, options));
}

} // namespace holdfast
