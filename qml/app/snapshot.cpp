// SPDX-License-Identifier: GPL-3.0-or-later
#include "snapshot.h"

#include "base/template_folder.h"
#include "dive/running_dive.h"

namespace holdfast
{

namespace
{

void addWord(QStringList &list, const QString &word)
{
    if (!word.isEmpty() && !list.contains(word))
        list.prepend(word);
}

Done readUsedWords(const Database &db, Snapshot &s)
{
    for (const DiveInfo &dive : s.dives) {
        const auto samples = readSamples(db, dive.number);
        if (!samples)
            return samples.error();
        for (const SampleInfo &sample : *samples) {
            addWord(s.used.kinds, sample.kind);
            addWord(s.used.descriptions, sample.description);
            addWord(s.used.people, sample.loggedBy);
            addWord(s.used.people, sample.askedBy);
            addWord(s.used.permits, sample.permit);
            addWord(s.used.tools, sample.tool);
        }
        const auto stamps = readStamps(db, dive.number);
        if (!stamps)
            return stamps.error();
        for (const StampInfo &stamp : *stamps) {
            addWord(s.used.people, stamp.by);
            addWord(s.used.reasons, stamp.reason);
        }
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
