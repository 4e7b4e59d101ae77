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

TEST_F(LogUse, OneVersionOfALogIsInUseWhicheverIsPutBack)
{
    ASSERT_OK(take("a.csv", first));
    ASSERT_OK(take("b.csv", second, s("a.csv")));
    QByteArray other = second;
    ASSERT_OK(take("c.csv", other.replace("-19.53", "-19.63"), s("b.csv")));
    const auto used = [this] {
        QStringList names;
        for (const char *name : {"a.csv", "b.csv", "c.csv"}) {
            if (inUse(name))
                names << s(name);
        }
        return names.join(QLatin1Char(' ')).toStdString();
    };
    EXPECT_EQ(used(), "c.csv");
    // Over two steps, back over one, and to the last again: by what the entries say, not by what was put out.
    for (const char *name : {"a.csv", "b.csv", "a.csv", "c.csv"}) {
        ASSERT_OK(setLogUse(file(), act(), 1, s(name), true, s("this is the right one")));
        EXPECT_EQ(used(), name);
    }
    const auto corrected = correctedLogs(file().db(), 1);
    ASSERT_OK(corrected);
    EXPECT_TRUE(corrected->isEmpty()) << "they are out of use, but no log was taken in in their place since";
    ASSERT_OK(rebuildTables(file()));
    EXPECT_EQ(used(), "c.csv");
    expectTablesFitTheLedger();
}
