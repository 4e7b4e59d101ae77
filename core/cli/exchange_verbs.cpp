// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/counted.h"
#include "cli/cli.h"
#include "dive/readers.h"
#include "exchange/conflicts.h"
#include "exchange/station_list.h"
#include "exchange/take_in.h"

#include <QDir>
#include <QFile>
#include <QJsonArray>

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

Done listStations(const QString &path, const World &world)
{
    const auto file = openForReading(path);
    if (!file)
        return file.error();
    const auto heads = chainHeads(file->db());
    if (!heads)
        return heads.error();
    auto rows = query(
        file->db().connection(),
        QStringLiteral("SELECT name, public_key, numbers_from FROM station ORDER BY numbers_from, name"));
    if (!rows)
        return rows.error();
    while (rows->next()) {
        const QString name = rows->text(0);
        const QString key = rows->text(1);
        world.out(QStringLiteral("%1%2: %3, numbers from %4, key %5\n")
                      .arg(name, name == file->station() ? q(" (this file)") : QString(),
                           counted(heads->value(name).seq, q("entry"), q("entries")))
                      .arg(rows->integer(2))
                      .arg(key.isEmpty() ? q("none yet") : keyMark(key)));
    }
    return {};
}

/// Where the new station's file shall be: a copy beside, or the file itself when this computer is not the
/// station it was copied from.
Result<QString> placeForStation(const Arguments &a)
{
    const QString path = a.positional().at(0);
    const auto file = openForReading(path);
    if (!file)
        return file.error();
    if (!a.has(q("out"))) {
        auto row = query(file->db().connection(),
                         QStringLiteral("SELECT public_key FROM station WHERE name=?"), {file->station()});
        if (!row)
            return row.error();
        if (row->next() && !row->text(0).isEmpty() && StationKey::load(row->text(0)))
            return fail(
                ErrorKind::Refused,
                QStringLiteral("On this computer %1 is station %2 itself. Say with --out where the copy "
                               "for the new station shall be, or copy the file to the other computer and do "
                               "it there.")
                    .arg(path, file->station()));
        return path;
    }
    const QString copy = a.text(q("out"));
    if (QFile::exists(copy))
        return fail(ErrorKind::Duplicate,
                    QStringLiteral("%1 is there already; choose another name.").arg(copy));
    // The connection can't write to the file it has open, and must be told that it may write another.
    if (auto done = execSql(file->db().connection(), QStringLiteral("PRAGMA query_only=OFF")); !done)
        return done.error();
    if (auto done = execSql(file->db().connection(), QStringLiteral("VACUUM INTO ?"), {copy}); !done) {
        // What a full disk left of it is no file to work with, and would stand in the way of the next try.
        for (const char *tail : {"", "-journal"})
            QFile::remove(copy + q(tail));
        return done.error().whileDoing(QStringLiteral("Copying %1 to %2").arg(path, copy));
    }
    return copy;
}

Done makeStation(const Arguments &a, const World &world)
{
    const auto from = a.has(q("numbers-from")) ? a.whole(q("numbers-from")) : Result<int>(0);
    if (!from)
        return from.error();
    if (a.has(q("numbers-from")) && *from < 1)
        return fail(ErrorKind::Usage, QStringLiteral("--numbers-from needs a number from 1 on."));
    const QString name = a.text(q("as")).trimmed();
    if (auto good = checkStationName(name); !good)
        return good;
    const auto place = placeForStation(a);
    if (!place)
        return place.error();
    // The verbs' rules come with opening; the new station's own are the same.
    auto rules = openForReading(*place);
    if (!rules)
        return rules.error();
    const VerbRules all = rules->rules();
    auto made = CruiseFile::becomeStation(*place, name, {a.person(), world.now()}, *from, all);
    if (!made) {
        if (a.has(q("out")))
            QFile::remove(*place);
        return made.error();
    }
    world.out(QStringLiteral("%1 is station %2 now, with a chain and a key of its own.\n").arg(*place, name));
    return listStations(*place, world);
}

Done station(const Arguments &a, const World &world)
{
    if (a.has(q("as")) && a.has(q("new-key")))
        return fail(ErrorKind::Usage, QStringLiteral("Give --as or --new-key, not both."));
    if (a.has(q("as")))
        return makeStation(a, world);
    if (!a.has(q("new-key")))
        return listStations(a.positional().at(0), world);
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    if (auto done = file->renewKey({a.person(), world.now()}, a.text(q("new-key"))); !done)
        return done;
    return listStations(a.positional().at(0), world);
}

