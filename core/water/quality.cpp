// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/quality.h"

#include "water/quality_detail.h"

#include <algorithm>
#include <cmath>

namespace holdfast
{

namespace
{

std::size_t indexOf(QcFlag flag) noexcept
{
    return flag == QcFlag::Missing ? 4 : static_cast<std::size_t>(flag) - 1;
}

std::size_t indexOf(QcParameter parameter) noexcept
{
    return static_cast<std::size_t>(parameter);
}

/// Collects the flags of one log test by test.
class Flagger
{
public:
    Flagger(const CtdColumns &ctd, const QualityLimits &limits, QualityReport &report)
        : m_timeUs(ctd.timeUs), m_limits(limits), m_report(report), m_test(ctd.size())
    {
        const std::size_t count = ctd.size();
        for (auto &flags : m_report.flags.of)
            flags.assign(count, QcFlag::Missing);
        m_report.flags.aggregate.assign(count, QcFlag::Missing);
        m_report.flags.reasons.assign(count, 0);
        m_report.summary.scans = count;
    }

    void record();
    void parameter(QcParameter parameter, std::span<const double> values, const ParameterLimits &limits);
    void air(QcParameter parameter, std::span<const double> values,
             const std::vector<detail::AirState> &states);
    void derived(QcParameter parameter, std::span<const double> values,
                 std::initializer_list<QcParameter> inputs);
    void depthAgreement(std::span<const double> depthM, const DepthReference &reference);
    void finish();

private:
    [[nodiscard]] std::vector<QcFlag> &flagsOf(QcParameter p) { return m_report.flags.of[indexOf(p)]; }
    void take(QcParameter parameter, QcTest test);
    void takeFlat(QcParameter parameter, std::span<const double> values, const FlatLimits &limits);

