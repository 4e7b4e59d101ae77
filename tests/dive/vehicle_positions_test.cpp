// SPDX-License-Identifier: GPL-3.0-or-later
#include "../nav/invented_ship.h"
#include "dive/dive_values.h"
#include "dive/log_intake.h"
#include "dive/refix.h"
#include "dive/scan_log.h"
#include "dive/vehicle_positions.h"
#include "nav/geodesic.h"
#include "support/a_cruise.h"

#include <QJsonArray>

using namespace holdfast;
using namespace holdfast::test;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

constexpr double seconds = 3600;
constexpr double latitude = -31.0, longitude = 179.9995;
const Lever lever{-12.5, 3.2, 23.5, 18};

/// Where the vehicle truly is: 0.1 m/s east for ten minutes, then at rest for ten, and so on, across 180
/// degrees.
struct Truth {
    double latitudeDeg, longitudeDeg;
};
Truth truthAt(double t)
{
    const double moving = std::floor(t / 1200) * 600 + std::min(std::fmod(t, 1200), 600.0);
    double lon = longitude + 1.05e-6 * moving;
    return {latitude + 1e-7 * moving, lon > 180 ? lon - 360 : lon};
}

QByteArray sentence(const QByteArray &body)
{
    unsigned sum = 0;
    for (const char c : body)
        sum ^= static_cast<unsigned char>(c);
    return '$' + body + '*' + QByteArray::number(sum, 16).rightJustified(2, '0').toUpper() + "\r\n";
}

QByteArray minutes(double degrees, int digits)
{
    const double whole = std::floor(std::abs(degrees));
    return QByteArray::number(static_cast<int>(whole)).rightJustified(digits, '0') +
           QByteArray::number((std::abs(degrees) - whole) * 60, 'f', 6).rightJustified(9, '0');
}

class ShipAndVehicle : public WithCruise
{
protected:
    UtcTime start = at("2026-03-12T09:00:00Z");

    UtcTime second(double t) const { return start + Microseconds(std::llround(t * 1e6)); }

    /// A satellite receiver's and a gyro's sentences, once a second.
    QByteArray shipNmea(double from = 0, double to = seconds) const
    {
        QByteArray out = sentence("GPZDA,085959.00,12,03,2026,00,00");
        for (double t = from; t < to; t += 1) {
            const ShipState ship = shipAt(t, latitude, longitude);
            const QByteArray time = toIso(second(t)).mid(11, 12).remove(QLatin1Char(':')).toLatin1();
            out += sentence("GPGGA," + time + ',' + minutes(ship.latitudeDeg, 2) + ",S," +
                            minutes(ship.longitudeDeg, 3) + (ship.longitudeDeg < 0 ? ",W" : ",E") +
                            ",1,09,0.4,18.0,M,0.0,M,,");
            out += sentence("HETHS," + QByteArray::number(ship.headingDeg, 'f', 2) + ",A");
        }
        return out;
    }
    /// What the acoustics measure every 2 s: 0.3 % of the slant range on each axis, 3 in 100 wild.
    QByteArray acousticCsv() const
    {
        Dice dice(11);
        QByteArray out = "time_utc,x_m,y_m,z_m,heading_deg,pitch_deg,roll_deg\n";
        for (double t = 10.37; t < seconds - 10; t += 2) {
            const ShipState ship = shipAt(t, latitude, longitude);
            const Truth v = truthAt(t);
            Axes body = seenFromShip(ship, lever, v.latitudeDeg, v.longitudeDeg, -1200);
            const bool wild = dice.uniform() < 0.03;
            for (double &axis : body)
                axis += wild ? dice.uniform(-300, 300) : 3.6 * dice.normal();
            out += toIso(second(t)).toLatin1();
            for (const double number :
                 {body[0], body[1], body[2], ship.headingDeg, ship.pitchDeg, ship.rollDeg})
                out += ',' + QByteArray::number(number, 'f', 3);
            out += '\n';
        }
        return out;
    }
    Result<FeedProfile> mounted() const
    {
        auto profile = feedProfile(s("acoustic-xyz-csv"));
        if (!profile)
            return profile;
        QByteArray json = profile->json;
        json.replace("\"lever_forward_m\": 0", "\"lever_forward_m\": -12.5")
            .replace("\"lever_starboard_m\": 0", "\"lever_starboard_m\": 3.2")
            .replace("\"lever_down_m\": 0", "\"lever_down_m\": 23.5")
            .replace("\"antenna_height_m\": 0", "\"antenna_height_m\": 18")
            .replace("\"sigma_percent_of_slant_range\": 0.5", "\"sigma_percent_of_slant_range\": 0.3")
            .replace("\"heading_sigma_deg\": 0.5", "\"heading_sigma_deg\": 0.05");
        return parseFeedProfile(json, s("mounted"));
    }
    void take(const char *name, const QByteArray &bytes, const FeedProfile &profile)
    {
        write(path(s(name)), bytes);
        ASSERT_OK(takeInLog(file(), act(), 1, path(s(name)), profile));
    }
    void takeShip(const QByteArray &bytes)
    {
        const auto profile = feedProfile(s("ship-nmea"));
        ASSERT_OK(profile);
        take("ship.nmea", bytes, *profile);
    }
    void takeAcoustics()
    {
        const auto profile = mounted();
        ASSERT_OK(profile);
        take("acoustic.csv", acousticCsv(), *profile);
    }
    double errorM(const NavFix &fix, double t) const
    {
        const Truth v = truthAt(t);
        return geodesicBetween({*fix.latitudeDeg, *fix.longitudeDeg}, {v.latitudeDeg, v.longitudeDeg})
            ->lengthM;
    }
};

} // namespace

