// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/quality_paper.h"

#include "base/template_folder.h"
#include "dive/dive_values.h"
#include "dive/quality_summary.h"
#include "dive/readers.h"
#include "dive/scan_log.h"
#include "print/report_blocks.h"
#include "print/time_chart.h"
#include "print/track_map.h"
#include "store/sensor_log.h"

#include <algorithm>
#include <cmath>

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

constexpr double chartMm = 34;

/// The blocks of the summary, made of what the dive's logs hold.
class QualityMaker
{
public:
    QualityMaker(const DiveQuality &quality, const Track &track, const ScanWindow &scans)
        : m_quality(quality), m_track(track), m_scans(scans)
    {
    }

    std::vector<ReportBlock> make()
    {
        addPositions();
        addScans();
        return std::move(m_blocks);
    }

private:
    void chart(const QString &title, std::vector<ChartPoint> points, bool downwards = false)
    {
        std::erase_if(points, [](const ChartPoint &p) { return !std::isfinite(p.value); });
        if (points.empty())
            return;
        TimeChart drawn{.title = title,
                        .from = points.front().time,
                        .to = points.back().time,
                        .points = std::move(points),
                        .downwards = downwards};
        m_blocks.emplace_back(
            ReportFigure{.name = title, .heightMm = chartMm, .draw = [drawn](const QRectF &area) {
                             return drawTimeChart(drawn, area);
                         }});
    }

    void addPositions()
    {
        const TrackReport &r = m_track.report();
        m_blocks.emplace_back(ReportHeading{u"Positions"_s});
        if (r.records == 0) {
            for (const QString &sentence : r.sentences)
                m_blocks.emplace_back(ReportParagraph{sentence});
            return;
        }
        const auto number = [](double v, int decimals) { return QString::number(v, 'f', decimals); };
        m_blocks.emplace_back(ReportPairs{
            {{u"in the logs"_s, QString::number(r.records)},
             {u"used"_s, QString::number(r.used)},
             {u"outliers"_s, QString::number(r.outliers)},
             {u"repeated, no place"_s, QString::number(r.duplicates + r.outOfRange + r.notANumber)},
             {u"median spacing"_s, number(r.medianSpacingS, 1) + u" s"_s},
             {u"longest gap"_s, number(r.longestGapS, 0) + u" s"_s},
             {u"deviation of one"_s, number(r.sigmaMedianM, 2) + u" m"_s},
             {u"of that slow"_s, u"%1 %, %2 s"_s.arg(number(100 * r.slowShare, 0), number(r.slowTimeS, 0))}},
            4});
        for (const QString &sentence : r.sentences)
            m_blocks.emplace_back(ReportParagraph{sentence});
        addTrack();
    }

    void addTrack()
    {
        const std::vector<PositionRecord> accepted = m_track.accepted();
        if (accepted.empty())
            return;
        TrackMapContent map;
        std::vector<ChartPoint> radius;
        const auto span = accepted.back().time - accepted.front().time;
        const auto step = std::max<Microseconds>(span / 1000, std::chrono::seconds(1));
        for (UtcTime t = accepted.front().time; t <= accepted.back().time; t += step) {
            const NavFix fix = m_track.at(t);
            if (!fix.latitudeDeg)
                continue;
            map.track.push_back({t, *fix.latitudeDeg, *fix.longitudeDeg});
            radius.push_back({t, *fix.uncertainty95M});
        }
        m_blocks.emplace_back(
            ReportFigure{.name = u"The smooth track"_s, .heightMm = 80, .draw = [map](const QRectF &area) {
                             return drawTrackMap(map, area);
                         }});
        chart(u"95 % uncertainty (m)"_s, std::move(radius));
    }

    void addScans()
    {
        const QualitySummary &s = m_quality.ctd;
        m_blocks.emplace_back(ReportHeading{u"CTD"_s});
        if (s.scans == 0) {
            m_blocks.emplace_back(ReportParagraph{u"No CTD log."_s});
            return;
        }
        m_blocks.emplace_back(
            ReportParagraph{u"%1 scans, thresholds %2."_s.arg(s.scans).arg(m_quality.limitsName)});
        addFlags();
        // The sentences of the summary that are about sensors, deck, lag and findings.
        for (const QString &line : m_quality.remarks())
            m_blocks.emplace_back(ReportParagraph{line});
        values(u"Pressure (dbar)"_s, m_scans.scans.pressureDbar, QcParameter::Pressure, true);
        values(u"Temperature (°C)"_s, m_scans.scans.temperatureDegC, QcParameter::Temperature);
        values(u"Conductivity (mS/cm)"_s, m_scans.scans.conductivityMsCm, QcParameter::Conductivity);
        values(u"Practical salinity"_s, m_scans.derived.practicalSalinity, QcParameter::Salinity);
        values(u"Oxygen (µmol/kg)"_s, m_scans.scans.oxygenUmolKg, QcParameter::Oxygen);
        addFlaggedShare();
    }

