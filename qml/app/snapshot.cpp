// SPDX-License-Identifier: GPL-3.0-or-later
#include "snapshot.h"

#include "base/template_folder.h"
#include "dive/running_dive.h"

namespace holdfast
{

namespace
{

/// The texts that `sql` gives with a time each, empty ones left out; the one used first stands last.
Done readWords(const Database &db, const char *sql, QStringList &words)
{
    auto rows =
        query(db.connection(),
              QStringLiteral("SELECT word FROM (%1) WHERE word<>'' GROUP BY word ORDER BY min(t) DESC")
                  .arg(QLatin1String(sql)));
    if (!rows)
        return rows.error();
    while (rows->next())
        words << rows->text(0);
    return {};
}

Done readUsedWords(const Database &db, Snapshot &s)
{
    for (const auto &[sql, words] : {
             std::pair{"SELECT kind AS word, time_us AS t FROM sample", &s.used.kinds},
             std::pair{"SELECT description AS word, time_us AS t FROM sample", &s.used.descriptions},
             std::pair{"SELECT permit AS word, time_us AS t FROM sample", &s.used.permits},
             std::pair{"SELECT tool AS word, time_us AS t FROM sample", &s.used.tools},
             std::pair{"SELECT reason AS word, time_us AS t FROM stamp", &s.used.reasons},
             std::pair{
                 "SELECT logged_by AS word, time_us AS t FROM sample UNION ALL SELECT asked_by, time_us "
                 "FROM sample UNION ALL SELECT by_whom, time_us FROM stamp",
                 &s.used.people},
         }) {
        if (auto done = readWords(db, sql, *words); !done)
            return done;
    }
    return {};
}

Done readDiveRows(const Database &db, Snapshot &s)
{
    const int number = s.dive->number;
    const auto json = parseJsonObject(s.dive->loadoutJson.toUtf8(), QStringLiteral("The dive's loadout"));
    if (!json)
        return json.error();
    auto loadout = parseLoadout(*json, QStringLiteral("The dive's loadout"));
    if (!loadout)
        return loadout.error();
    auto states = readSlots(db, number);
    if (!states)
        return states.error();
    auto stamps = readStamps(db, number);
    if (!stamps)
        return stamps.error();
    auto samples = readSamples(db, number);
    if (!samples)
        return samples.error();
    auto lids = readLids(db, number);
    if (!lids)
        return lids.error();
    auto readiness = readReadiness(db, number);
    if (!readiness)
        return readiness.error();
    auto tally = readTally(db, number);
    if (!tally)
        return tally.error();
    auto intakes = readIntakes(db, number);
    if (!intakes)
        return intakes.error();
    s.loadout = std::move(*loadout);
    s.slotStates = std::move(*states);
    s.stamps = std::move(*stamps);
    s.samples = std::move(*samples);
    s.lids = std::move(*lids);
    s.readiness = std::move(*readiness);
    s.tally = std::move(*tally);
    s.intakes = std::move(*intakes);
    return {};
}

} // namespace

Result<SnapshotPtr> readSnapshot(const CruiseFile &file, int number)
{
    const Database &db = file.db();
    auto s = std::make_shared<Snapshot>();
    s->station = file.station();
    auto cruise = readCruise(db);
    if (!cruise)
        return cruise.error();
    s->cruise = *cruise;
    auto dives = readDives(db);
    if (!dives)
        return dives.error();
    s->dives = std::move(*dives);
    auto feeds = readFeeds(db, s->station);
    if (!feeds)
        return feeds.error();
    s->feeds = std::move(*feeds);
    const int inWater = diveInTheWater(s->dives);
    const int shown = number != 0        ? number
                      : inWater != 0     ? inWater
                      : s->dives.empty() ? 0
                                         : s->dives.back().number;
    for (const DiveInfo &dive : s->dives) {
        if (dive.number == shown)
            s->dive = dive;
    }
    if (s->dive) {
        if (auto read = readDiveRows(db, *s); !read)
            return read.error();
    }
    if (auto read = readUsedWords(db, *s); !read)
        return read.error();
    auto undo = lastUndo(file);
    if (!undo)
        return undo.error();
    s->lastUndo = std::move(*undo);
    return SnapshotPtr(std::move(s));
}

} // namespace holdfast
