// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/track_detail.h"

#include "base/counted.h"

#include <algorithm>
#include <cmath>

namespace holdfast::nav_detail
{
namespace
{

double medianSpacing(const std::vector<Fix> &fixes)
{
    std::vector<double> spacings;
    for (std::size_t i = 1; i < fixes.size(); ++i)
        if (const double s = fixes[i].t - fixes[i - 1].t; s > 0.0)
            spacings.push_back(s);
    if (spacings.empty())
        return 0.0;
    const auto half = spacings.begin() + static_cast<std::ptrdiff_t>(spacings.size() / 2);
    std::nth_element(spacings.begin(), half, spacings.end());
    return *half;
}

double medianSigma(const Track::Data &data)
{
    std::vector<double> sigmas;
    for (const std::uint32_t index : data.accepted)
        sigmas.push_back(data.fixes[index].sigmaM);
    if (sigmas.empty())
        return 0.0;
    const auto half = sigmas.begin() + static_cast<std::ptrdiff_t>(sigmas.size() / 2);
    std::nth_element(sigmas.begin(), half, sigmas.end());
    return *half * data.report.sigmaScale;
}

void say(TrackReport &report, std::size_t count, const QString &one, const QString &many)
{
    if (count > 0)
        report.sentences << counted(static_cast<qint64>(count), one, many);
}

void writeSentences(TrackReport &r)
{
    if (r.records == 0) {
        r.sentences << QStringLiteral("There are no positions for this dive.");
        return;
    }
    if (r.used == 0)
        r.sentences << QStringLiteral("None of the log's %1 positions can be used.").arg(r.records);
    else if (r.used == 1)
        r.sentences << QStringLiteral("Only one position can be used: there is no track, only that place.");
    else if (r.used * 2 < r.records - r.duplicates - r.setAside)
        r.sentences << QStringLiteral(
                           "Only %1 of the log's %2 positions could be used; check its profile and columns.")
                           .arg(r.used)
                           .arg(r.records);
    if (r.looksSwapped > 0)
        r.sentences << QStringLiteral(
                           "%1 positions have a latitude beyond 90 degrees but would be places with latitude "
                           "and longitude exchanged: are the columns swapped?")
                           .arg(r.looksSwapped);
    say(r, r.outOfRange, QStringLiteral("position is no place on earth and was refused."),
        QStringLiteral("positions are no places on earth and were refused."));
    say(r, r.notANumber, QStringLiteral("position is not a number and was refused."),
        QStringLiteral("positions are not numbers and were refused."));
    if (r.leaps > 3 && r.leaps * 10 > r.used)
        r.sentences
            << QStringLiteral(
                   "%1 of %2 positions are further from the one before than a vehicle can go: the log "
                   "contradicts itself; check its profile and columns.")
                   .arg(r.leaps)
                   .arg(r.used);
    say(r, r.leaps,
        QStringLiteral("leap further than the vehicle can go was accepted as real: the positions after it "
                       "agree with each other."),
        QStringLiteral(
            "leaps further than the vehicle can go were accepted as real: the positions after each agree "
            "with each other."));
    say(r, r.corrections,
        QStringLiteral("step of the dead reckoning was taken as its correction; the positions before "
                       "it were shifted towards it."),
        QStringLiteral(
            "steps of the dead reckoning were taken as its corrections; the positions before each were "
            "shifted towards it."));
    say(r, r.setAside, QStringLiteral("dead-reckoned position was set aside: acoustic positions are there."),
        QStringLiteral("dead-reckoned positions were set aside: acoustic positions are there."));
    say(r, r.outliers, QStringLiteral("position is too far from its neighbours and was not used."),
        QStringLiteral("positions are too far from their neighbours and were not used."));
    say(r, r.duplicates, QStringLiteral("row repeats the time and place of another and was left out."),
        QStringLiteral("rows repeat the time and place of another and were left out."));
    say(r, r.stale,
        QStringLiteral("row repeats the place of the row before to the last digit; such a run counts as one "
                       "measurement."),
        QStringLiteral("rows repeat the place of the row before to the last digit; such a run counts as one "
                       "measurement."));
    say(r, r.sameTime,
        QStringLiteral("row gives another place for a time already seen; it was judged like any other."),
        QStringLiteral("rows give another place for a time already seen; they were judged like any other."));
    say(r, r.outOfOrder, QStringLiteral("row is earlier than the row before it; the rows were sorted."),
        QStringLiteral("rows are earlier than the row before them; the rows were sorted."));
}

} // namespace

void settle(Track::Data &data)
{
    TrackReport &r = data.report;
    data.accepted.clear();
    data.acceptedTimes.clear();
    data.rejectedTimes.clear();
    r.longestGapS = 0.0;
    r.leaps = 0;
    for (std::size_t i = 0; i < data.fixes.size(); ++i) {
        const Fix &fix = data.fixes[i];
        if (!fix.accepted) {
            data.rejectedTimes.push_back(fix.t);
            continue;
        }
        if (!data.acceptedTimes.empty())
            r.longestGapS = std::max(r.longestGapS, fix.t - data.acceptedTimes.back());
        r.leaps += fix.leapBefore ? 1U : 0U;
        data.accepted.push_back(static_cast<std::uint32_t>(i));
        data.acceptedTimes.push_back(fix.t);
    }
    r.used = data.accepted.size();
    r.outliers = data.rejectedTimes.size();
    r.medianSpacingS = medianSpacing(data.fixes);
    const TrackOptions &o = data.options;
    r.gapLimitS = o.gapLimitS.value_or(std::clamp(20.0 * r.medianSpacingS, 600.0, 1800.0));
    r.extrapolationLimitS = o.extrapolationLimitS.value_or(std::clamp(2.0 * r.medianSpacingS, 30.0, 300.0));
    r.suspectGapS = o.suspectGapS.value_or(std::max(5.0 * r.medianSpacingS, 60.0));
    r.nearS = std::max(60.0, 3.0 * r.medianSpacingS);
}

void writeReport(Track::Data &data)
{
    TrackReport &r = data.report;
    for (std::size_t i = 0; i < data.fixes.size(); ++i)
        if (!data.fixes[i].accepted)
            r.rejected.push_back({data.records[i].line, data.records[i].time, RejectReason::Outlier});
    std::ranges::stable_sort(r.rejected, {}, &RejectedPosition::time);
    r.sigmaMedianM = medianSigma(data);
    if (!r.estimated) {
        r.slowShare = data.options.slowShare;
        r.slowTimeS = data.options.slowTimeS;
        r.transitSpeedMs = data.options.transitSpeedMs;
        r.driftMs = data.options.deadReckoningDriftMs;
    }
    writeSentences(r);
}

} // namespace holdfast::nav_detail
