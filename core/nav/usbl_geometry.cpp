// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/usbl_geometry.h"

#include <GeographicLib/LocalCartesian.hpp>
#include <array>
#include <cmath>
#include <numbers>

namespace holdfast
{
namespace
{

constexpr double radian = std::numbers::pi / 180.0;

struct Vector {
    double x = 0, y = 0, z = 0;
};
using Rotation = std::array<Vector, 3>; // rows

Vector operator*(const Rotation &rows, const Vector &v)
{
    const auto dot = [&v](const Vector &row) { return row.x * v.x + row.y * v.y + row.z * v.z; };
    return {dot(rows[0]), dot(rows[1]), dot(rows[2])};
}

/// Rz(heading) Ry(pitch) Rx(roll): ship axes to north, east, down.
Rotation bodyToNorthEastDown(const UsblObservation &o)
{
    const double ch = std::cos(o.headingDeg * radian), sh = std::sin(o.headingDeg * radian);
    const double cp = std::cos(o.pitchDeg * radian), sp = std::sin(o.pitchDeg * radian);
    const double cr = std::cos(o.rollDeg * radian), sr = std::sin(o.rollDeg * radian);
    return {Vector{ch * cp, ch * sp * sr - sh * cr, ch * sp * cr + sh * sr},
            Vector{sh * cp, sh * sp * sr + ch * cr, sh * sp * cr - ch * sr}, Vector{-sp, cp * sr, cp * cr}};
}

/// A unit vector from a bearing about z and a depression towards z, degrees.
Vector direction(double bearingDeg, double depressionDeg)
{
    const double c = std::cos(depressionDeg * radian);
    return {c * std::cos(bearingDeg * radian), c * std::sin(bearingDeg * radian),
            std::sin(depressionDeg * radian)};
}

Done checkNumbers(const UsblObservation &o)
{
    const auto wrong = [](const QString &what) { return fail(ErrorKind::Usage, what); };
    if (!isPlace(o.antenna))
        return wrong(
            QStringLiteral("The antenna is at latitude %1, longitude %2; a place on earth is expected.")
                .arg(o.antenna.latitudeDeg)
                .arg(o.antenna.longitudeDeg));
    for (const double number :
         {o.antennaHeightM, o.headingDeg, o.leverForwardM, o.leverStarboardM, o.leverDownM, o.bearingDeg,
          o.depthM.value_or(0.0), o.depressionDeg.value_or(0.0)})
        if (!std::isfinite(number))
            return wrong(QStringLiteral("One of the numbers of the acoustic observation is not finite."));
    if (!(o.slantRangeM > 0.0) || !std::isfinite(o.slantRangeM))
        return wrong(QStringLiteral("The slant range is %1 m; more than 0 is expected.").arg(o.slantRangeM));
    if (!(std::abs(o.pitchDeg) < 90.0) || !(std::abs(o.rollDeg) < 90.0))
        return wrong(QStringLiteral("Pitch %1 and roll %2 degrees: less than 90 either way is expected.")
                         .arg(o.pitchDeg)
                         .arg(o.rollDeg));
    if (o.frame == UsblFrame::Body3d) {
        if (!o.depressionDeg)
            return wrong(
                QStringLiteral("A bearing in ship axes without depth needs the depression angle too."));
        if (std::abs(*o.depressionDeg) > 90.0)
            return wrong(
                QStringLiteral("The depression is %1 degrees; -90 to 90 is expected.").arg(*o.depressionDeg));
    } else if (!o.depthM) {
        return wrong(QStringLiteral("A slant range and a bearing need the depth of the target too."));
    }
    return {};
}

/// The depression in the deck plane whose rotated vector goes down by `downM` over the slant range:
/// a cos(d) + b sin(d) = down / range, with a and b from the third row of the rotation.
Result<double> bodyDepression(const UsblObservation &o, const Rotation &rotation, double downM)
{
    const Vector &row = rotation[2];
    const double a = row.x * std::cos(o.bearingDeg * radian) + row.y * std::sin(o.bearingDeg * radian);
    const double steepest = std::hypot(a, row.z);
    const double wanted = downM / o.slantRangeM / steepest;
    if (!(std::abs(wanted) <= 1.0))
        return fail(
            ErrorKind::Malformed,
            QStringLiteral("No direction at bearing %1 in the deck plane goes down %2 m in a slant range of "
                           "%3 m: range, depth and attitude contradict each other.")
                .arg(o.bearingDeg)
                .arg(downM, 0, 'f', 2)
                .arg(o.slantRangeM, 0, 'f', 2));
    const double middle = std::atan2(row.z, a) / radian, half = std::acos(wanted) / radian;
    const auto isDepression = [](double deg) { return std::abs(deg) <= 90.0; };
    const bool lower = isDepression(middle - half), upper = isDepression(middle + half);
    if (lower && upper && half > 1e-6)
        return fail(
            ErrorKind::Malformed,
            QStringLiteral("The target is so steeply below that two directions at bearing %1 in the deck "
                           "plane fit its depth; the position cannot be told from these numbers.")
                .arg(o.bearingDeg));
    if (!lower && !upper)
        return fail(
            ErrorKind::Malformed,
            QStringLiteral("The target is so steeply below that no direction at bearing %1 in the deck plane "
                           "fits its depth.")
                .arg(o.bearingDeg));
    return lower ? middle - half : middle + half;
}

/// Transducer to target in north, east, down.
Result<Vector> acousticVector(const UsblObservation &o, const Rotation &rotation, UsblTarget &target)
{
    if (o.frame == UsblFrame::Body3d) {
        target.depressionDeg = *o.depressionDeg;
    } else {
        const double down = *o.depthM - target.transducerDepthM;
        if (std::abs(down) > o.slantRangeM)
            return fail(
                ErrorKind::Malformed,
                QStringLiteral("The slant range of %1 m is shorter than the %2 m between the transducer's "
                               "depth and the target's: range and depth contradict each other.")
                    .arg(o.slantRangeM, 0, 'f', 2)
                    .arg(std::abs(down), 0, 'f', 2));
        if (o.frame == UsblFrame::Body) {
            const auto depression = bodyDepression(o, rotation, down);
            if (!depression)
                return depression.error();
            target.depressionDeg = *depression;
        } else {
            target.depressionDeg = std::asin(down / o.slantRangeM) / radian;
        }
    }
    const bool inShipAxes = o.frame == UsblFrame::Body || o.frame == UsblFrame::Body3d;
    const double bearing = o.frame == UsblFrame::Level ? o.bearingDeg + o.headingDeg : o.bearingDeg;
    const Vector unit = direction(bearing, target.depressionDeg);
    const Vector turned = inShipAxes ? rotation * unit : unit;
    return Vector{turned.x * o.slantRangeM, turned.y * o.slantRangeM, turned.z * o.slantRangeM};
}

} // namespace

Result<UsblTarget> usblTarget(const UsblObservation &o)
{
    if (const auto checked = checkNumbers(o); !checked)
        return checked.error();
    const Rotation rotation = bodyToNorthEastDown(o);
    const Vector lever = rotation * Vector{o.leverForwardM, o.leverStarboardM, o.leverDownM};

    UsblTarget target;
    target.transducerDepthM = lever.z - o.antennaHeightM;
    const auto ray = acousticVector(o, rotation, target);
    if (!ray)
        return ray.error();
    target.horizontalRangeM = std::hypot(ray->x, ray->y);
    target.northM = lever.x + ray->x;
    target.eastM = lever.y + ray->y;
    target.downM = lever.z + ray->z;
    target.depthM = target.downM - o.antennaHeightM;
    const GeographicLib::LocalCartesian plane(o.antenna.latitudeDeg, o.antenna.longitudeDeg,
                                              o.antennaHeightM);
    plane.Reverse(target.eastM, target.northM, -target.downM, target.position.latitudeDeg,
                  target.position.longitudeDeg, target.heightM);
    return target;
}

} // namespace holdfast
