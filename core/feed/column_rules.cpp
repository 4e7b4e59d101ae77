// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/column_rules.h"

namespace holdfast::detail
{

namespace
{

constexpr double degPerRad = 57.295779513082320877;

} // namespace

const std::vector<QuantityRule> &quantityRules()
{
    static const std::vector<UnitRule> metres = {{"m", 0, 1, 0, false}, {"-m", 0, -1, 0, false}};
    static const std::vector<UnitRule> angle = {{"deg", 0, 1, 0, false}, {"ddmm", 0, 1, 0, true}};
    static const std::vector<UnitRule> heading = {{"deg", 0, 1, 0, false}, {"rad", 0, degPerRad, 0, false}};
    static const std::vector<UnitRule> tilt = {{"deg", 0, 1, 0, false},
                                               {"-deg", 0, -1, 0, false},
                                               {"rad", 0, degPerRad, 0, false},
                                               {"-rad", 0, -degPerRad, 0, false}};
    static const std::vector<UnitRule> speed = {{"m/s", 0, 1, 0, false},
                                                {"-m/s", 0, -1, 0, false},
                                                {"cm/s", -2, 1, 0, false},
                                                {"mm/s", -3, 1, 0, false},
                                                {"kn", 0, 1852.0 / 3600.0, 0, false}};
    static const std::vector<QuantityRule> rules = {
        {Quantity::Latitude, "latitude", FeedKind::Position, true, angle},
        {Quantity::Longitude, "longitude", FeedKind::Position, true, angle},
        {Quantity::Depth, "depth", FeedKind::Position, false, metres},
        {Quantity::Heading, "heading", FeedKind::Position, false, heading},
        {Quantity::Sigma, "sigma", FeedKind::Position, false, {{"m", 0, 1, 0, false}}},
        {Quantity::Pitch, "pitch", FeedKind::Position, false, tilt},
        {Quantity::Roll, "roll", FeedKind::Position, false, tilt},
        {Quantity::Conductivity,
         "conductivity",
         FeedKind::Ctd,
         false,
         {{"mS/cm", 0, 1, 0, false}, {"S/m", 1, 1, 0, false}, {"uS/cm", -3, 1, 0, false}}},
        {Quantity::Temperature,
         "temperature",
         FeedKind::Ctd,
         false,
         {{"degC ITS-90", 0, 1, 0, false}, {"degC IPTS-68", 0, 1 / 1.00024, 0, false}}},
        {Quantity::Pressure,
         "pressure",
         FeedKind::Ctd,
         false,
         {{"dbar", 0, 1, 0, false},
          {"bar", 1, 1, 0, false},
          {"MPa", 2, 1, 0, false},
          {"kPa", -1, 1, 0, false},
          {"psi", 0, 0.6894757293168361, 0, false},
          {"dbar absolute", 0, 1, -10.1325, false},
          {"bar absolute", 1, 1, -10.1325, false},
          {"MPa absolute", 2, 1, -10.1325, false}}},
        {Quantity::Oxygen, "oxygen", FeedKind::Ctd, false, {{"umol/kg", 0, 1, 0, false}}},
        {Quantity::Forward, "forward", FeedKind::Velocity, true, speed},
        {Quantity::Starboard, "starboard", FeedKind::Velocity, true, speed},
        {Quantity::Down, "down", FeedKind::Velocity, true, speed},
        {Quantity::Altitude, "altitude", FeedKind::Velocity, false, {{"m", 0, 1, 0, false}}},
        {Quantity::Heading, "heading", FeedKind::Velocity, false, heading},
        {Quantity::Range, "range", FeedKind::Acoustic, false, {{"m", 0, 1, 0, false}}},
        {Quantity::Bearing, "bearing", FeedKind::Acoustic, false, heading},
        {Quantity::Depression, "depression", FeedKind::Acoustic, false, tilt},
        {Quantity::Forward, "forward", FeedKind::Acoustic, false, metres},
        {Quantity::Starboard, "starboard", FeedKind::Acoustic, false, metres},
        {Quantity::Down, "down", FeedKind::Acoustic, false, metres},
        {Quantity::Depth, "depth", FeedKind::Acoustic, false, metres},
        {Quantity::Heading, "heading", FeedKind::Acoustic, false, heading},
        {Quantity::Pitch, "pitch", FeedKind::Acoustic, false, tilt},
        {Quantity::Roll, "roll", FeedKind::Acoustic, false, tilt},
        {Quantity::Sigma, "sigma", FeedKind::Acoustic, false, {{"m", 0, 1, 0, false}}},
    };
    return rules;
}

} // namespace holdfast::detail
