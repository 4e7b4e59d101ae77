// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/quality_detail.h"
#include "water/salinity.h"

#include <algorithm>
#include <cmath>

namespace holdfast
{

QString nameOf(QcParameter parameter)
{
    switch (parameter) {
    case QcParameter::Record:
        return QStringLiteral("record");
    case QcParameter::Conductivity:
        return QStringLiteral("conductivity");
    case QcParameter::Temperature:
        return QStringLiteral("temperature");
    case QcParameter::Pressure:
        return QStringLiteral("pressure");
    case QcParameter::Oxygen:
        return QStringLiteral("oxygen");
    case QcParameter::Salinity:
        return QStringLiteral("salinity");
    case QcParameter::Depth:
        return QStringLiteral("depth");
    }
    return {};
}

QString nameOf(QcTest test)
{
    switch (test) {
    case QcTest::Gap:
        return QStringLiteral("gap");
    case QcTest::Clock:
        return QStringLiteral("clock");
    case QcTest::GrossRange:
        return QStringLiteral("gross range");
    case QcTest::Spike:
        return QStringLiteral("spike");
    case QcTest::Burst:
        return QStringLiteral("burst");
    case QcTest::Rate:
        return QStringLiteral("rate of change");
    case QcTest::Flat:
        return QStringLiteral("flat line");
    case QcTest::Air:
        return QStringLiteral("out of the water");
    case QcTest::DepthAgreement:
        return QStringLiteral("depth against navigation");
    }
    return {};
}

namespace
{

using Triple = std::array<double, 3>; // conductivity, temperature, pressure

/// Up to 500 scans spread over the log that have all three values.
std::vector<Triple> spreadSample(const CtdColumns &ctd)
{
    std::vector<Triple> sample;
    const std::size_t count = std::min(
        {ctd.size(), ctd.conductivityMsCm.size(), ctd.temperatureDegC.size(), ctd.pressureDbar.size()});
    const std::size_t step = std::max<std::size_t>(1, count / 500);
    for (std::size_t i = 0; i < count; i += step) {
        const Triple scan{ctd.conductivityMsCm[i], ctd.temperatureDegC[i], ctd.pressureDbar[i]};
        if (std::all_of(scan.begin(), scan.end(), [](double v) { return std::isfinite(v); }))
            sample.push_back(scan);
    }
    return sample;
}

bool within(double value, const std::optional<GrossRangeLimits> &limits)
{
    if (!limits)
        return true;
    return value >= limits->suspectMin.value_or(limits->failMin) &&
           value <= limits->suspectMax.value_or(limits->failMax);
}

/// The share of scans that look like seawater when column order[0], scaled, is read as conductivity, order[1]
/// as temperature, order[2] as pressure.
double likeness(const std::vector<Triple> &sample, std::array<std::size_t, 3> order, double scale,
                const QualityLimits &limits)
{
    std::size_t good = 0;
    for (const Triple &scan : sample) {
        const double c = scan[order[0]] * scale;
        const double t = scan[order[1]];
        const double p = scan[order[2]];
        good += within(c, limits.conductivity.grossRange) && within(t, limits.temperature.grossRange) &&
                within(p, limits.pressure.grossRange) &&
                within(practicalSalinity(c, t, p), limits.salinity.grossRange);
    }
    return static_cast<double>(good) / static_cast<double>(sample.size());
}

QString percent(double share)
{
    return QStringLiteral("%1 %").arg(100.0 * share, 0, 'f', 0);
}

} // namespace

std::vector<QString> columnFindings(const CtdColumns &ctd, const QualityLimits &limits)
{
    const std::vector<Triple> sample = spreadSample(ctd);
    if (sample.size() < 10)
        return {};
    const double asNamed = likeness(sample, {0, 1, 2}, 1.0, limits);
    if (asNamed >= 0.5)
        return {};
    const std::array<QString, 3> names{QStringLiteral("conductivity"), QStringLiteral("temperature"),
                                       QStringLiteral("pressure")};
    std::vector<QString> findings;
    std::array<std::size_t, 3> order{0, 1, 2};
    while (std::next_permutation(order.begin(), order.end())) {
        const double share = likeness(sample, order, 1.0, limits);
        if (share > 0.8)
            findings.push_back(
                QStringLiteral(
                    "The columns look swapped: read as named, %1 of the scans look like seawater; "
                    "with \"%2\" as conductivity, \"%3\" as temperature and \"%4\" as pressure, %5 "
                    "do. Check the feed profile.")
                    .arg(percent(asNamed), names[order[0]], names[order[1]], names[order[2]],
                         percent(share)));
    }
    const std::array<std::pair<double, QString>, 2> units{
        {{10.0, QStringLiteral("S/m")}, {0.001, QStringLiteral("uS/cm")}}};
    for (const auto &[scale, unit] : units) {
        const double share = likeness(sample, {0, 1, 2}, scale, limits);
        if (share > 0.8)
            findings.push_back(
                QStringLiteral("Conductivity looks like %1, not mS/cm: so read, %2 of the scans look like "
                               "seawater, against %3. Check the unit in the feed profile.")
                    .arg(unit, percent(share), percent(asNamed)));
    }
    return findings;
}

namespace detail
{

namespace
{

void addDeck(const std::optional<DeckPressure> &deck, const char *when, QualitySummary &summary)
{
    // Common practice: a deck reading beyond half a decibar is worth correcting.
    if (!deck || deck->count < 10 || std::abs(deck->medianDbar) < 0.5)
        return;
    summary.findings.push_back(
        QStringLiteral(
            "Pressure read %1 dbar in air %2 the dive (%3 scans, spread %4): an offset to correct, "
            "or the CTD was not in air.")
            .arg(deck->medianDbar, 0, 'f', 2)
            .arg(QString::fromLatin1(when))
            .arg(deck->count)
            .arg(deck->spreadDbar, 0, 'f', 2));
}

} // namespace

void addFindings(const CtdColumns &ctd, const QualityLimits &limits, std::span<const AirState> states,
                 QualitySummary &summary)
{
    summary.findings = columnFindings(ctd, limits);
    const auto dry = static_cast<std::size_t>(
        std::count_if(states.begin(), states.end(), [](AirState s) { return s != AirState::Water; }));
    if (!states.empty() && dry == states.size() && summary.findings.empty())
        summary.findings.push_back(
            QStringLiteral("The CTD was in air for the whole log (%1 scans): no water values can be given.")
                .arg(dry));
    if (dry != states.size()) {
        addDeck(summary.deckBefore, "before", summary);
        addDeck(summary.deckAfter, "after", summary);
    }
    if (summary.backwardSteps > 0)
        summary.findings.push_back(QStringLiteral("Time ran backwards %1 times.").arg(summary.backwardSteps));
    if (summary.depthDifferenceM && limits.depthAgreement &&
        std::abs(*summary.depthDifferenceM) > limits.depthAgreement->suspectM)
        summary.findings.push_back(
            QStringLiteral("CTD depth differs from navigation depth by %1 m in the median over %2 scans: an "
                           "offset of pressure, of clocks, or logs of different dives.")
                .arg(*summary.depthDifferenceM, 0, 'f', 1)
                .arg(summary.depthCompared));
}

} // namespace detail

} // namespace holdfast