    std::span<const std::int64_t> m_timeUs;
    const QualityLimits &m_limits;
    QualityReport &m_report;
    std::vector<QcFlag> m_test; ///< the flags of the test being run
};

/// Adds the flags in m_test to a parameter and counts them.
void Flagger::take(QcParameter parameter, QcTest test)
{
    const auto suspect = static_cast<std::size_t>(std::count(m_test.begin(), m_test.end(), QcFlag::Suspect));
    const auto fail = static_cast<std::size_t>(std::count(m_test.begin(), m_test.end(), QcFlag::Fail));
    m_report.summary.suspect[indexOf(parameter)][static_cast<std::size_t>(test)] += suspect;
    m_report.summary.fail[indexOf(parameter)][static_cast<std::size_t>(test)] += fail;
    mergeFlags(flagsOf(parameter), m_test);
    if (suspect + fail == 0)
        return;
    std::vector<std::uint16_t> &reasons = m_report.flags.reasons;
    for (std::size_t i = 0; i < m_test.size(); ++i) {
        if (m_test[i] == QcFlag::Suspect || m_test[i] == QcFlag::Fail)
            reasons[i] = static_cast<std::uint16_t>(reasons[i] | bitOf(test));
    }
}

void Flagger::record()
{
    gapTest(m_timeUs, m_limits.maxGapS, m_test);
    take(QcParameter::Record, QcTest::Gap);
    clockTest(m_timeUs, m_limits.clock, m_test);
    take(QcParameter::Record, QcTest::Clock);
    QualitySummary &summary = m_report.summary;
    summary.gaps = summary.fail[indexOf(QcParameter::Record)][static_cast<std::size_t>(QcTest::Gap)];
    for (std::size_t i = 1; i < m_timeUs.size(); ++i) {
        summary.backwardSteps += m_timeUs[i] < m_timeUs[i - 1];
        summary.repeatedTimes += m_timeUs[i] == m_timeUs[i - 1];
        const double gapS = static_cast<double>(m_timeUs[i] - m_timeUs[i - 1]) * 1e-6;
        if (gapS > summary.longestGapS) {
            summary.longestGapS = gapS;
            summary.longestGapFrom = utcFromMicroseconds(m_timeUs[i - 1]);
        }
    }
}

void Flagger::parameter(QcParameter parameter, std::span<const double> values, const ParameterLimits &limits)
{
    // Even without a test a value that is there is told from one that is missing.
    for (std::size_t i = 0; i < values.size(); ++i)
        flagsOf(parameter)[i] = std::isnan(values[i]) ? QcFlag::Missing : QcFlag::NotEvaluated;
    if (limits.grossRange) {
        grossRangeTest(values, *limits.grossRange, m_test);
        take(parameter, QcTest::GrossRange);
    }
    if (limits.spike) {
        spikeTest(values, *limits.spike, m_test);
        take(parameter, QcTest::Spike);
    }
    if (limits.burst) {
        burstTest(values, *limits.burst, m_test);
        take(parameter, QcTest::Burst);
    }
    if (limits.rate) {
        rateTest(m_timeUs, values, *limits.rate, m_test);
        take(parameter, QcTest::Rate);
    }
    if (limits.flat)
        takeFlat(parameter, values, *limits.flat);
}

void Flagger::takeFlat(QcParameter parameter, std::span<const double> values, const FlatLimits &limits)
{
    flatTest(m_timeUs, values, limits, m_test);
    const auto isFlat = [](QcFlag f) { return f == QcFlag::Suspect || f == QcFlag::Fail; };
    const auto windowUs = static_cast<std::int64_t>(limits.suspectS * 1e6);
    for (std::size_t i = 0; i < m_test.size();) {
        if (!isFlat(m_test[i])) {
            ++i;
            continue;
        }
        FlatStretch stretch;
        stretch.parameter = parameter;
        stretch.value = values[i];
        stretch.first = i;
        // The window that led to the first flag is part of the stretch.
        while (stretch.first > 0 && m_timeUs[stretch.first - 1] >= m_timeUs[i] - windowUs &&
               m_timeUs[stretch.first - 1] <= m_timeUs[stretch.first])
            --stretch.first;
        if (m_limits.flatReachesBack) {
            for (std::size_t k = stretch.first; k < i; ++k) {
                if (m_test[k] == QcFlag::Pass)
                    m_test[k] = QcFlag::Suspect;
            }
        }
        for (stretch.last = i; i < m_test.size() && (isFlat(m_test[i]) || m_test[i] == QcFlag::Missing);
             ++i) {
            if (isFlat(m_test[i]))
                stretch.last = i;
        }
        stretch.from = utcFromMicroseconds(m_timeUs[stretch.first]);
        stretch.to = utcFromMicroseconds(m_timeUs[stretch.last]);
        m_report.summary.flatStretches.push_back(stretch);
    }
    take(parameter, QcTest::Flat);
}

void Flagger::air(QcParameter parameter, std::span<const double> values,
                  const std::vector<detail::AirState> &states)
{
    const auto worstGood =
        parameter == QcParameter::Pressure ? detail::AirState::Air : detail::AirState::Water;
    for (std::size_t i = 0; i < states.size(); ++i)
        m_test[i] = states[i] > worstGood && !std::isnan(values[i]) ? QcFlag::Fail : QcFlag::Missing;
    take(parameter, QcTest::Air); // 9 never displaces another flag
}

/// A derived value is no better than what it was computed from.
void Flagger::derived(QcParameter parameter, std::span<const double> values,
                      std::initializer_list<QcParameter> inputs)
{
    std::vector<QcFlag> &flags = flagsOf(parameter);
    for (const QcParameter input : inputs) {
        const std::vector<QcFlag> &from = flagsOf(input);
        for (std::size_t i = 0; i < flags.size(); ++i) {
            if (from[i] == QcFlag::Suspect || from[i] == QcFlag::Fail)
                flags[i] = worse(flags[i], from[i]);
            else if (flags[i] == QcFlag::NotEvaluated && from[i] == QcFlag::Pass)
                flags[i] = QcFlag::Pass; // no test of its own: as good as its input
        }
    }
    for (std::size_t i = 0; i < flags.size(); ++i) {
        if (std::isnan(values[i]))
            flags[i] = QcFlag::Missing;
    }
}

void Flagger::depthAgreement(std::span<const double> depthM, const DepthReference &reference)
{
    if (!m_limits.depthAgreement || reference.timeUs.empty())
        return;
    const detail::DepthComparison comparison(reference, m_limits.depthAgreement->maxReferenceGapS);
    std::vector<double> differences;
    std::size_t cursor = 0;
    for (std::size_t i = 0; i < depthM.size(); ++i) {
        m_test[i] = std::isnan(depthM[i]) ? QcFlag::Missing : QcFlag::NotEvaluated;
        const std::optional<double> known = comparison.at(m_timeUs[i], cursor);
        if (std::isnan(depthM[i]) || !known)
            continue;
        const double difference = depthM[i] - *known;
        const DepthAgreementLimits &limits = *m_limits.depthAgreement;
        const double depth = std::max(std::abs(*known), std::abs(depthM[i]));
        m_test[i] = QcFlag::Pass;
        if (std::abs(difference) > std::max(limits.failM, limits.failFraction * depth))
            m_test[i] = QcFlag::Fail;
        else if (std::abs(difference) > std::max(limits.suspectM, limits.suspectFraction * depth))
            m_test[i] = QcFlag::Suspect;
        differences.push_back(difference);
    }
    take(QcParameter::Depth, QcTest::DepthAgreement);
    m_report.summary.depthCompared = differences.size();
    if (!differences.empty())
        m_report.summary.depthDifferenceM = detail::medianOf(differences);
}

void Flagger::finish()
{
    QualitySummary &summary = m_report.summary;
    std::vector<QcFlag> &aggregate = m_report.flags.aggregate;
    const auto countFlags = [](const std::vector<QcFlag> &flags, std::array<std::size_t, 5> &into) {
        for (const QcFlag flag :
             {QcFlag::Pass, QcFlag::NotEvaluated, QcFlag::Suspect, QcFlag::Fail, QcFlag::Missing})
            into[indexOf(flag)] = static_cast<std::size_t>(std::count(flags.begin(), flags.end(), flag));
    };
    for (std::size_t p = 0; p < qcParameterCount; ++p) {
        mergeFlags(aggregate, m_report.flags.of[p]);
        countFlags(m_report.flags.of[p], summary.byFlag[p]);
    }
    countFlags(aggregate, summary.aggregateByFlag);
}

/// The values with those of worse states than `worstGood` missing; in `room` when that changes anything.
std::span<const double> maskedColumn(std::span<const double> values,
                                     const std::vector<detail::AirState> &states, detail::AirState worstGood,
                                     std::vector<double> &room)
{
    const auto bad = [worstGood](detail::AirState state) { return state > worstGood; };
    if (std::none_of(states.begin(), states.end(), bad))
        return values;
    room.assign(values.begin(), values.end());
    for (std::size_t i = 0; i < room.size(); ++i) {
        if (bad(states[i]))
            room[i] = missingValue;
    }
    return room;
}

std::span<const double> wholeColumn(const std::vector<double> &column, std::size_t count,
                                    std::vector<double> &absent)
{
    if (column.size() >= count)
        return std::span(column).first(count);
    absent.resize(count, missingValue);
    return absent;
}

} // namespace

std::size_t QualitySummary::count(QcParameter p, QcFlag flag) const
{
    return byFlag[indexOf(p)][indexOf(flag)];
}

QualityReport qualityReport(const CtdColumns &ctd, const DerivedColumns &derived, const QualityLimits &limits,
                            const DepthReference &reference)
{
    QualityReport report;
    const std::size_t count = ctd.size();
    std::vector<double> absent;
    const auto conductivity = wholeColumn(ctd.conductivityMsCm, count, absent);
    const auto temperature = wholeColumn(ctd.temperatureDegC, count, absent);
    const auto pressure = wholeColumn(ctd.pressureDbar, count, absent);
    const auto oxygen = wholeColumn(ctd.oxygenUmolKg, count, absent);
    const auto salinity = wholeColumn(derived.practicalSalinity, count, absent);
    const auto depth = wholeColumn(derived.depthM, count, absent);

    // Out of the water the tests of the sea's values mean nothing, and a scan next to a row of zeros is no
    // spike: those rows count as missing for them and fail by themselves.
    const std::vector<detail::AirState> states =
        detail::airStates(conductivity, temperature, pressure, limits.air);
    std::vector<double> masked;
    const auto inWater = [&](std::span<const double> values) {
        return maskedColumn(values, states, detail::AirState::Water, masked);
    };
    Flagger flagger(ctd, limits, report);
    flagger.record();
    flagger.parameter(QcParameter::Conductivity, inWater(conductivity), limits.conductivity);
    flagger.parameter(QcParameter::Temperature, inWater(temperature), limits.temperature);
    flagger.parameter(QcParameter::Oxygen, inWater(oxygen), limits.oxygen);
    flagger.parameter(QcParameter::Salinity, inWater(salinity), limits.salinity);
    // In air the pressure is a true reading of the air's; in a row of zeros nothing is.
    flagger.parameter(QcParameter::Pressure, maskedColumn(pressure, states, detail::AirState::Air, masked),
                      limits.pressure);
    flagger.parameter(QcParameter::Depth, depth, {});
    flagger.air(QcParameter::Conductivity, conductivity, states);
    flagger.air(QcParameter::Temperature, temperature, states);
    flagger.air(QcParameter::Oxygen, oxygen, states);
    flagger.air(QcParameter::Pressure, pressure, states);
    detail::summariseAir(ctd.timeUs, pressure, states, report.summary);
    flagger.depthAgreement(depth, reference);
    flagger.derived(QcParameter::Salinity, salinity,
                    {QcParameter::Conductivity, QcParameter::Temperature, QcParameter::Pressure});
    flagger.derived(QcParameter::Depth, depth, {QcParameter::Pressure});
    flagger.finish();
    detail::addFindings(ctd, limits, states, report.summary);
    return report;
}

ScanFlags qualityOf(const CtdColumns &ctd, const DerivedColumns &derived, const QualityLimits &limits,
                    const DepthReference &reference)
{
    return qualityReport(ctd, derived, limits, reference).flags;
}

} // namespace holdfast
