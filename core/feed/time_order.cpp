// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/time_order.h"

#include <algorithm>
#include <bit>
#include <numeric>

namespace holdfast
{

namespace
{

bool sameBits(double a, double b)
{
    return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b);
}

bool repeats(const PositionRecord &a, const PositionRecord &b)
{
    return a.latitudeDeg == b.latitudeDeg && a.longitudeDeg == b.longitudeDeg && a.depthM == b.depthM &&
           a.headingDeg == b.headingDeg && a.sigmaM == b.sigmaM;
}

bool repeats(const VelocityRecord &a, const VelocityRecord &b)
{
    return a.forwardMs == b.forwardMs && a.starboardMs == b.starboardMs && a.downMs == b.downMs &&
           a.altitudeM == b.altitudeM && a.headingDeg == b.headingDeg;
}

bool repeats(const AcousticRecord &a, const AcousticRecord &b)
{
    return a.rangeM == b.rangeM && a.bearingDeg == b.bearingDeg && a.depressionDeg == b.depressionDeg &&
           a.forwardM == b.forwardM && a.starboardM == b.starboardM && a.downM == b.downM &&
           a.depthM == b.depthM;
}

bool repeats(const CtdColumns &c, std::size_t i, std::size_t j)
{
    return sameBits(c.conductivityMsCm[i], c.conductivityMsCm[j]) &&
           sameBits(c.temperatureDegC[i], c.temperatureDegC[j]) &&
           sameBits(c.pressureDbar[i], c.pressureDbar[j]) && sameBits(c.oxygenUmolKg[i], c.oxygenUmolKg[j]);
}

/// How many records of one time are compared with a new one; a stuck clock would else cost their square.
constexpr std::size_t lookBack = 32;

/// The order of the rows: which are kept, by time. `time` and `line` give a row's, `equal` compares two rows
/// of the same time.
template <typename Time, typename Line, typename Equal>
std::vector<std::uint32_t> orderOf(std::size_t count, Time time, Line line, Equal equal, IntakeReport &report)
{
    std::vector<std::uint32_t> order(count);
    std::iota(order.begin(), order.end(), 0U);
    std::int64_t latest = count > 0 ? time(0) : 0;
    bool moved = false;
    for (std::size_t i = 1; i < count; ++i) {
        if (time(i) < latest) {
            report.repair(QStringLiteral("out of order, moved to its place in time"), line(i));
            moved = true;
        }
        latest = std::max(latest, time(i));
    }
    if (moved)
        std::stable_sort(order.begin(), order.end(), [&](auto a, auto b) { return time(a) < time(b); });
    std::size_t kept = 0;
    for (std::size_t i = 0; i < count; ++i) {
        bool repeated = false;
        bool shared = false;
        const std::size_t farthest = kept > lookBack ? kept - lookBack : 0;
        for (std::size_t k = kept; k > farthest && time(order[k - 1]) == time(order[i]); --k) {
            shared = true;
            repeated = repeated || equal(order[k - 1], order[i]);
        }
        if (repeated) {
            report.repair(QStringLiteral("repeats a record, dropped"), line(order[i]));
            continue;
        }
        if (shared)
            report.note(QStringLiteral("same time as another record, other values; both kept"),
                        line(order[i]));
        order[kept++] = order[i];
    }
    order.resize(kept);
    return order;
}

bool untouched(const std::vector<std::uint32_t> &order, std::size_t count)
{
    if (order.size() != count)
        return false;
    for (std::size_t i = 0; i < count; ++i) {
        if (order[i] != i)
            return false;
    }
    return true;
}

template <typename T>
void rearrange(std::vector<T> &column, const std::vector<std::uint32_t> &order)
{
    std::vector<T> arranged;
    arranged.reserve(order.size());
    for (const std::uint32_t i : order)
        arranged.push_back(column[i]);
    column = std::move(arranged);
}

template <typename Record>
void putRecordsInOrder(std::vector<Record> &records, IntakeReport &report)
{
    const auto order = orderOf(
        records.size(), [&](std::size_t i) { return microsecondsOf(records[i].time); },
        [&](std::size_t i) { return records[i].line; },
        [&](std::size_t i, std::size_t j) { return repeats(records[i], records[j]); }, report);
    if (!untouched(order, records.size()))
        rearrange(records, order);
    report.accepted = static_cast<std::int64_t>(records.size());
    if (!records.empty()) {
        report.firstTime = records.front().time;
        report.lastTime = records.back().time;
    }
}

} // namespace

void putInOrder(std::vector<PositionRecord> &records, IntakeReport &report)
{
    putRecordsInOrder(records, report);
}

void putInOrder(std::vector<VelocityRecord> &records, IntakeReport &report)
{
    putRecordsInOrder(records, report);
}

void putInOrder(std::vector<AcousticRecord> &records, IntakeReport &report)
{
    putRecordsInOrder(records, report);
}

void putInOrder(CtdColumns &scans, IntakeReport &report)
{
    const auto order = orderOf(
        scans.size(), [&](std::size_t i) { return scans.timeUs[i]; },
        [&](std::size_t i) { return scans.line[i]; },
        [&](std::size_t i, std::size_t j) { return repeats(scans, i, j); }, report);
    if (!untouched(order, scans.size())) {
        rearrange(scans.timeUs, order);
        rearrange(scans.conductivityMsCm, order);
        rearrange(scans.temperatureDegC, order);
        rearrange(scans.pressureDbar, order);
        rearrange(scans.oxygenUmolKg, order);
        rearrange(scans.line, order);
    }
    report.accepted = static_cast<std::int64_t>(scans.size());
    if (scans.size() > 0) {
        report.firstTime = utcFromMicroseconds(scans.timeUs.front());
        report.lastTime = utcFromMicroseconds(scans.timeUs.back());
    }
}

} // namespace holdfast
