// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/line_recording.h"

#include "dive/readers.h"
#include "dive/verbs.h"
#include "feed/header_line.h"

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

constexpr int usualPatienceMs = 5000; ///< of store/database.h

int milliseconds(Patience patience)
{
    switch (patience) {
    case Patience::Short:
        return 200;
    case Patience::Usual:
        return usualPatienceMs;
    case Patience::Long:
        return 30'000;
    }
    return usualPatienceMs;
}

Result<bool> isClosed(const Database &db, const QString &uuid)
{
    auto row = query(db.connection(), u"SELECT 1 FROM recording WHERE uuid=?"_s, {uuid});
    if (!row)
        return row.error();
    return row->next();
}

Result<std::optional<Recording>> recordingOf(const Database &db, const QString &uuid)
{
    const auto all = LineLog(db.connection()).allRecordings();
    if (!all)
        return all.error();
    for (const Recording &r : *all) {
        if (r.uuid == uuid)
            return std::optional(r);
    }
    return std::optional<Recording>();
}

/// Inside a transaction.
Done closeOne(CruiseFile &file, const Act &act, const Recording &r, const QString &ending)
{
    const auto sums = LineLog(file.db().connection()).sums(r.uuid);
    if (!sums)
        return sums.error();
    auto entry = file.record(act, verb::recordingClosed,
                             {{u"recording"_s, r.uuid},
                              {u"dive"_s, r.dive},
                              {u"feed"_s, r.feed},
                              {u"address"_s, r.address},
                              {u"profile"_s, r.profile},
                              {u"begunUs"_s, qint64{microsecondsOf(r.begun)}},
                              {u"lines"_s, sums->lines},
                              {u"bytes"_s, sums->bytes},
                              {u"blocks"_s, sums->blocks},
                              {u"firstUs"_s, qint64{microsecondsOf(sums->first)}},
                              {u"lastUs"_s, qint64{microsecondsOf(sums->last)}},
                              {u"digest"_s, sums->digest},
                              {u"ending"_s, ending}});
    if (!entry)
        return entry.error();
    return {};
}

/// What stands before the recorded lines in the log that is made of them. It names the profile, so that the
/// same lines read by two profiles are two logs.
QByteArray originLine(const FeedProfile &profile, int dive, const QString &feed)
{
    QString name;
    for (const QChar c : feed)
        name += c.isLetterOrNumber() && c.unicode() < 128 ? c : QChar(u'-');
    if (profile.kind != FeedKind::Nmea)
        return profile.comment == 0 ? QByteArray()
                                    : u"%1 recorded lines of feed %2, dive %3, profile %4\n"_s
                                          .arg(QLatin1Char(profile.comment))
                                          .arg(name)
                                          .arg(dive)
                                          .arg(profile.name)
                                          .toLatin1();
    const QByteArray body =
        u"PHFLINES,%1,%2,%3"_s.arg(name.left(20)).arg(dive).arg(profile.name.left(30)).toLatin1();
    unsigned sum = 0;
    for (const char c : body)
        sum ^= static_cast<unsigned char>(c);
    return '$' + body + '*' + QByteArray::number(sum, 16).rightJustified(2, '0').toUpper() + '\n';
}

/// The lines with the header once, at their beginning.
QByteArray withHeaderFirst(const QByteArray &text, const FeedProfile &profile)
{
    const QByteArray header = headerLine(text, profile);
    if (header.isEmpty())
        return text;
    QByteArray out = header;
    out.reserve(text.size());
    for (qsizetype at = 0; at < text.size();) {
        const qsizetype end = text.indexOf('\n', at) + 1;
        const QByteArrayView line = QByteArrayView(text).sliced(at, end - at);
        if (line != QByteArrayView(header))
            out.append(line.data(), line.size());
        at = end;
    }
    return out;
}

QString logName(const QString &feed)
{
    return u"recorded lines of %1"_s.arg(feed);
}

/// The log made of the feed's lines before, that is in use.
Result<QString> earlierLog(const Database &db, int dive, const QString &feed)
{
    const auto intakes = readIntakes(db, dive);
    if (!intakes)
        return intakes.error();
    for (const IntakeInfo &intake : *intakes) {
        if (!intake.replaced && intake.fileName == logName(feed))
            return intake.uuid;
    }
    return QString();
}

} // namespace

Done storeLines(CruiseFile &file, const std::vector<RecordedBlock> &blocks, Patience patience)
{
    if (auto done = file.db().setBusyTimeout(milliseconds(patience)); !done)
        return done;
    const auto written = file.write([&]() -> Done {
        LineLog log(file.db().connection());
        for (const RecordedBlock &block : blocks) {
            const auto closed = isClosed(file.db(), block.recording.uuid);
            if (!closed)
                return closed.error();
            if (*closed)
                return fail(ErrorKind::Refused,
                            u"The recording of feed %1 is closed; nothing can be added to it."_s.arg(
                                block.recording.feed));
            if (auto done = log.append(block.recording, block.lines); !done)
                return done;
        }
        return {};
    });
    if (auto done = file.db().setBusyTimeout(usualPatienceMs); !done)
        return done;
    return written;
}

