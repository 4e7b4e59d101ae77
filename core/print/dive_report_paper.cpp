// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/dive_report_paper.h"

#include "custody/tally.h"
#include "dive/dive_values.h"
#include "dive/readers.h"
#include "dive/readiness.h"
#include "dive/scan_log.h"
#include "print/dive_papers.h"
#include "store/sensor_log.h"

#include <QMap>
#include <algorithm>
#include <cmath>

namespace holdfast
{

namespace
{

constexpr std::size_t chartPoints = 1200;

/// Thins a series to the least and greatest value of each stretch, in order of time, so that no spike is
/// lost.
std::vector<ChartPoint> thinned(const std::vector<std::int64_t> &timeUs, const std::vector<double> &values,
                                const std::vector<QcFlag> &flags)
{
    std::vector<ChartPoint> good;
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (std::isfinite(values[i]) && flags[i] != QcFlag::Fail && flags[i] != QcFlag::Missing)
            good.push_back({utcFromMicroseconds(timeUs[i]), values[i]});
    }
    const std::size_t step = std::max<std::size_t>(1, good.size() / (chartPoints / 2));
    if (step == 1)
        return good;
    std::vector<ChartPoint> out;
    for (std::size_t begin = 0; begin < good.size(); begin += step) {
        const auto first = good.begin() + static_cast<std::ptrdiff_t>(begin);
        const auto last = good.begin() + static_cast<std::ptrdiff_t>(std::min(begin + step, good.size()));
        const auto [low, high] = std::minmax_element(
            first, last, [](const ChartPoint &a, const ChartPoint &b) { return a.value < b.value; });
        out.push_back(
            std::min(*low, *high, [](const ChartPoint &a, const ChartPoint &b) { return a.time < b.time; }));
        if (low != high)
            out.push_back(std::max(*low, *high,
                                   [](const ChartPoint &a, const ChartPoint &b) { return a.time < b.time; }));
    }
    return out;
}

void addTrack(const Track &track, DiveReportContent &report)
{
    const std::vector<PositionRecord> positions = track.accepted();
    if (positions.empty())
        return;
    const auto span = positions.back().time - positions.front().time;
    const auto step = std::max<Microseconds>(span / 800, std::chrono::seconds(2));
    for (UtcTime t = positions.front().time; t <= positions.back().time; t += step) {
        const NavFix fix = track.at(t);
        if (fix.latitudeDeg)
            report.track.push_back({t, *fix.latitudeDeg, *fix.longitudeDeg});
        if (fix.depthM)
            report.depth.push_back({t, *fix.depthM});
    }
}

/// @param longestGapS of the scans; stays empty without any.
Done addWater(const Database &db, int dive, DiveReportContent &report, std::optional<double> &longestGapS)
{
    const auto latitude = diveLatitude(db, dive);
    if (!latitude)
        return latitude.error();
    const auto scans = readScans(db, dive, SensorLogReader::earliest, SensorLogReader::latest,
                                 latitude->value_or(latitudeWhenUnknownDeg));
    if (!scans)
        return scans.error();
    if (scans->scans.size() == 0)
        return {};
    std::int64_t longestUs = 0;
    for (std::size_t i = 1; i < scans->scans.timeUs.size(); ++i)
        longestUs = std::max(longestUs, scans->scans.timeUs[i] - scans->scans.timeUs[i - 1]);
    longestGapS = static_cast<double>(longestUs) / 1e6;
    const auto add = [&](const char *title, const std::vector<double> &values, QcParameter parameter) {
        auto points = thinned(scans->scans.timeUs, values, scans->flags.flags(parameter));
        if (!points.empty())
            report.water.push_back({QString::fromUtf8(title), std::move(points)});
    };
    add("Temperature (°C)", scans->scans.temperatureDegC, QcParameter::Temperature);
    add("Practical salinity", scans->derived.practicalSalinity, QcParameter::Salinity);
    add("Oxygen (µmol/kg)", scans->scans.oxygenUmolKg, QcParameter::Oxygen);
    auto depth = thinned(scans->scans.timeUs, scans->derived.depthM, scans->flags.flags(QcParameter::Depth));
    if (!depth.empty())
        report.depth = std::move(depth); // the pressure sensor knows depth better than the acoustics
    return {};
}

Done addLosses(const Database &db, int dive, DiveReportContent &report)
{
    const auto stamps = readStamps(db, dive);
    if (!stamps)
        return stamps.error();
    for (const StampInfo &stamp : *stamps) {
        if (stamp.state == QLatin1String("failed") || stamp.state == QLatin1String("set aside"))
            report.lost.push_back({stamp.time, stamp.state, stamp.reason, stamp.by});
    }
    const auto amendments = readAmendments(db, dive);
    if (!amendments)
        return amendments.error();
    for (const AmendmentInfo &a : *amendments) {
        if (a.field == QLatin1String("state") && a.newValue != QLatin1String("held"))
            report.lost.push_back(
                {a.time, QStringLiteral("%1 %2").arg(a.sample, a.newValue), a.reason, a.by});
    }
    // What the deck found otherwise than the ledger said.
    const auto tally = readTally(db, dive);
    if (!tally)
        return tally.error();
    for (const TallyLine &line : *tally) {
        if (!line.answer || *line.answer == TallyAnswer::AsLogged || *line.answer == TallyAnswer::Extra)
            continue;
        report.lost.push_back(
            {line.time,
             QStringLiteral("%1 at recovery: %2 (%3)")
                 .arg(line.slot.code, tallyWord(*line.answer), line.slot.held.join(QStringLiteral(", "))),
             line.note, line.by});
    }
    std::stable_sort(report.lost.begin(), report.lost.end(),
                     [](const LostThing &a, const LostThing &b) { return a.time < b.time; });
    return {};
}

Done addFeeds(const Database &db, int dive, const TrackReport &track, std::optional<double> scanGapS,
              DiveReportContent &report)
{
    const auto intakes = readIntakes(db, dive);
    if (!intakes)
        return intakes.error();
    for (const IntakeInfo &intake : *intakes) {
        FeedQuality feed;
        feed.name = intake.kind;
        feed.source = QStringLiteral("%1 (%2)").arg(intake.fileName, intake.profile);
        feed.accepted = intake.accepted;
        feed.repaired = intake.repaired;
        feed.rejected = intake.rejected;
        if (intake.kind == QLatin1String("position") && track.records > 0)
            feed.longestGapS = track.longestGapS;
        if (intake.kind == QLatin1String("ctd") && !intake.replaced)
            feed.longestGapS = scanGapS;
        if (intake.replaced)
            feed.remark = QStringLiteral("a corrected log has taken its place");
        report.feeds.push_back(feed);
    }
    return {};
}

/// What counts against each permit: where a limit is set, what the whole cruise has taken; else this dive.
Done addPermits(const Database &db, int dive, DiveReportContent &report)
{
    const auto samples = readSamples(db, dive);
    if (!samples)
        return samples.error();
    QMap<QString, int> here; // by permit in small letters, as limits are kept
    QMap<QString, QString> spelt;
    for (const SampleInfo &s : *samples) {
        if (s.permit.isEmpty() || s.state == QLatin1String("void"))
            continue;
        here[s.permit.toLower()] += s.count;
        spelt.insert(s.permit.toLower(), s.permit);
    }
    const auto limits = readPermits(db);
    if (!limits)
        return limits.error();
    for (const PermitLimit &limit : *limits) {
        PermitUse use;
        use.permit = limit.title.isEmpty() ? limit.taxon : limit.title;
        use.covers = QStringLiteral("%1; on this dive %2, on the cruise:")
                         .arg(limit.taxon)
                         .arg(here.value(limit.taxon.toLower()));
        use.taken = limit.taken;
        use.limit = limit.most;
        report.permits.push_back(use);
        here.remove(limit.taxon.toLower());
    }
    for (auto it = here.cbegin(); it != here.cend(); ++it)
        report.permits.push_back(
            {spelt.value(it.key()), QStringLiteral("on this dive; no limit is recorded"), it.value(), {}});
    return {};
}

} // namespace

