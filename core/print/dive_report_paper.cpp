// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/dive_report_paper.h"

#include "base/template_folder.h"
#include "dive/dive_values.h"
#include "dive/readers.h"
#include "dive/scan_log.h"
#include "print/dive_papers.h"
#include "store/sensor_log.h"

#include <QMap>
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

Done addWater(const Database &db, int dive, DiveReportContent &report)
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
    return {};
}

Done addFeeds(const Database &db, int dive, const TrackReport &track, DiveReportContent &report)
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
        if (intake.replaced)
            feed.remark = QStringLiteral("a corrected log has taken its place");
        report.feeds.push_back(feed);
    }
    return {};
}

/// What counts against each permit; the limits are not in the file yet.
Done addPermits(const Database &db, int dive, DiveReportContent &report)
{
    const auto samples = readSamples(db, dive);
    if (!samples)
        return samples.error();
    QMap<QString, PermitUse> byPermit;
    for (const SampleInfo &s : *samples) {
        if (s.permit.isEmpty() || s.state == QLatin1String("void"))
            continue;
        PermitUse &use = byPermit[s.permit];
        use.permit = s.permit;
        use.taken += s.count;
    }
    for (const PermitUse &use : std::as_const(byPermit))
        report.permits.push_back(use);
    return {};
}

Result<SheetLayout> layoutNamed(const QString &name)
{
    const auto folder = templateFolder();
    if (!folder)
        return folder.error();
    return loadSheetLayout(*folder + QStringLiteral("/sheets"), name);
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
    if (auto done = addWater(db, dive, report); !done)
        return done.error();
    if (auto done = addLosses(db, dive, report); !done)
        return done.error();
    if (auto done = addFeeds(db, dive, track->report(), report); !done)
        return done.error();
    if (auto done = addPermits(db, dive, report); !done)
        return done.error();
    return report;
}

Result<PageDocument> diveReportPages(const Database &db, int dive, const QString &layout,
                                     const QString &printedBy, UtcTime printedAt)
{
    const auto sheetLayout = layoutNamed(layout);
    if (!sheetLayout)
        return sheetLayout.error();
    const auto content = diveReport(db, dive, printedBy, printedAt);
    if (!content)
        return content.error();
    return layoutDiveReport(*content, *sheetLayout);
}

Result<QString> diveReportPage(const Database &db, int dive, const QString &layout, const QString &printedBy,
                               UtcTime printedAt)
{
    const auto sheetLayout = layoutNamed(layout);
    if (!sheetLayout)
        return sheetLayout.error();
    const auto content = diveReport(db, dive, printedBy, printedAt);
    if (!content)
        return content.error();
    return diveReportHtml(*content, *sheetLayout);
}

} // namespace holdfast
