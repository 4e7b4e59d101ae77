// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"
#include "dive/log_intake.h"
#include "dive/log_use.h"
#include "dive/readers.h"
#include "dive/sensor_correction.h"

#include <QJsonArray>
#include <QJsonObject>
#include <cmath>

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

QJsonArray reasonsAsJson(const std::vector<ReasonCount> &reasons)
{
    QJsonArray list;
    for (const ReasonCount &r : reasons)
        list.append(QJsonObject{{q("reason"), r.reason},
                                {q("count"), static_cast<qint64>(r.count)},
                                {q("first_line"), static_cast<qint64>(r.firstLine)}});
    return list;
}

QJsonObject asJson(const QString &path, const TakenLog &log)
{
    const IntakeReport &r = log.report;
    QJsonArray aside;
    for (const LineAside &line : r.aside)
        aside.append(QJsonObject{{q("line"), static_cast<qint64>(line.line)}, {q("reason"), line.reason}});
    return {{q("file"), path},
            {q("kind"), log.kind},
            {q("sha256"), log.sha256},
            {q("bytes"), log.bytes},
            {q("lines"), static_cast<qint64>(r.lines)},
            {q("accepted"), static_cast<qint64>(r.accepted)},
            {q("repaired"), static_cast<qint64>(r.repaired)},
            {q("rejected"), static_cast<qint64>(r.rejected)},
            {q("first_utc"), r.firstTime ? QJsonValue(toIso(*r.firstTime)) : QJsonValue()},
            {q("last_utc"), r.lastTime ? QJsonValue(toIso(*r.lastTime)) : QJsonValue()},
            {q("repairs"), reasonsAsJson(r.repairs)},
            {q("rejects"), reasonsAsJson(r.rejects)},
            {q("notes"), reasonsAsJson(r.notes)},
            {q("rejected_lines"), aside},
            {q("warnings"), QJsonArray::fromStringList(r.warnings)}};
}

void printReasons(const World &world, const QString &word, const std::vector<ReasonCount> &reasons)
{
    for (const ReasonCount &r : reasons)
        world.out(QStringLiteral("  %1 %2: %3 (first at line %4)\n")
                      .arg(word)
                      .arg(r.count)
                      .arg(r.reason)
                      .arg(r.firstLine));
}

void printReport(const World &world, const QString &path, const TakenLog &log)
{
    const IntakeReport &r = log.report;
    world.out(QStringLiteral("%1: %2 accepted, %3 repaired, %4 rejected of %5 lines\n")
                  .arg(path)
                  .arg(r.accepted)
                  .arg(r.repaired)
                  .arg(r.rejected)
                  .arg(r.lines));
    if (r.firstTime && r.lastTime)
        world.out(QStringLiteral("  %1 log from %2 to %3\n")
                      .arg(log.kind, toIso(*r.firstTime), toIso(*r.lastTime)));
    printReasons(world, q("repaired"), r.repairs);
    printReasons(world, q("rejected"), r.rejects);
    printReasons(world, q("noted"), r.notes);
    for (const QString &warning : r.warnings)
        world.out(QStringLiteral("  warning: %1\n").arg(warning));
}

/// A signed decimal number of a flag; nothing when the flag is not there.
Result<std::optional<double>> numberOf(const Arguments &a, const QString &flag)
{
    if (!a.has(flag))
        return std::optional<double>();
    bool good = false;
    const double value = a.text(flag).toDouble(&good);
    if (!good || !std::isfinite(value))
        return fail(ErrorKind::Usage,
                    QStringLiteral("--%1 needs a number, not \"%2\".").arg(flag, a.text(flag)));
    return std::optional(value);
}

/// The corrections that the flags name; nothing when none is given.
Result<std::optional<SensorCorrections>> correctionsOf(const Arguments &a)
{
    const auto lag = numberOf(a, q("temperature-lag"));
    if (!lag)
        return lag.error();
    const auto offset = numberOf(a, q("deck-pressure"));
    if (!offset)
        return offset.error();
    if (!*lag && !*offset)
        return std::optional<SensorCorrections>();
    return std::optional(SensorCorrections{offset->value_or(0), lag->value_or(0)});
}

