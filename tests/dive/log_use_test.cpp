// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/log_use.h"

#include "dive/log_intake.h"
#include "support/a_cruise.h"

using namespace holdfast;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

const QByteArray first = "time_utc,latitude_deg,longitude_deg,depth_m,heading_deg\n"
                         "2026-03-12T09:00:00.000Z,-19.4300000,179.9990000,1000.0,12.0\n"
                         "2026-03-12T09:00:02.000Z,-19.4300100,179.9990100,1000.5,12.1\n";
const QByteArray second = "time_utc,latitude_deg,longitude_deg,depth_m,heading_deg\n"
                          "2026-03-12T09:00:00.000Z,-19.5300000,179.9990000,1000.0,12.0\n"
                          "2026-03-12T09:00:02.000Z,-19.5300100,179.9990100,1000.5,12.1\n";

class LogUse : public test::WithCruise
{
protected:
    Result<TakenLog> take(const char *name, const QByteArray &bytes, const QString &replaces = {})
    {
        const auto profile = feedProfile(s("position-csv"));
        if (!profile)
            return profile.error();
        return takeInBytes(file(), act(), 1, bytes, s(name), *profile, replaces);
    }
    /// Latitudes of the positions that are used, the first of each log.
    std::vector<double> used()
    {
        std::vector<double> all;
        for (const PositionRecord &p :
             SensorLogReader(file().db().connection()).positions(1).value_or(std::vector<PositionRecord>()))
            all.push_back(p.latitudeDeg);
        return all;
    }
    bool inUse(const char *name)
    {
        for (const IntakeInfo &log : readIntakes(file().db(), 1).value_or(std::vector<IntakeInfo>())) {
            if (log.fileName == s(name))
                return !log.replaced;
        }
        ADD_FAILURE() << name;
        return false;
    }
};

} // namespace

TEST_F(LogUse, ALogOfTheWrongDiveIsTakenOutOfUseAndStays)
{
    ASSERT_OK(take("a.csv", first));
    ASSERT_EQ(used().size(), 2u);
    EXPECT_FALSE(setLogUse(file(), act(), 1, s("a.csv"), false, s(" "))) << "no reason";
    EXPECT_FALSE(setLogUse(file(), act(), 1, s("b.csv"), false, s("why")));
    ASSERT_OK(setLogUse(file(), act(), 1, s("a.csv"), false, s("it is of dive 2")));
    EXPECT_TRUE(used().empty());
    EXPECT_FALSE(inUse("a.csv"));
    EXPECT_FALSE(setLogUse(file(), act(), 1, s("a.csv"), false, s("again")));
    const auto again = take("a.csv", first);
    ASSERT_FALSE(again);
    EXPECT_TRUE(again.error().sentence.contains(s("put it back"))) << again.error().sentence.toStdString();
    ASSERT_OK(setLogUse(file(), act(), 1, s("a.csv"), true, s("it was of dive 1 after all")));
    EXPECT_EQ(used().size(), 2u);
    expectTablesFitTheLedger();
}

TEST_F(LogUse, AnEarlierLogIsPutBackInPlaceOfItsCorrection)
{
    ASSERT_OK(take("a.csv", first));
    ASSERT_OK(take("b.csv", second, s("a.csv")));
    ASSERT_FALSE(inUse("a.csv"));
    ASSERT_OK(setLogUse(file(), act(), 1, s("a.csv"), true, s("the correction was of another dive")));
    EXPECT_TRUE(inUse("a.csv"));
    EXPECT_FALSE(inUse("b.csv")) << "the two must not be used together";
    const auto positions = used();
    ASSERT_EQ(positions.size(), 2u);
    EXPECT_NEAR(positions.front(), -19.43, 1e-3);
    ASSERT_OK(rebuildTables(file()));
    EXPECT_TRUE(inUse("a.csv"));
    expectTablesFitTheLedger();
}