    void addFlags()
    {
        ReportTable table{
            .columns = {{.field = u"parameter"_s, .head = u"Parameter"_s, .widthMm = 40},
                        {.field = u"pass"_s, .head = u"Pass"_s, .widthMm = 26, .right = true},
                        {.field = u"none"_s, .head = u"Not evaluated"_s, .widthMm = 30, .right = true},
                        {.field = u"suspect"_s, .head = u"Suspect"_s, .widthMm = 26, .right = true},
                        {.field = u"fail"_s, .head = u"Fail"_s, .widthMm = 26, .right = true},
                        {.field = u"missing"_s, .head = u"Missing"_s, .widthMm = 26, .right = true}},
            .rows = {}};
        for (std::size_t p = 0; p < qcParameterCount; ++p) {
            SheetRow row;
            row.cells << nameOf(static_cast<QcParameter>(p));
            for (const std::size_t n : m_quality.ctd.byFlag[p])
                row.cells << QString::number(n);
            table.rows.push_back(row);
        }
        m_blocks.emplace_back(table);
    }

    void values(const QString &title, const std::vector<double> &column, QcParameter parameter,
                bool downwards = false)
    {
        const std::vector<QcFlag> &flags = m_scans.flags.flags(parameter);
        std::vector<ChartPoint> points;
        for (std::size_t i = 0; i < column.size(); ++i) {
            if (flags[i] == QcFlag::Pass || flags[i] == QcFlag::NotEvaluated)
                points.push_back({utcFromMicroseconds(m_scans.scans.timeUs[i]), column[i]});
        }
        chart(title, std::move(points), downwards);
    }

    /// How many of a minute's scans have a salinity that does not pass: where the log is bad.
    void addFlaggedShare()
    {
        constexpr std::int64_t minuteUs = 60'000'000;
        const std::vector<QcFlag> &flags = m_scans.flags.flags(QcParameter::Salinity);
        std::vector<ChartPoint> points;
        for (std::size_t i = 0; i < flags.size();) {
            const std::int64_t minute = m_scans.scans.timeUs[i] / minuteUs;
            double all = 0, bad = 0;
            for (; i < flags.size() && m_scans.scans.timeUs[i] / minuteUs == minute; ++i) {
                all += 1;
                bad += flags[i] == QcFlag::Pass ? 0 : 1;
            }
            points.push_back({utcFromMicroseconds(minute * minuteUs + minuteUs / 2), 100 * bad / all});
        }
        chart(u"Scans whose salinity does not pass (% of a minute)"_s, std::move(points));
    }

    const DiveQuality &m_quality;
    const Track &m_track;
    const ScanWindow &m_scans;
    std::vector<ReportBlock> m_blocks;
};

struct Paper {
    SheetLayout layout;
    SheetFrame frame;
    std::vector<ReportBlock> blocks;
};

Result<Paper> paper(const Database &db, int dive, const QString &layoutName, const QString &printedBy,
                    UtcTime printedAt)
{
    const auto folder = templateFolder();
    if (!folder)
        return folder.error();
    auto layout = loadSheetLayout(*folder + u"/sheets"_s, layoutName);
    if (!layout)
        return layout.error();
    if (layout->sheet != u"dive-report"_s)
        return fail(ErrorKind::Usage, u"The layout %1 is for another sheet (%2), not for a report."_s.arg(
                                          layout->name, layout->sheet));
    const auto quality = diveQuality(db, dive);
    if (!quality)
        return quality.error();
    const auto track = diveTrack(db, dive, FixMethod::Smooth);
    if (!track)
        return track.error();
    const auto latitude = diveLatitude(db, dive);
    if (!latitude)
        return latitude.error();
    const auto scans = readScans(db, dive, SensorLogReader::earliest, SensorLogReader::latest,
                                 latitude->value_or(latitudeWhenUnknownDeg));
    if (!scans)
        return scans.error();
    Paper made{std::move(*layout), {}, QualityMaker(*quality, *track, *scans).make()};
    made.frame.title = u"Quality of the logs"_s;
    made.frame.subtitle = u"dive %1"_s.arg(dive);
    made.frame.footLeft = u"printed by %1, %2"_s.arg(printedBy, toIso(printedAt));
    return made;
}

} // namespace

Result<PageDocument> qualityPages(const Database &db, int dive, const QString &layout,
                                  const QString &printedBy, UtcTime printedAt)
{
    const auto made = paper(db, dive, layout, printedBy, printedAt);
    if (!made)
        return made.error();
    SheetFlow flow(made->layout, made->frame);
    flowBlocks(flow, made->blocks, made->layout);
    return std::move(flow).finish(u"Quality of the logs, dive %1"_s.arg(dive));
}

Result<QString> qualityPage(const Database &db, int dive, const QString &layout, const QString &printedBy,
                            UtcTime printedAt)
{
    const auto made = paper(db, dive, layout, printedBy, printedAt);
    if (!made)
        return made.error();
    return htmlOf(made->frame, made->blocks, made->layout.pageMm.width() - 2 * made->layout.marginMm);
}

} // namespace holdfast
