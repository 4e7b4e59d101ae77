// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/ship_acoustics.h"

#include "nav/usbl_geometry.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

namespace holdfast
{
namespace
{

constexpr double radian = std::numbers::pi / 180.0;
constexpr double shipSigmaM = 3.0; ///< common practice for a satellite receiver that states nothing

double secondsFrom(UtcTime from, UtcTime to)
{
    return static_cast<double>((to - from).count()) * 1e-6;
}

/// Two records about an instant and how far it is from the first to the second.
template <typename Record>
struct Between {
    const Record *before = nullptr;
    const Record *after = nullptr;
    double fraction = 0;
};

/// The nearest records on either side that `has` what is asked for; nothing across a gap over the limit.
/// Some rows of a log may lack it (a heading that comes at its own rate), so it looks a little further.
template <typename Record, typename Has>
std::optional<Between<Record>> between(std::span<const Record> records, UtcTime t, double gapLimitS, Has has)
{
    const auto next = std::ranges::lower_bound(records, t, {}, &Record::time);
    auto after = next;
    while (after != records.end() && !has(*after) && secondsFrom(t, after->time) <= gapLimitS)
        ++after;
    if (after == records.end() || !has(*after))
        return {};
    if (after->time == t)
        return Between<Record>{&*after, &*after, 0};
    auto before = next;
    while (before != records.begin()) {
        --before;
        if (has(*before) || secondsFrom(before->time, t) > gapLimitS)
            break;
        if (before == records.begin())
            return {};
    }
    if (before == next || !has(*before))
        return {};
    const double gap = secondsFrom(before->time, after->time);
    if (!(gap <= gapLimitS))
        return {};
    return Between<Record>{&*before, &*after, gap > 0 ? secondsFrom(before->time, t) / gap : 0};
}

/// The short way round.
double angleBetween(double from, double to, double fraction)
{
    const double turn = std::remainder(to - from, 360.0);
    const double angle = std::fmod(from + fraction * turn, 360.0);
    return angle < 0 ? angle + 360.0 : angle;
}

class Placer
{
public:
    Placer(const AcousticSetup &setup, const ShipLogs &ship) : m_setup(setup), m_ship(ship) {}

    /// The position, or why there is none.
    std::optional<AcousticFault> place(const AcousticRecord &record, PositionRecord &out,
                                       bool &upright) const;

private:
    using ShipValue = std::optional<double> PositionRecord::*;
    std::optional<double> shipValue(UtcTime t, ShipValue value, bool angle) const;
    std::optional<AcousticFault> shipAt(const AcousticRecord &record, UsblObservation &o,
                                        double &sigma) const;
    std::optional<AcousticFault> attitudeAt(const AcousticRecord &record, UsblObservation &o,
                                            bool &upright) const;
    std::optional<AcousticFault> measuredBy(const AcousticRecord &record, UsblObservation &o) const;

