// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/output_file.h"
#include "cli/cli.h"
#include "dive/feed_setup.h"
#include "dive/line_recording.h"

#include <QJsonArray>

namespace holdfast::cli
{

namespace
{

using namespace Qt::StringLiterals;

Done listFeeds(const CruiseFile &file, const Arguments &a, const World &world)
{
    const auto feeds = readFeeds(file.db(), file.station());
    if (!feeds)
        return feeds.error();
    QJsonArray list;
    for (const FeedSetup &feed : *feeds) {
        const double silent = static_cast<double>(feed.silentAfterMs) / 1000;
        list.append(QJsonObject{{u"name"_s, feed.name},
                                {u"address"_s, feed.address.text()},
                                {u"profile"_s, feed.profile},
                                {u"silent_after_s"_s, silent}});
        if (!a.has(u"json"_s))
            world.out(u"%1  %2  %3  told when silent for %4 s\n"_s.arg(feed.name, -12)
                          .arg(feed.address.text(), -28)
                          .arg(feed.profile, -16)
                          .arg(silent));
    }
    if (a.has(u"json"_s))
        outJson(world, {{u"ok"_s, true}, {u"station"_s, file.station()}, {u"feeds"_s, list}});
    else if (feeds->empty())
        world.out(
            u"Station %1 has no live feeds. Add one with --set NAME --from ADDRESS --profile P, or a set "
            "of them with --use.\n"_s.arg(file.station()));
    return {};
}

Done setOrChange(CruiseFile &file, const Arguments &a, const Act &act)
{
    FeedSetup feed;
    const auto there = readFeeds(file.db(), file.station());
    if (!there)
        return there.error();
    bool known = false;
    for (const FeedSetup &f : *there) {
        if (f.name == a.text(u"set"_s)) {
            feed = f;
            known = true;
        }
    }
    feed.name = a.text(u"set"_s);
    if (!known && (!a.has(u"from"_s) || !a.has(u"profile"_s)))
        return fail(ErrorKind::Usage, u"A new feed needs --from ADDRESS and --profile P."_s);
    if (a.has(u"from"_s)) {
        const auto address = parseFeedAddress(a.text(u"from"_s));
        if (!address)
            return address.error();
        feed.address = *address;
    }
    if (a.has(u"profile"_s))
        feed.profile = a.text(u"profile"_s);
    if (a.has(u"silent-after"_s)) {
        bool good = false;
        const double seconds = a.text(u"silent-after"_s).toDouble(&good);
        if (!good || !(seconds >= 0.5 && seconds <= 3600))
            return fail(ErrorKind::Usage, u"--silent-after needs seconds from 0.5 to 3600, not \"%1\"."_s.arg(
                                              a.text(u"silent-after"_s)));
        feed.silentAfterMs = static_cast<qint64>(seconds * 1000);
    }
    return setFeed(file, act, feed);
}

Done feeds(const Arguments &a, const World &world)
{
    const int changes = (a.has(u"set"_s) ? 1 : 0) + (a.has(u"remove"_s) ? 1 : 0) + (a.has(u"use"_s) ? 1 : 0);
    if (changes > 1)
        return fail(ErrorKind::Usage, u"Give one of --set, --remove and --use."_s);
    for (const QString &flag : {u"from"_s, u"profile"_s, u"silent-after"_s}) {
        if (a.has(flag) && !a.has(u"set"_s))
            return fail(ErrorKind::Usage, u"--%1 belongs to --set NAME."_s.arg(flag));
    }
    const QString path = a.positional().at(0);
    auto file = changes == 0 ? openForReading(path) : openForWriting(path);
    if (!file)
        return file.error();
    const Act act{a.person(), world.now()};
    Done done;
    if (a.has(u"set"_s))
        done = setOrChange(*file, a, act);
    else if (a.has(u"remove"_s))
        done = removeFeed(*file, act, a.text(u"remove"_s));
    else if (a.has(u"use"_s))
        done = useFeedSet(*file, act, a.text(u"use"_s));
    return done ? listFeeds(*file, a, world) : done;
}

Done listLines(const OpenDive &open, const Arguments &a, const World &world)
{
    const auto recordings = readRecordings(open.file.db(), open.dive);
    if (!recordings)
        return recordings.error();
    QJsonArray list;
    for (const RecordedFeed &r : *recordings) {
        list.append(QJsonObject{{u"feed"_s, r.recording.feed},
                                {u"address"_s, r.recording.address},
                                {u"profile"_s, r.recording.profile},
                                {u"begun_utc"_s, toIso(r.recording.begun)},
                                {u"first_utc"_s, toIso(r.sums.first)},
                                {u"last_utc"_s, toIso(r.sums.last)},
                                {u"lines"_s, r.sums.lines},
                                {u"bytes"_s, r.sums.bytes},
                                {u"digest"_s, r.sums.digest},
                                {u"closed"_s, r.closed}});
        if (!a.has(u"json"_s))
            world.out(u"%1  %2 to %3  %4 lines  %5  %6\n"_s.arg(r.recording.feed, -12)
                          .arg(toIso(r.sums.first), toIso(r.sums.last))
                          .arg(r.sums.lines)
                          .arg(r.recording.profile, r.closed ? u"closed"_s : u"still open"_s));
    }
    if (a.has(u"json"_s))
        outJson(world, {{u"ok"_s, true}, {u"dive"_s, open.dive}, {u"recordings"_s, list}});
    else if (recordings->empty())
        world.out(u"No lines of live feeds were recorded on dive %1.\n"_s.arg(open.dive));
    return {};
}

/// With `times` each line stands behind its receive time and a tab.
Done writeLines(const OpenDive &open, const QString &feed, const QString &path, bool times,
                const World &world)
{
    std::size_t count = 0;
    const Done written = writeOutput(path, [&](const TakePiece &take) {
        return recordedLines(open.file.db(), open.dive, feed, [&](const ReceivedLines &lines) -> Done {
            count += lines.receivedUs.size();
            if (!times)
                return take(lines.text);
            QByteArray timed;
            qsizetype at = 0;
            for (const std::int64_t us : lines.receivedUs) {
                const qsizetype end = lines.text.indexOf('\n', at) + 1;
                timed += toIsoMicro(utcFromMicroseconds(us)).toLatin1() + '\t' + lines.text.mid(at, end - at);
                at = end;
            }
            return take(timed);
        });
    });
    if (!written)
        return written;
    if (path != u"-")
        world.out(u"%1 lines of feed %2 written to %3.\n"_s.arg(count).arg(feed, path));
    return {};
}

Done takeIn(OpenDive &open, const Arguments &a, const World &world)
{
    const auto log =
        takeInLines(open.file, {a.person(), world.now()}, open.dive, a.text(u"feed"_s), a.text(u"profile"_s));
    if (!log)
        return log.error();
    if (a.has(u"json"_s)) {
        outJson(world, {{u"ok"_s, true},
                        {u"dive"_s, open.dive},
                        {u"kind"_s, log->kind},
                        {u"sha256"_s, log->sha256},
                        {u"accepted"_s, static_cast<qint64>(log->report.accepted)},
                        {u"rejected"_s, static_cast<qint64>(log->report.rejected)}});
        return {};
    }
    world.out(u"%1: %2 accepted, %3 repaired, %4 rejected of %5 lines\n"_s.arg(log->fileName)
                  .arg(log->report.accepted)
                  .arg(log->report.repaired)
                  .arg(log->report.rejected)
                  .arg(log->report.lines));
    for (const ReasonCount &r : log->report.rejects)
        world.out(u"  rejected %1: %2 (first at line %3)\n"_s.arg(r.count).arg(r.reason).arg(r.firstLine));
    for (const QString &warning : log->report.warnings)
        world.out(u"  warning: %1\n"_s.arg(warning));
    return {};
}

Done lines(const Arguments &a, const World &world)
{
    const bool out = a.has(u"out"_s);
    const bool in = a.has(u"take-in"_s);
    if (out && in)
        return fail(ErrorKind::Usage, u"Give one of --out and --take-in."_s);
    if ((out || in) && !a.has(u"feed"_s))
        return fail(ErrorKind::Usage, u"--feed NAME is missing: whose lines?"_s);
    if ((a.has(u"profile"_s) && !in) || (a.has(u"times"_s) && !out))
        return fail(ErrorKind::Usage, u"--profile belongs to --take-in, --times to --out."_s);
    auto open = openDive(a, in ? Database::Access::ReadWrite : Database::Access::ReadOnly);
    if (!open)
        return open.error();
    if (in)
        return takeIn(*open, a, world);
    if (out)
        return writeLines(*open, a.text(u"feed"_s), a.text(u"out"_s), a.has(u"times"_s), world);
    return listLines(*open, a, world);
}

} // namespace

QList<Verb> feedVerbs()
{
    return {
        {u"feeds"_s,
         {u"FILE"_s},
         {{u"set"_s, u"NAME"_s, u"adds this feed, or changes what is given of it"_s},
          {u"from"_s, u"ADDRESS"_s,
           u"udp://0.0.0.0:47001, tcp://192.168.1.20:4001, serial:/dev/ttyUSB0,9600,8N1, replay:LOG,10"_s},
          {u"profile"_s, u"P"_s, u"a feed profile of templates/feeds"_s},
          {u"silent-after"_s, u"SECONDS"_s, u"when the window says that it is silent; 10 without it"_s},
          {u"remove"_s, u"NAME"_s, u"takes this feed away; what it recorded stays"_s},
          {u"use"_s, u"SET"_s, u"adds all feeds of a set of templates/feed-sets"_s},
          byFlag(),
          jsonFlag()},
         u"Lists or sets the live feeds of this file's station; the window opens them."_s,
         u"The lines of a feed are recorded as they come, before anybody reads them: see holdfast lines.\n"
         "A window that is open takes changes up when its feeds are opened again (F4, O)."_s,
         feeds},
        {u"lines"_s,
         {u"FILE"_s},
         {diveFlag(),
          {u"feed"_s, u"NAME"_s, u"whose lines; needed with --out and --take-in"_s},
          {u"out"_s, u"LOG"_s, u"writes the lines as they were received to this file"_s},
          {u"times"_s, QString(), u"with --out: the receive time and a tab before each line"_s},
          {u"take-in"_s, QString(),
           u"makes a log of the dive of the lines, as holdfast intake does of a file"_s},
          {u"profile"_s, u"P"_s,
           u"with --take-in: read them by this profile, when the feed's own was wrong"_s},
          byFlag(),
          jsonFlag()},
         u"Lists the recorded lines of the live feeds of a dive, writes them out or takes them in."_s,
         u"Without --out and --take-in it lists the recordings. Taken in again, the later log takes the "
         u"place "
         "of the earlier one."_s,
         lines}};
}

} // namespace holdfast::cli