Done takeInFile(CruiseFile &file, const QString &path, const QStringList &trusted, const World &world)
{
    const auto read = readExchangeFile(path);
    if (!read)
        return read.error();
    const auto taken = takeIn(file, *read, trusted);
    if (!taken)
        return taken.error().whileDoing(path);
    if (taken->added.isEmpty())
        world.out(QStringLiteral("%1, from station %2: nothing new.\n").arg(path, taken->from));
    for (auto it = taken->added.begin(); it != taken->added.end(); ++it)
        world.out(
            QStringLiteral("%1, from station %2: %3 of station %4.\n")
                .arg(path, taken->from, counted(it.value(), q("new entry"), q("new entries")), it.key()));
    return {};
}

Done writeOut(const CruiseFile &file, const QString &path, const std::optional<QString> &forStation,
              const World &world)
{
    const auto gathered = gatherExchange(file.db(), file.station(), world.now(), forStation);
    if (!gathered)
        return gathered.error();
    if (auto done = writeExchangeFile(path, *gathered); !done)
        return done;
    qsizetype entries = 0;
    for (const ChainPart &part : gathered->chains)
        entries += static_cast<qsizetype>(part.entries.size());
    world.out(QStringLiteral("%1: %2 of %3.\n")
                  .arg(path)
                  .arg(counted(entries, q("entry"), q("entries")),
                       counted(static_cast<qint64>(gathered->chains.size()), q("station"), q("stations"))));
    return {};
}

/// A folder that several stations reach: everybody's file is taken in, the own one put in place of its last.
Done throughFolder(CruiseFile &file, const Arguments &a, const QStringList &trusted, const World &world)
{
    const auto cruise = readCruise(file.db());
    if (!cruise)
        return cruise.error();
    const QDir folder(a.text(q("with")));
    const auto others = exchangeFilesOfOthers(folder.path(), cruise->code, file.station());
    if (!others)
        return others.error();
    QStringList problems;
    for (const QString &path : *others) {
        // One bad file must not keep the others out.
        if (auto done = takeInFile(file, path, trusted, world); !done)
            problems << done.error().sentence;
    }
    if (auto done =
            writeOut(file, folder.filePath(exchangeFileName(cruise->code, file.station())), {}, world);
        !done)
        problems << done.error().sentence;
    if (problems.isEmpty())
        return {};
    return fail(ErrorKind::Refused, problems.join(QLatin1Char('\n')));
}

Done tellConflicts(const CruiseFile &file, const World &world)
{
    const auto open = openConflicts(file.db());
    if (!open)
        return open.error();
    if (!open->empty())
        world.out(
            QStringLiteral("%1 between stations; holdfast conflicts lists them.\n")
                .arg(counted(static_cast<qint64>(open->size()), q("open conflict"), q("open conflicts"))));
    return {};
}

Done exchange(const Arguments &a, const World &world)
{
    const bool out = a.has(q("out"));
    const bool in = a.has(q("in"));
    if (int(out) + int(in) + int(a.has(q("with"))) != 1)
        return fail(ErrorKind::Usage, QStringLiteral("Give one of --out X, --in X and --with FOLDER."));
    if (a.has(q("for")) && !out)
        return fail(ErrorKind::Usage, QStringLiteral("--for goes with --out."));
    if (a.has(q("trust")) && out)
        return fail(ErrorKind::Usage, QStringLiteral("--trust goes with --in and --with."));
    const auto trusted = trustedKeys(a.text(q("trust")));
    if (!trusted)
        return trusted.error().whileDoing(q("--trust"));
    if (out) {
        const auto file = openForReading(a.positional().at(0));
        if (!file)
            return file.error();
        return writeOut(*file, a.text(q("out")),
                        a.has(q("for")) ? std::optional(a.text(q("for"))) : std::nullopt, world);
    }
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    const Done done =
        in ? takeInFile(*file, a.text(q("in")), *trusted, world) : throughFolder(*file, a, *trusted, world);
    if (auto told = tellConflicts(*file, world); !told)
        return told;
    return done;
}

QJsonObject jsonOf(const Conflict &c)
{
    QJsonArray sides;
    for (const ConflictSide &s : c.sides)
        sides.append(QJsonObject{{q("entry"), s.entry},
                                 {q("station"), s.station},
                                 {q("seq"), s.seq},
                                 {q("by"), s.by},
                                 {q("time"), toIso(s.time)},
                                 {q("says"), s.says},
                                 {q("shown"), s.shown}});
    return {{q("key"), c.key}, {q("about"), c.about}, {q("advice"), c.advice}, {q("sides"), sides}};
}

