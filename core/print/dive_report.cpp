// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/dive_report.h"

#include "base/check_character.h"
#include "print/report_blocks.h"
#include "print/sample_cells.h"
#include "print/value_text.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace holdfast
{

namespace
{

constexpr double mapMm = 105;
constexpr double depthMm = 55;
constexpr double stripMm = 34;

std::optional<double> between(const std::optional<UtcTime> &from, const std::optional<UtcTime> &to)
{
    if (!from || !to || *to < *from)
        return {};
    return secondsBetween(*from, *to);
}

/// "9 h 30 min"; missingText() when absent.
QString durationText(const std::optional<double> &seconds)
{
    if (!seconds)
        return missingText();
    const auto minutes = std::llround(*seconds / 60);
    return QStringLiteral("%1 h %2 min").arg(minutes / 60).arg(minutes % 60);
}

QString withUnit(const std::optional<double> &value, int decimals, const QString &unit)
{
    return value && std::isfinite(*value) ? numberText(value, decimals) + QLatin1Char(' ') + unit
                                          : missingText();
}

/// "017" of "TK26-04-017": what people call it, and what a map has room for.
QString shortId(const QString &id)
{
    return id.mid(id.lastIndexOf(QLatin1Char('-')) + 1);
}

SheetColumn column(const char *head, double share, bool right = false, bool bold = false)
{
    return SheetColumn{
        .field = {}, .head = QString::fromUtf8(head), .widthMm = share, .right = right, .bold = bold};
}

class ReportMaker
{
public:
    ReportMaker(const DiveReportContent &content, const SheetLayout &layout)
        : m_content(content), m_layout(layout)
    {
        findTimes();
    }

    std::vector<ReportBlock> make()
    {
        for (const QString &section : m_layout.sections) {
            if (section == u"numbers")
                numbers();
            else if (section == u"map")
                map();
            else if (section == u"depth")
                depth();
            else if (section == u"water")
                water();
            else if (section == u"samples")
                samples();
            else if (section == u"lost")
                lost();
            else if (section == u"feeds")
                feeds();
            else if (section == u"permits")
                permits();
        }
        return std::move(m_blocks);
    }

    [[nodiscard]] SheetFrame frame() const
    {
        const CustodySheetContent &d = m_content.dive;
        SheetFrame frame;
        frame.title = QStringLiteral("Dive report");
        frame.subtitle = joinedValues(
            {d.cruise, d.dive.isEmpty() ? QString() : QStringLiteral("dive ") + d.dive, d.vehicle, d.site});
        frame.warning = d.closed ? QString() : QStringLiteral("DRAFT: the dive is not closed");
        frame.footLeft =
            QStringLiteral("printed by %1, %2").arg(orMissing(d.printedBy), dateTimeText(d.printedAt));
        frame.footMiddle = d.remark;
        return frame;
    }

private:
    void heading(const char *text) { m_blocks.emplace_back(ReportHeading{QString::fromUtf8(text)}); }
    void paragraph(const QString &text) { m_blocks.emplace_back(ReportParagraph{text}); }

    /// From launch to on deck where known, else what the courses span.
    void findTimes()
    {
        std::optional<UtcTime> first = m_content.dive.launch;
        std::optional<UtcTime> last = m_content.dive.onDeck;
        const auto take = [&](UtcTime t) {
            if (!m_content.dive.launch && (!first || t < *first))
                first = t;
            if (!m_content.dive.onDeck && (!last || t > *last))
                last = t;
        };
        for (const ChartPoint &p : m_content.depth)
            take(p.time);
        for (const WaterStrip &strip : m_content.water) {
            for (const ChartPoint &p : strip.points)
                take(p.time);
        }
        for (const CustodySample &s : m_content.dive.samples) {
            if (s.time)
                take(*s.time);
        }
        m_from = first.value_or(UtcTime{});
        m_to = last.value_or(m_from);
    }

    void numbers()
    {
        const CustodySheetContent &d = m_content.dive;
        const DiveNumbers n = diveNumbers(m_content);
        m_blocks.emplace_back(ReportPairs{
            .pairs = {{QStringLiteral("launch"), dateTimeText(d.launch)},
                      {QStringLiteral("on bottom"), dateTimeText(d.onBottom)},
                      {QStringLiteral("off bottom"), dateTimeText(d.offBottom)},
                      {QStringLiteral("on deck"), dateTimeText(d.onDeck)},
                      {QStringLiteral("in the water"), durationText(n.durationS)},
                      {QStringLiteral("on the bottom"), durationText(n.bottomS)},
                      {QStringLiteral("greatest depth"), withUnit(n.greatestDepthM, 1, QStringLiteral("m"))},
                      {QStringLiteral("length of the track"),
                       withUnit(n.trackLengthM, 0, QStringLiteral("m"))},
                      {QStringLiteral("samples"), QString::number(n.samples)},
                      {QStringLiteral("set aside or failed"), QString::number(n.setAside)},
                      {QStringLiteral("samples without a fix"), QString::number(n.withoutFix)},
                      {QStringLiteral("samples without water values"), QString::number(n.withoutWater)},
                      {QStringLiteral("median uncertainty (95 %)"),
                       n.medianUncertaintyM ? uncertaintyText(n.medianUncertaintyM) + QStringLiteral(" m")
                                            : missingText()}},
            .columns = 4});
        std::vector<std::pair<QString, QString>> people;
        for (const SheetPerson &person : d.people)
            people.emplace_back(orMissing(person.role), orMissing(person.name));
        m_blocks.emplace_back(ReportPairs{.pairs = std::move(people), .columns = 4});
    }

    void map()
    {
        TrackMapContent content{.track = m_content.track, .samples = {}};
        for (const CustodySample &s : m_content.dive.samples) {
            if (s.latitudeDeg && s.longitudeDeg)
                content.samples.push_back({.label = shortId(s.id),
                                           .latitudeDeg = *s.latitudeDeg,
                                           .longitudeDeg = *s.longitudeDeg,
                                           .uncertainty95M = s.uncertainty95M});
        }
        heading("Track");
        m_blocks.emplace_back(
            ReportFigure{.name = QStringLiteral("Map of the track with the samples"),
                         .heightMm = mapMm,
                         .draw = [content](const QRectF &area) { return drawTrackMap(content, area); }});
    }

    [[nodiscard]] TimeChart chart(const QString &title, const std::vector<ChartPoint> &points) const
    {
        return TimeChart{
            .title = title, .from = m_from, .to = m_to, .points = points, .broken = m_content.broken};
    }

    void figure(TimeChart chart, double heightMm)
    {
        const QString name = chart.title;
        m_blocks.emplace_back(ReportFigure{
            .name = name, .heightMm = heightMm, .draw = [c = std::move(chart)](const QRectF &area) {
                return drawTimeChart(c, area);
            }});
    }

    void depth()
    {
        heading("Depth");
        TimeChart c = chart(QStringLiteral("Depth (m) over UTC"), m_content.depth);
        c.downwards = true;
        for (const CustodySample &s : m_content.dive.samples) {
            if (s.time && s.depthM)
                c.signs.push_back({.time = *s.time, .value = *s.depthM, .label = shortId(s.id)});
        }
        figure(std::move(c), depthMm);
    }

    void water()
    {
        heading("Water");
        if (m_content.water.empty())
            paragraph(QStringLiteral("No water values were logged."));
        for (const WaterStrip &strip : m_content.water) {
            TimeChart c = chart(strip.title, strip.points);
            for (const CustodySample &s : m_content.dive.samples) {
                if (s.time)
                    c.signs.push_back(
                        {.time = *s.time, .value = std::numeric_limits<double>::quiet_NaN(), .label = {}});
            }
            figure(std::move(c), stripMm);
        }
        if (!m_content.water.empty())
            paragraph(QStringLiteral("Short lines at the upper edge: samples."));
    }

    void samples()
    {
        heading("Samples");
        ReportTable table{.columns = m_layout.columns, .rows = {}};
        int note = -1;
        for (std::size_t i = 0; i < table.columns.size(); ++i) {
            if (table.columns[i].field == u"note")
                note = static_cast<int>(i);
        }
        for (const CustodySample &s : m_content.dive.samples) {
            if (s.id.isEmpty())
                continue; // a stamp that is no sample stands among what was set aside
            SheetRow row{.cells = {}, .struck = !s.setAside.isEmpty(), .unstruckColumn = note};
            for (const SheetColumn &c : table.columns)
                row.cells.append(sampleCell(s, c.field));
            table.rows.push_back(std::move(row));
        }
        if (table.rows.empty())
            paragraph(QStringLiteral("No samples were taken on this dive."));
        else
            m_blocks.emplace_back(std::move(table));
    }

    void lost()
    {
        heading("Lost or set aside");
        ReportTable table{.columns = {column("Time (UTC)", 14), column("What", 34, false, true),
                                      column("Reason", 34), column("By", 18)},
                          .rows = {}};
        for (const LostThing &l : m_content.lost)
            table.rows.push_back(SheetRow{
                .cells = {twoLineTime(l.time), orMissing(l.what), orMissing(l.reason), orMissing(l.who)}});
        if (table.rows.empty())
            paragraph(QStringLiteral("Nothing."));
        else
            m_blocks.emplace_back(std::move(table));
    }

    void feeds()
    {
        heading("Feeds");
        ReportTable table{.columns = {column("Feed", 14, false, true), column("Log", 28),
                                      column("Accepted", 11, true), column("Repaired", 11, true),
                                      column("Rejected", 11, true), column("Longest gap (s)", 11, true),
                                      column("Remark", 20)},
                          .rows = {}};
        for (const FeedQuality &f : m_content.feeds)
            table.rows.push_back(
                SheetRow{.cells = {orMissing(f.name), orMissing(f.source), QString::number(f.accepted),
                                   QString::number(f.repaired), QString::number(f.rejected),
                                   numberText(f.longestGapS, 0), f.remark}});
        if (table.rows.empty())
            paragraph(QStringLiteral("No logs were read."));
        else
            m_blocks.emplace_back(std::move(table));
    }

    void permits()
    {
        heading("Permits");
        ReportTable table{.columns = {column("Permit", 24, false, true), column("Covers", 40),
                                      column("Taken", 10, true), column("Limit", 10, true),
                                      column("Left", 16)},
                          .rows = {}};
        for (const PermitUse &p : m_content.permits) {
            QString left = QStringLiteral("no limit");
            if (p.limit)
                left = p.taken > *p.limit ? QStringLiteral("over by %1").arg(p.taken - *p.limit)
                                          : QString::number(*p.limit - p.taken);
            table.rows.push_back(
                SheetRow{.cells = {orMissing(p.permit), orMissing(p.covers), QString::number(p.taken),
                                   p.limit ? QString::number(*p.limit) : missingText(), left}});
        }
        if (table.rows.empty())
            paragraph(QStringLiteral("No permits are recorded for this dive."));
        else
            m_blocks.emplace_back(std::move(table));
    }

    const DiveReportContent &m_content;
    const SheetLayout &m_layout;
    UtcTime m_from{};
    UtcTime m_to{};
    std::vector<ReportBlock> m_blocks;
};

Done checkReport(const DiveReportContent &content, const SheetLayout &layout)
{
    if (layout.sheet != u"dive-report")
        return fail(ErrorKind::Usage,
                    QStringLiteral("The layout %1 is for another sheet (%2), not for a dive report.")
                        .arg(layout.name, layout.sheet));
    for (const CustodySample &s : content.dive.samples) {
        if (!s.id.isEmpty() && !checkCharacter(s.id))
            return fail(ErrorKind::Usage, QStringLiteral("\"%1\" can't be printed as an id.").arg(s.id));
    }
    return {};
}

} // namespace

DiveNumbers diveNumbers(const DiveReportContent &content)
{
    DiveNumbers n;
    n.durationS = between(content.dive.launch, content.dive.onDeck);
    n.bottomS = between(content.dive.onBottom, content.dive.offBottom);
    for (const ChartPoint &p : content.depth) {
        if (std::isfinite(p.value))
            n.greatestDepthM = std::max(n.greatestDepthM.value_or(p.value), p.value);
    }
    if (content.track.size() > 1) {
        double sum = 0;
        for (std::size_t i = 1; i < content.track.size(); ++i) {
            const auto &a = content.track[i - 1];
            const auto &b = content.track[i];
            const EastNorth step = eastNorthOf(b.latitudeDeg, b.longitudeDeg, a.latitudeDeg, a.longitudeDeg);
            sum += std::hypot(step.eastM, step.northM);
        }
        n.trackLengthM = sum;
    }
    std::vector<double> uncertainties;
    for (const CustodySample &s : content.dive.samples) {
        if (s.waiting)
            continue;
        if (!s.setAside.isEmpty()) {
            ++n.setAside;
            continue;
        }
        ++n.samples;
        n.withoutFix += !(s.latitudeDeg && s.longitudeDeg);
        n.withoutWater += !(s.temperatureDegC || s.salinity || s.oxygenUmolKg);
        if (s.uncertainty95M)
            uncertainties.push_back(*s.uncertainty95M);
    }
    if (!uncertainties.empty()) {
        std::sort(uncertainties.begin(), uncertainties.end());
        const std::size_t half = uncertainties.size() / 2;
        n.medianUncertaintyM = uncertainties.size() % 2 ? uncertainties[half]
                                                        : (uncertainties[half - 1] + uncertainties[half]) / 2;
    }
    return n;
}

Result<PageDocument> layoutDiveReport(const DiveReportContent &content, const SheetLayout &layout)
{
    if (auto good = checkReport(content, layout); !good)
        return good.error();
    ReportMaker maker(content, layout);
    SheetFlow flow(layout, maker.frame());
    flowBlocks(flow, maker.make(), layout);
    return std::move(flow).finish(
        QStringLiteral("Dive report %1 dive %2").arg(content.dive.cruise, content.dive.dive));
}

Result<QString> diveReportHtml(const DiveReportContent &content, const SheetLayout &layout)
{
    if (auto good = checkReport(content, layout); !good)
        return good.error();
    ReportMaker maker(content, layout);
    const SheetFrame frame = maker.frame();
    return htmlOf(frame, maker.make(), layout.pageMm.width() - 2 * layout.marginMm);
}

} // namespace holdfast