Result<DiveReportContent> diveReport(const Database &db, int dive, const QString &printedBy,
                                     UtcTime printedAt)
{
    auto sheet = diveSheet(db, dive, printedBy, printedAt);
    if (!sheet)
        return sheet.error();
    const auto track = diveTrack(db, dive, FixMethod::Smooth);
    if (!track)
        return track.error();
    DiveReportContent report;
    report.dive = std::move(*sheet);
    report.dive.title = QStringLiteral("Dive report");
    addTrack(*track, report);
    std::optional<double> scanGapS;
    if (auto done = addWater(db, dive, report, scanGapS); !done)
        return done.error();
    if (auto done = addLosses(db, dive, report); !done)
        return done.error();
    if (auto done = addFeeds(db, dive, track->report(), scanGapS, report); !done)
        return done.error();
    if (auto done = addPermits(db, dive, report); !done)
        return done.error();
    return report;
}

Result<PageDocument> diveReportPages(const Database &db, int dive, const QString &layout,
                                     const QString &printedBy, UtcTime printedAt)
{
    const auto found = sheetLayout(layout);
    if (!found)
        return found.error();
    const auto content = diveReport(db, dive, printedBy, printedAt);
    if (!content)
        return content.error();
    return layoutDiveReport(*content, *found);
}

Result<QString> diveReportPage(const Database &db, int dive, const QString &layout, const QString &printedBy,
                               UtcTime printedAt)
{
    const auto found = sheetLayout(layout);
    if (!found)
        return found.error();
    const auto content = diveReport(db, dive, printedBy, printedAt);
    if (!content)
        return content.error();
    return diveReportHtml(*content, *found);
}

} // namespace holdfast