    const AcousticSetup &m_setup;
    const ShipLogs &m_ship;
};

std::optional<double> Placer::shipValue(UtcTime t, ShipValue value, bool angle) const
{
    const auto pair = between(m_ship.positions, t, m_setup.gapLimitS,
                              [value](const PositionRecord &r) { return (r.*value).has_value(); });
    if (!pair)
        return {};
    const double from = *(pair->before->*value), to = *(pair->after->*value);
    return angle ? angleBetween(from, to, pair->fraction) : from + pair->fraction * (to - from);
}

std::optional<AcousticFault> Placer::shipAt(const AcousticRecord &record, UsblObservation &o,
                                            double &sigma) const
{
    const auto pair = between(m_ship.positions, record.time, m_setup.gapLimitS, [](const PositionRecord &r) {
        return isPlace({r.latitudeDeg, r.longitudeDeg}) && (r.latitudeDeg != 0 || r.longitudeDeg != 0);
    });
    if (!pair)
        return AcousticFault::NoShipPosition;
    const auto antenna =
        geodesicAtFraction({pair->before->latitudeDeg, pair->before->longitudeDeg},
                           {pair->after->latitudeDeg, pair->after->longitudeDeg}, pair->fraction);
    if (!antenna)
        return AcousticFault::NoShipPosition;
    o.antenna = *antenna;
    sigma = std::max(pair->before->sigmaM.value_or(shipSigmaM), pair->after->sigmaM.value_or(shipSigmaM));
    const auto heading =
        record.headingDeg ? record.headingDeg : shipValue(record.time, &PositionRecord::headingDeg, true);
    if (!heading)
        return AcousticFault::NoHeading;
    o.headingDeg = *heading;
    return {};
}

std::optional<AcousticFault> Placer::attitudeAt(const AcousticRecord &record, UsblObservation &o,
                                                bool &upright) const
{
    const auto pitch =
        record.pitchDeg ? record.pitchDeg : shipValue(record.time, &PositionRecord::pitchDeg, false);
    const auto roll =
        record.rollDeg ? record.rollDeg : shipValue(record.time, &PositionRecord::rollDeg, false);
    upright = !pitch || !roll;
    // A stabilised bearing needs the attitude only to turn the lever arm.
    if (upright && m_setup.frame == AcousticFrame::Body && !m_setup.withoutAttitude)
        return AcousticFault::NoAttitude;
    o.pitchDeg = upright ? 0 : *pitch;
    o.rollDeg = upright ? 0 : *roll;
    return {};
}

std::optional<AcousticFault> Placer::measuredBy(const AcousticRecord &record, UsblObservation &o) const
{
    const bool vector = record.forwardM && record.starboardM && record.downM;
    if (vector) {
        o.slantRangeM = std::hypot(*record.forwardM, *record.starboardM, *record.downM);
        o.bearingDeg = std::atan2(*record.starboardM, *record.forwardM) / radian;
        o.depressionDeg =
            std::atan2(*record.downM, std::hypot(*record.forwardM, *record.starboardM)) / radian;
    } else {
        o.slantRangeM = record.rangeM.value_or(0);
        o.bearingDeg = record.bearingDeg.value_or(0);
        o.depressionDeg = record.depressionDeg;
    }
    // A stabilised bearing with a measured depth needs no depression, which is the less sure of the two.
    const bool byDepth = !vector && record.depthM && m_setup.frame == AcousticFrame::Level;
    if (o.depressionDeg && m_setup.frame != AcousticFrame::True && !byDepth) {
        // A level vector is one in the axes of a ship that stands upright.
        o.frame = UsblFrame::Body3d;
        return {};
    }
    o.depthM = record.depthM;
    if (!o.depthM) {
        const auto pair = between(m_ship.depths, record.time, m_setup.depthGapLimitS,
                                  [](const DepthRecord &d) { return std::isfinite(d.depthM); });
        if (!pair)
            return AcousticFault::NoDepth;
        o.depthM = pair->before->depthM + pair->fraction * (pair->after->depthM - pair->before->depthM);
    }
    o.frame = m_setup.frame == AcousticFrame::True    ? UsblFrame::True
              : m_setup.frame == AcousticFrame::Level ? UsblFrame::Level
                                                      : UsblFrame::Body;
    return {};
}

/// For a level vector: the antenna moved to the transducer with the ship's true attitude, so that the vector
/// itself may be taken as that of an upright ship.
Done levelOverTransducer(UsblObservation &o)
{
    UsblObservation lever = o;
    lever.frame = UsblFrame::Body3d;
    const double length = std::hypot(o.leverForwardM, o.leverStarboardM, o.leverDownM);
    if (length > 0) {
        lever.leverForwardM = lever.leverStarboardM = lever.leverDownM = 0;
        lever.slantRangeM = length;
        lever.bearingDeg = std::atan2(o.leverStarboardM, o.leverForwardM) / radian;
        lever.depressionDeg =
            std::atan2(o.leverDownM, std::hypot(o.leverForwardM, o.leverStarboardM)) / radian;
        const auto transducer = usblTarget(lever);
        if (!transducer)
            return transducer.error();
        o.antenna = transducer->position;
        o.antennaHeightM = -transducer->depthM;
        o.leverForwardM = o.leverStarboardM = o.leverDownM = 0;
    }
    o.pitchDeg = o.rollDeg = 0;
    return {};
}

std::optional<AcousticFault> Placer::place(const AcousticRecord &record, PositionRecord &out,
                                           bool &upright) const
{
    UsblObservation o;
    o.antennaHeightM = m_setup.antennaHeightM;
    o.leverForwardM = m_setup.leverForwardM;
    o.leverStarboardM = m_setup.leverStarboardM;
    o.leverDownM = m_setup.leverDownM;
    double sigma = 0;
    if (const auto fault = shipAt(record, o, sigma))
        return fault;
    if (const auto fault = attitudeAt(record, o, upright))
        return fault;
    if (const auto fault = measuredBy(record, o))
        return fault;
    if (m_setup.frame == AcousticFrame::Level && o.frame == UsblFrame::Body3d && !levelOverTransducer(o))
        return AcousticFault::Impossible;
    const auto target = usblTarget(o);
    if (!target)
        return AcousticFault::Impossible;
    out.time = record.time;
    out.latitudeDeg = target->position.latitudeDeg;
    out.longitudeDeg = target->position.longitudeDeg;
    out.depthM = record.depthM ? record.depthM : o.depthM ? o.depthM : target->depthM;
    const double byRange = m_setup.sigmaPercentOfRange / 100 * o.slantRangeM;
    const double byHeading =
        m_setup.headingSigmaDeg * radian * target->horizontalRangeM / std::numbers::sqrt2;
    out.sigmaM = record.sigmaM ? record.sigmaM : std::hypot(byRange, sigma, byHeading);
    out.source = PositionSource::Acoustic;
    out.line = record.line;
    return {};
}

} // namespace

QString textOf(AcousticFault fault)
{
    switch (fault) {
    case AcousticFault::NoShipPosition:
        return QStringLiteral("no position of the ship close enough in time");
    case AcousticFault::NoHeading:
        return QStringLiteral("no heading of the ship close enough in time");
    case AcousticFault::NoAttitude:
        return QStringLiteral("no pitch and roll, which a bearing in ship axes needs");
    case AcousticFault::NoDepth:
        return QStringLiteral("neither a depression nor a depth of the vehicle");
    case AcousticFault::Impossible:
        break;
    }
    return QStringLiteral("range, depth and attitude contradict each other");
}

QStringList AcousticPositions::sentences() const
{
    QStringList list;
    const std::size_t lost = std::accumulate(faults.begin(), faults.end(), std::size_t{0});
    for (std::size_t i = 0; i < acousticFaultCount; ++i) {
        if (faults[i] > 0)
            list << QStringLiteral(
                        "%1 of %2 raw acoustic measurements gave no position: %3 (first in line %4).")
                        .arg(faults[i])
                        .arg(positions.size() + lost)
                        .arg(textOf(static_cast<AcousticFault>(i)))
                        .arg(firstLine[i]);
    }
    if (upright > 0)
        list << QStringLiteral("%1 raw acoustic measurements were placed without pitch and roll, the ship "
                               "taken as upright.")
                    .arg(upright);
    return list;
}

AcousticPositions placeAcoustics(std::span<const AcousticRecord> records, const AcousticSetup &setup,
                                 const ShipLogs &ship)
{
    AcousticPositions out;
    out.positions.reserve(records.size());
    const Placer placer(setup, ship);
    for (const AcousticRecord &record : records) {
        PositionRecord position;
        bool upright = false;
        const auto fault = placer.place(record, position, upright);
        if (!fault) {
            out.upright += upright ? 1U : 0U;
            out.positions.push_back(position);
            continue;
        }
        const auto i = static_cast<std::size_t>(*fault);
        if (out.faults[i]++ == 0)
            out.firstLine[i] = record.line;
    }
    return out;
}

} // namespace holdfast