Done closeRecording(CruiseFile &file, const Act &act, const QString &uuid, const QString &ending)
{
    return file.write([&]() -> Done {
        const auto recording = recordingOf(file.db(), uuid);
        if (!recording)
            return recording.error();
        if (!recording->has_value())
            return {};
        const auto closed = isClosed(file.db(), uuid);
        if (!closed)
            return closed.error();
        return *closed ? Done() : closeOne(file, act, **recording, ending);
    });
}

Result<int> closeLeftOpen(CruiseFile &file, const Act &act)
{
    int closedNow = 0;
    const auto done = file.write([&]() -> Done {
        const auto all = LineLog(file.db().connection()).allRecordings();
        if (!all)
            return all.error();
        for (const Recording &r : *all) {
            const auto closed = isClosed(file.db(), r.uuid);
            if (!closed)
                return closed.error();
            if (*closed || r.station != file.station())
                continue;
            if (auto one = closeOne(file, act, r, u"left open"_s); !one)
                return one;
            ++closedNow;
        }
        return {};
    });
    if (!done)
        return done.error();
    return closedNow;
}

Result<std::vector<RecordedFeed>> readRecordings(const Database &db, int dive)
{
    const LineLog log(db.connection());
    const auto all = dive == 0 ? log.allRecordings() : log.recordings(dive);
    if (!all)
        return all.error();
    std::vector<RecordedFeed> list;
    for (const Recording &r : *all) {
        auto sums = log.sums(r.uuid);
        if (!sums)
            return sums.error();
        const auto closed = isClosed(db, r.uuid);
        if (!closed)
            return closed.error();
        list.push_back({r, *sums, *closed});
    }
    return list;
}

Done recordedLines(const Database &db, int dive, const QString &feed,
                   const std::function<Done(const ReceivedLines &)> &take)
{
    const LineLog log(db.connection());
    const auto all = log.recordings(dive);
    if (!all)
        return all.error();
    QStringList names;
    for (const Recording &r : *all)
        names << r.feed;
    names.removeDuplicates();
    if (!names.contains(feed))
        return fail(ErrorKind::NotFound,
                    u"Dive %1 has no recorded lines of a feed \"%2\"; there are lines of %3."_s.arg(dive).arg(
                        feed, names.isEmpty() ? u"no feed"_s : names.join(u", "_s)));
    for (const Recording &r : *all) {
        if (r.feed != feed)
            continue;
        if (auto done = log.lines(r.uuid, take); !done)
            return done;
    }
    return {};
}

namespace
{

/// The recorded lines of a feed as one log, with what it takes the place of.
struct LinesAsLog {
    QByteArray text;
    FeedProfile profile;
    QString replaces;
    std::optional<UtcTime> first;
};

Result<LinesAsLog> linesAsLog(const Database &db, int dive, const QString &feed, const QString &profileName)
{
    const auto recordings = LineLog(db.connection()).recordings(dive, feed);
    if (!recordings)
        return recordings.error();
    LinesAsLog log;
    const auto read = recordedLines(db, dive, feed, [&](const ReceivedLines &lines) -> Done {
        if (!log.first)
            log.first = utcFromMicroseconds(lines.receivedUs.front());
        log.text += lines.text;
        return {};
    });
    if (!read)
        return read.error();
    const Recording &last = recordings->back();
    const auto profile =
        profileName.isEmpty()
            ? parseFeedProfile(last.profileJson, u"the profile %1 kept with the lines"_s.arg(last.profile))
            : feedProfile(profileName);
    if (!profile)
        return profile.error();
    const auto earlier = earlierLog(db, dive, feed);
    if (!earlier)
        return earlier.error();
    log.profile = *profile;
    log.replaces = *earlier;
    log.text = originLine(*profile, dive, feed) + withHeaderFirst(log.text, *profile);
    return log;
}

IntakeOptions dated(IntakeOptions options, const std::optional<UtcTime> &first)
{
    if (!options.dateHint)
        options.dateHint = first;
    return options;
}

} // namespace

Result<TakenLog> takeInLines(CruiseFile &file, const Act &act, int dive, const QString &feed,
                             const QString &profileName, const IntakeOptions &options)
{
    const auto log = linesAsLog(file.db(), dive, feed, profileName);
    if (!log)
        return log.error();
    return takeInBytes(file, act, dive, log->text, logName(feed), log->profile, log->replaces,
                       dated(options, log->first));
}

Result<TakenLog> takeInLinesInTurns(const Database &reading, const WriteTurn &turn, const Act &act, int dive,
                                    const QString &feed, const IntakeOptions &options)
{
    const auto log = linesAsLog(reading, dive, feed, {});
    if (!log)
        return log.error();
    // Reading is the first half of the progress, putting in the second.
    IntakeOptions first = dated(options, log->first);
    IntakeOptions second = options;
    if (options.progress) {
        first.progress = [&options](std::int64_t done, std::int64_t total) {
            options.progress(done, 2 * total);
        };
        second.progress = [&options](std::int64_t done, std::int64_t total) {
            options.progress(total + done, 2 * total);
        };
    }
    auto ready = readyBytes(reading, dive, log->text, logName(feed), log->profile, log->replaces, first);
    if (!ready)
        return ready.error();
    const bool mayWrite = reading.access() == Database::Access::ReadWrite;
    return storeInTurns(std::move(*ready), act, turn, second, mayWrite ? &reading : nullptr);
}

} // namespace holdfast