void printCorrection(const World &world, const SensorCorrection &c)
{
    world.out(QStringLiteral("%1: derived again, temperature read %2 s later, %3 dbar taken off the "
                             "pressure.\n")
                  .arg(c.fileName, QString::number(c.values.temperatureLagS, 'f', 3),
                       QString::number(c.values.pressureOffsetDbar, 'f', 3)));
}

Done correct(const Arguments &a, const World &world)
{
    const auto dive = a.whole(q("dive"));
    if (!dive)
        return dive.error();
    const auto values = correctionsOf(a);
    if (!values)
        return values.error();
    if (!*values)
        return fail(ErrorKind::Usage, QStringLiteral("Nothing to correct: give --temperature-lag, "
                                                     "--deck-pressure or both; 0 takes a correction back."));
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    if (auto known = readDive(file->db(), *dive); !known)
        return known.error();
    const auto done = correctSensors(*file, {a.person(), world.now()}, *dive, a.text(q("log")), **values,
                                     a.text(q("reason")));
    if (!done)
        return done.error();
    printCorrection(world, *done);
    return {};
}

void printLogs(const std::vector<IntakeInfo> &logs, const World &world)
{
    if (logs.empty())
        world.out(q("No log has been taken in for this dive.\n"));
    for (const IntakeInfo &log : logs)
        world.out(QStringLiteral("%1  %2  %3 log, %4 lines used, SHA-256 %5, taken in %6 by %7\n")
                      .arg(log.replaced ? q("out of use") : q("in use    "), log.fileName, log.kind)
                      .arg(log.accepted)
                      .arg(log.sha256.left(12), toIso(log.taken), log.by));
}

QJsonObject asJson(const IntakeInfo &log)
{
    return {{q("file"), log.fileName},         {q("kind"), log.kind},
            {q("sha256"), log.sha256},         {q("accepted"), log.accepted},
            {q("taken_in"), toIso(log.taken)}, {q("by"), log.by},
            {q("in_use"), !log.replaced}};
}

Done logs(const Arguments &a, const World &world)
{
    const auto dive = a.whole(q("dive"));
    if (!dive)
        return dive.error();
    const bool out = a.has(q("take-out"));
    const bool back = a.has(q("put-back"));
    if (out && back)
        return fail(ErrorKind::Usage, q("Give --take-out or --put-back, not both."));
    if (out || back) {
        auto file = openForWriting(a.positional().at(0));
        if (!file)
            return file.error();
        const auto log = setLogUse(*file, {a.person(), world.now()}, *dive,
                                   a.text(out ? q("take-out") : q("put-back")), back, a.text(q("reason")));
        if (!log)
            return log.error();
        world.out(
            QStringLiteral("%1 is %2 now; it stays in the file. holdfast refix shows what that changes.\n")
                .arg(log->fileName, back ? q("in use") : q("out of use")));
        return {};
    }
    const auto file = openForReading(a.positional().at(0));
    if (!file)
        return file.error();
    if (auto known = readDive(file->db(), *dive); !known)
        return known.error();
    const auto all = readIntakes(file->db(), *dive);
    if (!all)
        return all.error();
    if (!a.has(q("json"))) {
        printLogs(*all, world);
        return {};
    }
    QJsonArray list;
    for (const IntakeInfo &log : *all)
        list.append(asJson(log));
    outJson(world, {{q("dive"), *dive}, {q("logs"), list}});
    return {};
}

