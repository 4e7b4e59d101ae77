// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"
#include "dive/log_intake.h"
#include "dive/readers.h"

#include <QJsonArray>
#include <QJsonObject>

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

QList<Verb> logVerbs()
{
    return {{q("intake"),
             {q("FILE"), q("LOG...")},
             {diveFlag(),
              {q("profile"), q("NAME"),
               q("a feed profile of templates/feeds: nmea, position-csv, ctd-csv, …"), true},
              {q("date"), q("YYYY-MM-DD"),
               q("the day of the log's first line, for NMEA logs that carry no date")},
              {q("replaces"), q("LOG"),
               q("an earlier log that this corrected one takes the place of: its file name or SHA-256")},
              byFlag(),
              jsonFlag()},
             q("Reads position, CTD or velocity logs into the cruise file."),
             q("Lines that can't be used are counted, kept aside with their line numbers and never stop the "
               "reading.\n"
               "A log that the dive has already is refused."),
             intake}};
}

} // namespace holdfast::cli