TEST_F(ShipAndVehicle, RawAcousticsAndTheShipsLogMakeTheTrack)
{
    takeShip(shipNmea());
    takeAcoustics();
    const auto track = diveTrack(file().db(), 1, FixMethod::Smooth);
    ASSERT_OK(track);
    EXPECT_GT(track->report().used, 1650u) << track->report().sentences.join('\n').toStdString();
    EXPECT_GT(track->report().outliers, 20u);
    std::vector<double> errors;
    std::size_t inside = 0;
    for (double t = 30; t < seconds - 30; t += 7) {
        const NavFix fix = track->at(second(t));
        ASSERT_TRUE(fix.latitudeDeg) << t;
        errors.push_back(errorM(fix, t));
        inside += errors.back() <= *fix.uncertainty95M ? 1U : 0U;
        EXPECT_NEAR(*fix.depthM, 1200, 10) << "the vector's own depth";
    }
    std::ranges::sort(errors);
    EXPECT_LT(errors[errors.size() / 2], 1.8) << "a single fix is 4.2 m off in the middle";
    EXPECT_LT(errors.back(), 9);
    EXPECT_GE(static_cast<double>(inside) / static_cast<double>(errors.size()), 0.92);
    expectTablesFitTheLedger();
}

TEST_F(ShipAndVehicle, ThePositionsOfTheShipAreNotTheVehicles)
{
    takeShip(shipNmea());
    const auto track = diveTrack(file().db(), 1, FixMethod::Smooth);
    ASSERT_OK(track);
    EXPECT_EQ(track->report().records, 0u);
    EXPECT_EQ(track->at(second(100)).flag, FixFlag::NoFix);
    const auto found = diveLatitude(file().db(), 1);
    ASSERT_OK(found);
    EXPECT_NEAR(found->value_or(0), latitude, 0.01) << "good enough for the depth by pressure";
}

TEST_F(ShipAndVehicle, WithoutTheShipsLogItIsSaidWhyThereIsNoFix)
{
    takeAcoustics();
    const auto track = diveTrack(file().db(), 1, FixMethod::Smooth);
    ASSERT_OK(track);
    EXPECT_EQ(track->at(second(100)).flag, FixFlag::NoFix);
    ASSERT_GE(track->report().sentences.size(), 2);
    EXPECT_TRUE(track->report().sentences.first().contains(s("no position of the ship")))
        << track->report().sentences.join('\n').toStdString();
}

TEST_F(ShipAndVehicle, ACorrectedShipLogMovesTheFixesAndTheProvenanceNamesBothLogs)
{
    takeShip(shipNmea(0, 1000));
    takeAcoustics();
    ASSERT_OK(sample(s("B2"), s("coral")));
    const auto half = diveTrack(file().db(), 1, FixMethod::Smooth);
    ASSERT_OK(half);
    EXPECT_EQ(half->at(second(3000)).flag, FixFlag::NoFix);
    write(path(s("better.nmea")), shipNmea());
    const auto profile = feedProfile(s("ship-nmea"));
    ASSERT_OK(profile);
    ASSERT_OK(takeInCorrectedLog(file(), act(), 1, path(s("better.nmea")), *profile, s("ship.nmea")));
    const auto whole = diveTrack(file().db(), 1, FixMethod::Smooth);
    ASSERT_OK(whole);
    EXPECT_TRUE(whole->at(second(3000)).latitudeDeg);
    const auto computed = computeValues(file().db(), 1);
    ASSERT_OK(computed);
    QStringList kinds;
    for (const QJsonValue log : computed->provenance.value(s("logs")).toArray())
        kinds << log.toObject().value(s("kind")).toString();
    kinds.sort();
    EXPECT_EQ(kinds, QStringList({s("acoustic"), s("ship")}));
}

TEST_F(ShipAndVehicle, EachLogHasTheDeviationOfItsOwnProfile)
{
    // 0.5 and 2 % of a slant range of about 1000 m.
    const QByteArray given = "\"sigma_percent_of_slant_range\": 0.5";
    auto fine = feedProfile(s("position-csv"));
    ASSERT_OK(fine);
    ASSERT_TRUE(fine->json.contains(given));
    QByteArray json = fine->json;
    const auto coarse =
        parseFeedProfile(json.replace(given, "\"sigma_percent_of_slant_range\": 2"), s("coarse"));
    ASSERT_OK(coarse);
    const QByteArray header = "time_utc,latitude_deg,longitude_deg,depth_m\n";
    const QByteArray rows[] = {"2026-03-12T09:00:00.000Z,-31.0,179.9995,1000\n",
                               "2026-03-12T09:00:10.000Z,-31.0,179.9995,1000\n"};
    ASSERT_OK(takeInBytes(file(), act(), 1, header + rows[0], s("fine.csv"), *fine, {}));
    ASSERT_OK(takeInBytes(file(), act(), 1, header + rows[1], s("coarse.csv"), *coarse, {}));
    TrackInputs inputs;
    ASSERT_OK(readVehiclePositions(file().db(), 1, inputs, {}));
    ASSERT_EQ(inputs.positions.size(), 2u);
    EXPECT_DOUBLE_EQ(inputs.positions[0].sigmaM.value_or(0), 5);
    EXPECT_DOUBLE_EQ(inputs.positions[1].sigmaM.value_or(0), 20);
}