Done intake(const Arguments &a, const World &world)
{
    const auto dive = a.whole(q("dive"));
    if (!dive)
        return dive.error();
    IntakeOptions options;
    if (a.has(q("date"))) {
        options.dateHint = parseIsoUtc((a.text(q("date")) + QStringLiteral("T12:00:00Z")).toStdString());
        if (!options.dateHint)
            return fail(
                ErrorKind::Usage,
                QStringLiteral("--date needs a day as in 2026-03-12, not \"%1\".").arg(a.text(q("date"))));
    }
    const auto profile = feedProfile(a.text(q("profile")));
    if (!profile)
        return profile.error();
    const auto corrections = correctionsOf(a);
    if (!corrections)
        return corrections.error();
    if (*corrections && profile->kind != FeedKind::Ctd)
        return fail(ErrorKind::Usage,
                    QStringLiteral("--temperature-lag and --deck-pressure are for CTD logs; "
                                   "profile %1 is for another kind.")
                        .arg(profile->name));
    if (*corrections && a.text(q("reason")).trimmed().isEmpty())
        return fail(ErrorKind::Usage,
                    QStringLiteral("A correction needs --reason; it stays with the record."));
    if (*corrections) {
        if (auto good = checkCorrections(**corrections, a.text(q("reason"))); !good)
            return good;
    }
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    if (auto known = readDive(file->db(), *dive); !known)
        return known.error();
    // Each log is a transaction of its own: one that fails does not undo the others, and is told with them.
    QJsonArray logs;
    QStringList failures;
    ErrorKind kind = ErrorKind::Malformed;
    for (const QString &path : a.positional().mid(1)) {
        const auto log = takeInCorrectedLog(*file, {a.person(), world.now()}, *dive, path, *profile,
                                            a.text(q("replaces")), options);
        if (!log) {
            failures << log.error().sentence;
            kind = log.error().kind == ErrorKind::Usage ? ErrorKind::Malformed : log.error().kind;
            logs.append(QJsonObject{{q("file"), path}, {q("error"), log.error().sentence}});
            continue;
        }
        logs.append(asJson(path, *log));
        if (!a.has(q("json")))
            printReport(world, path, *log);
        if (!*corrections)
            continue;
        const auto done = correctSensors(*file, {a.person(), world.now()}, *dive, log->uuid, **corrections,
                                         a.text(q("reason")));
        if (!done) {
            failures << done.error().sentence;
            kind = done.error().kind;
        } else if (!a.has(q("json"))) {
            printCorrection(world, *done);
        }
    }
    if (a.has(q("json")))
        outJson(world, QJsonObject{{q("ok"), failures.isEmpty()},
                                   {q("dive"), *dive},
                                   {q("profile"), profile->name},
                                   {q("logs"), logs}});
    if (failures.isEmpty())
        return {};
    return fail(kind, failures.join(QLatin1Char('\n')));
}

} // namespace

namespace
{

Flag lagFlag()
{
    return {q("temperature-lag"), q("S"),
            q("how much later than conductivity the temperature of the same water is logged, seconds")};
}

Flag deckPressureFlag()
{
    return {q("deck-pressure"), q("DBAR"), q("what the pressure sensor read in air, taken off its pressure")};
}

} // namespace

QList<Verb> logVerbs()
{
    return {
        {q("correct-log"),
         {q("FILE")},
         {diveFlag(),
          {q("log"), q("LOG"), q("the CTD log: its file name or SHA-256; not needed when there is one")},
          lagFlag(),
          deckPressureFlag(),
          {q("reason"), q("TEXT"), q("why; it stays with the record"), true},
          byFlag()},
         q("Derives a CTD log again with corrections of its sensors."),
         q("What holdfast quality finds (pressure in air, lag of the temperature) is applied only so, by a "
           "person.\n"
           "The log itself is kept; 0 takes a correction back. Then holdfast refix shows what changed."),
         correct},
        {q("logs"),
         {q("FILE")},
         {diveFlag(),
          {q("take-out"), q("LOG"), q("a log that shall not be used: its file name or SHA-256")},
          {q("put-back"), q("LOG"), q("a log that is out of use; the one in its place goes out of use")},
          {q("reason"), q("TEXT"), q("with either: why; it stays with the record")},
          byFlag(),
          jsonFlag()},
         q("Lists the logs of a dive, takes one out of use or puts one back."),
         q("For a log of the wrong dive, or a correction that was none. Nothing is deleted."),
         logs},
        {q("intake"),
         {q("FILE"), q("LOG...")},
         {diveFlag(),
          {q("profile"), q("NAME"), q("a feed profile of templates/feeds: nmea, position-csv, ctd-csv, …"),
           true},
          {q("date"), q("YYYY-MM-DD"),
           q("the day of the log's first line, for NMEA logs that carry no date")},
          {q("replaces"), q("LOG"),
           q("an earlier log that this corrected one takes the place of: its file name or SHA-256")},
          lagFlag(),
          deckPressureFlag(),
          {q("reason"), q("TEXT"), q("why the sensors are corrected; it stays with the record")},
          byFlag(),
          jsonFlag()},
         q("Reads position, CTD, velocity, ship or raw acoustic logs into the cruise file."),
         q("Lines that can't be used are counted, kept aside with their line numbers and never stop the "
           "reading.\n"
           "A log that the dive has already is refused."),
         intake}};
}

} // namespace holdfast::cli
