// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/cruise_content.h"

#include "custody/custody_book.h"
#include "custody/held_acts.h"
#include "custody/not_found.h"
#include "dive/readiness.h"
#include "dive/scan_log.h"
#include "handoff/two_threads.h"

#include <cmath>

namespace holdfast
{

namespace
{

Result<ItemRecord> readItemRecord(const Database &db, const CustodyBook &book, const QString &id)
{
    auto names = readIdentifications(db, id);
    if (!names)
        return names.error();
    auto photographs = readPhotographs(db, id);
    if (!photographs)
        return photographs.error();
    auto preservations = readPreservations(db, id);
    if (!preservations)
        return preservations.error();
    auto storage = readStorage(db, id);
    if (!storage)
        return storage.error();
    auto preserved = readPreservedNow(db, id);
    if (!preserved)
        return preserved.error();
    return ItemRecord{std::move(*names),     std::move(*photographs), std::move(*preservations),
                      std::move(*preserved), std::move(*storage),     book.chainOf(id)};
}

Result<std::vector<SpecimenRecord>> readSpecimenRecords(const Database &db, const CustodyBook &book,
                                                        const SampleInfo &sample, const KindTable &kinds)
{
    const auto specimens = readSpecimens(db, sample.id);
    if (!specimens)
        return specimens.error();
    std::vector<SpecimenRecord> out;
    for (const SpecimenInfo &s : *specimens) {
        if (s.state == QLatin1String("void"))
            continue;
        auto item = readItemRecord(db, book, s.id);
        if (!item)
            return item.error();
        const QString family = kinds.familyOf(s.details.material);
        out.push_back({s, family.isEmpty() ? sample.family : family, std::move(*item)});
    }
    return out;
}

std::vector<NavFix> thinned(const Track &track)
{
    const std::vector<PositionRecord> accepted = track.accepted();
    std::vector<NavFix> out;
    if (accepted.empty())
        return out;
    for (UtcTime t = accepted.front().time; t <= accepted.back().time; t += trackSpacing) {
        NavFix fix = track.at(t);
        if (fix.latitudeDeg)
            out.push_back(std::move(fix));
    }
    return out;
}

bool inWater(const DiveInfo &dive, UtcTime t)
{
    return (!dive.launched || t >= *dive.launched) && (!dive.onDeck || t <= *dive.onDeck);
}

void widen(std::optional<std::pair<double, double>> &range, double depthM)
{
    if (!range)
        range = {depthM, depthM};
    range->first = std::min(range->first, depthM);
    range->second = std::max(range->second, depthM);
}

std::optional<std::pair<double, double>> depthRange(const DiveInfo &dive, const Track &track)
{
    std::optional<std::pair<double, double>> range;
    for (const PositionRecord &p : track.accepted()) {
        if (p.depthM && inWater(dive, p.time))
            widen(range, *p.depthM);
    }
    return range;
}

Result<std::optional<std::pair<double, double>>> depthRangeByScans(const Database &db, const DiveRecord &dive)
{
    const auto latitude = diveLatitude(db, dive.info.number);
    if (!latitude)
        return latitude.error();
    const auto scans = readPressures(db, dive.info.number);
    if (!scans)
        return scans.error();
    std::optional<std::pair<double, double>> range; // of pressure; depth grows with it
    std::optional<UtcTime> first, last;
    for (std::size_t i = 0; i < scans->timeUs.size(); ++i) {
        const UtcTime t = utcFromMicroseconds(scans->timeUs[i]);
        const auto flag = static_cast<QcFlag>(scans->pressureDbar.flags[i]);
        const double pressureDbar = scans->pressureDbar.values[i];
        if (!inWater(dive.info, t) || (flag != QcFlag::Pass && flag != QcFlag::NotEvaluated) ||
            !std::isfinite(pressureDbar))
            continue;
        widen(range, pressureDbar);
        first = first.value_or(t);
        last = t;
    }
    if (range) {
        const SeawaterFormula formula = WaterMethods{}.depth;
        const double latitudeDeg = latitude->value_or(latitudeWhenUnknownDeg);
        range = {depthBy(formula, range->first, latitudeDeg), depthBy(formula, range->second, latitudeDeg)};
    }
    for (const NavFix &f : dive.track) {
        if (range && f.depthM && inWater(dive.info, f.time) && (f.time < *first || f.time > *last))
            widen(range, *f.depthM);
    }
    return range;
}

/// A log that was only put out of use has none.
Result<QHash<QString, QString>> readSuccessors(const Database &db, int dive)
{
    auto rows =
        query(db.connection(),
              QStringLiteral("SELECT o.uuid, n.uuid FROM intake o JOIN intake n ON n.uuid=o.replaced_by "
                             "WHERE o.dive=? AND n.uuid<>o.uuid"),
              {dive});
    if (!rows)
        return rows.error();
    QHash<QString, QString> out;
    while (rows->next())
        out.insert(rows->text(0), rows->text(1));
    return out;
}

QHash<QString, Acceptance> acceptanceOf(const ValueComparison &comparison)
{
    QHash<QString, Acceptance> out;
    QHash<QString, bool> ever;
    for (const ValueChange &c : comparison.values)
        ever[c.sample] = ever.value(c.sample) || !c.accepted.isEmpty();
    for (const ValueChange &c : comparison.values) {
        if (!ever.value(c.sample))
            out.insert(c.sample, Acceptance::Never);
        else if (c.accepted != c.now)
            out.insert(c.sample, Acceptance::ChangedSince);
        else if (!out.contains(c.sample))
            out.insert(c.sample, Acceptance::AsAccepted);
    }
    return out;
}

Result<DiveRecord> readDiveRecord(const Database &db, const DiveInfo &info, const KindTable &kinds,
                                  const CustodyBook &book, const QHash<QString, QString> &notFound,
                                  const WithDive &withDive)
{
    DiveRecord dive;
    dive.info = info;
    auto logs = readIntakes(db, info.number);
    if (!logs)
        return logs.error();
    dive.logs = std::move(*logs);
    auto absent = absentLogs(db, info.number);
    if (!absent)
        return absent.error();
    dive.absent = std::move(*absent);
    const auto track = diveTrack(db, info.number, FixMethod::Smooth);
    if (!track)
        return track.error();
    dive.track = thinned(*track);
    dive.depthRangeM = depthRange(info, *track);
    auto amendments = readAmendments(db, info.number);
    if (!amendments)
        return amendments.error();
    dive.amendments = std::move(*amendments);
    auto successors = readSuccessors(db, info.number);
    if (!successors)
        return successors.error();
    dive.successors = std::move(*successors);
    auto values = computeValues(db, info.number, *track);
    if (!values)
        return values.error();
    const auto comparison = compareValues(db, *values);
    if (!comparison)
        return comparison.error();
    dive.provenance = values->provenance;
    const QHash<QString, Acceptance> accepted = acceptanceOf(*comparison);
    const auto samples = readSamples(db, info.number);
    if (!samples)
        return samples.error();
    const auto permits = readPermits(db);
    if (!permits)
        return permits.error();
    for (std::size_t i = 0; i < samples->size(); ++i) {
        SampleRecord record;
        record.info = samples->at(i);
        record.fix = values->samples.at(i).fix;
        dive.absent.explain(record.fix);
        record.water = values->samples.at(i).water;
        record.waterReason = dive.absent.whyNoWater(record.water.flag);
        record.permitDoubt = permitDoubt(*permits, record.info.permit);
        record.notFound = notFound.value(record.info.id);
        record.acceptance = accepted.value(record.info.id, Acceptance::Never);
        if (!record.info.momentKnown) {
            const auto stamp = readStamp(db, record.info.stamp);
            if (!stamp)
                return stamp.error();
            record.span = findSpan(*stamp);
        }
        auto item = readItemRecord(db, book, record.info.id);
        if (!item)
            return item.error();
        record.item = std::move(*item);
        auto specimens = readSpecimenRecords(db, book, record.info, kinds);
        if (!specimens)
            return specimens.error();
        record.specimens = std::move(*specimens);
        dive.samples.push_back(std::move(record));
    }
    if (withDive) {
        if (auto done = withDive(db, dive, *track); !done)
            return done.error();
    }
    return dive;
}

} // namespace

QString acceptanceWord(Acceptance acceptance)
{
    switch (acceptance) {
    case Acceptance::AsAccepted:
        return QStringLiteral("as accepted");
    case Acceptance::ChangedSince:
        return QStringLiteral("changed since");
    case Acceptance::Never:
        break;
    }
    return QStringLiteral("never accepted");
}

std::optional<double> SampleRecord::depthM() const
{
    if (water.depthM.has())
        return water.depthM.value;
    return fix.depthM;
}

Done depthRangesByScans(const Database &db, CruiseContent &content, const JobControl &job)
{
    return onTwoThreads(
        db, content.dives.size(),
        [&content](const Database &reading, std::size_t i) -> Done {
            DiveRecord &dive = content.dives[i];
            const auto range = depthRangeByScans(reading, dive);
            if (!range)
                return range.error();
            if (*range)
                dive.depthRangeM = *range;
            return {};
        },
        job);
}

QString SampleRecord::stateNow() const
{
    const CustodyPeriod *const last = item.custody.last();
    const bool ended = info.state == QLatin1String("held") && last && last->state == PeriodState::Ended;
    return ended ? last->basis : info.state;
}

Result<CruiseContent> readContent(const Database &db, const JobControl &job, const WithDive &withDive)
{
    auto cruise = readCruise(db);
    if (!cruise)
        return cruise.error();
    const auto dives = readDives(db);
    if (!dives)
        return dives.error();
    const auto kinds = KindTable::load();
    if (!kinds)
        return kinds.error();
    const auto book = CustodyBook::readAll(db);
    if (!book)
        return book.error();
    const auto missing = readNotFound(db);
    if (!missing)
        return missing.error();
    QHash<QString, QString> notFound;
    for (const NotFound &one : *missing)
        notFound.insert(one.sample, notFoundWords(one));
    CruiseContent content;
    content.cruise = std::move(*cruise);
    content.dives.resize(dives->size());
    const auto read = [&](const Database &here, std::size_t i) -> Done {
        auto dive = readDiveRecord(here, dives->at(i), *kinds, *book, notFound, withDive);
        if (!dive)
            return dive.error();
        content.dives[i] = std::move(*dive);
        return {};
    };
    const auto before = [&](std::size_t begun) {
        job.tell(QStringLiteral("dive %1 of %2").arg(begun + 1).arg(dives->size()),
                 static_cast<double>(begun) / static_cast<double>(dives->size()));
    };
    if (auto done = onTwoThreads(db, dives->size(), read, job, before); !done)
        return done.error();
    return content;
}

} // namespace holdfast