void print(const Conflict &c, const World &world)
{
    world.out(QStringLiteral("%1  %2\n").arg(c.key, c.about));
    for (const ConflictSide &s : c.sides)
        world.out(QStringLiteral("    %1 %2 entry %3, %4, %5: %6\n")
                      .arg(s.shown ? q("shown") : q("     "), s.station)
                      .arg(s.seq)
                      .arg(s.by, toIso(s.time), s.says));
    world.out(QStringLiteral("    %1\n").arg(c.advice));
}

Done conflicts(const Arguments &a, const World &world)
{
    if (a.has(q("settle"))) {
        auto file = openForWriting(a.positional().at(0));
        if (!file)
            return file.error();
        if (a.has(q("take"))) {
            if (auto done = takePlanOf(*file, {a.person(), world.now()}, a.text(q("settle")),
                                       a.text(q("take")), a.text(q("reason")));
                !done)
                return done;
            world.out(QStringLiteral("Conflict %1 ended: the plan of station %2 is the dive's.\n")
                          .arg(a.text(q("settle")), a.text(q("take"))));
            return {};
        }
        const auto fresh =
            settleConflict(*file, {a.person(), world.now()}, a.text(q("settle")), a.text(q("reason")));
        if (!fresh)
            return fresh.error();
        world.out(
            fresh->isEmpty()
                ? QStringLiteral("Conflict %1 settled.\n").arg(a.text(q("settle")))
                : QStringLiteral("Conflict %1 settled: the later one is %2 now; print its label again.\n")
                      .arg(a.text(q("settle")), *fresh));
        return {};
    }
    if (a.has(q("take")))
        return fail(ErrorKind::Usage, q("--take goes with --settle."));
    const auto file = openForReading(a.positional().at(0));
    if (!file)
        return file.error();
    const auto open = openConflicts(file->db());
    if (!open)
        return open.error();
    if (a.has(q("json"))) {
        QJsonArray list;
        for (const Conflict &c : *open)
            list.append(jsonOf(c));
        outJson(world, {{q("conflicts"), list}});
        return {};
    }
    if (open->empty())
        world.out(q("No open conflict.\n"));
    for (const Conflict &c : *open)
        print(c, world);
    return {};
}

} // namespace

QList<Verb> exchangeVerbs()
{
    return {
        {q("station"),
         {q("FILE")},
         {{q("as"), q("NAME"), q("makes a copy of the file a station of its own: van, deck, wet lab")},
          {q("out"), q("COPY"),
           q("where the new station's file shall be; needed where FILE itself is written")},
          {q("numbers-from"), q("N"),
           q("the first number it gives to samples; else a free block of 300 chosen by its name")},
          {q("new-key"), q("REASON"), q("announces a new key: the computer with the old one is lost")},
          byFlag()},
         q("Lists the stations with their keys, or sets one up."),
         q("A station writes only on the computer (and account) that holds its key. Make the copy's station "
           "where it "
           "will\nbe used; compare keys by voice or paper before others trust it."),
         station},
        {q("exchange"),
         {q("FILE")},
         {{q("out"), q("X"), q("writes what this file has")},
          {q("for"), q("STATION"),
           q("with --out: only what that station had not seen when it was last heard of")},
          {q("in"), q("X"), q("takes in what is new in an exchange file")},
          {q("with"), q("FOLDER"),
           q("takes in the files of the others in a shared folder or on a stick, and puts the own "
             "one there")},
          {q("trust"), q("KEY,…"),
           q("with --in and --with: keys of new stations, as they show them, compared by a person")}},
         q("Gives entries to other stations and takes in theirs."),
         q("In any order, any number of times. A file that was changed, cut off or is not signed is refused "
           "whole, with "
           "the\nentry named. Logs do not travel; entries name them by their SHA-256."),
         exchange},
        {q("conflicts"),
         {q("FILE")},
         {{q("settle"), q("KEY"), q("what is shown stands; an id given twice: the later one gets a new id")},
          {q("take"), q("STATION"),
           q("with --settle, of a dive planned twice: this station's plan is right")},
          {q("reason"), q("TEXT"), q("with --settle: why; it stays with the record")},
          byFlag(),
          jsonFlag()},
         q("Lists what stations did without knowing of each other and can't all be so."),
         q("A later correction by somebody who had seen all sides ends a conflict, too."),
         conflicts},
    };
}

} // namespace holdfast::cli
