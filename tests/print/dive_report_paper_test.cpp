// SPDX-License-Identifier: GPL-3.0-or-later
// What the report takes from a cruise file.
#include "print/dive_report_paper.h"

#include "custody/tally.h"
#include "dive/log_intake.h"
#include "dive/log_use.h"
#include "dive/readiness.h"
#include "dive/refix.h"
#include "print/dive_courses.h"
#include "support/a_cruise.h"

using namespace holdfast;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

class ReportOfACruise : public test::WithCruise
{
    VerbRules rules() const override { return allVerbRules(); }

protected:
    Result<TakenLog> take(const char *name, const char *profileName, const QByteArray &bytes,
                          const char *replaces = "")
    {
        const auto profile = feedProfile(s(profileName));
        if (!profile)
            return profile.error();
        return takeInBytes(file(), act(), 1, bytes, s(name), *profile, s(replaces));
    }
    /// Ten minutes at rest, a position each ten seconds.
    static QByteArray positions(double latitudeDeg)
    {
        QByteArray out = "time_utc,latitude_deg,longitude_deg,depth_m\n";
        for (int i = 0; i < 60; ++i)
            out += "2026-03-12T09:" + QByteArray::number(i / 6).rightJustified(2, '0') + ':' +
                   QByteArray::number(i % 6).append('0') + ".000Z," +
                   QByteArray::number(latitudeDeg + i * 1e-7, 'f', 7) + ",179.9990000,1000.0\n";
        return out;
    }
    static QByteArray ctd()
    {
        QByteArray out = "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar\n";
        for (int i = 0; i < 60; ++i)
            out += "2026-03-12T09:00:" + QByteArray::number(i).rightJustified(2, '0') + ".000Z,32.5," +
                   QByteArray::number(4 + i * 1e-3, 'f', 3) + ',' +
                   QByteArray::number(1000 + i * 0.1, 'f', 1) + '\n';
        return out;
    }
};

} // namespace

TEST_F(ReportOfACruise, AddsUpAPermitUnderItsTaxonAndUnderItsName)
{
    ASSERT_OK(take("p.csv", "position-csv", positions(-19.43)));
    ASSERT_OK(limitPermit(file(), act(), s("stony"), 10, s("P 26/17")));
    int slot = 0;
    for (const char *word : {"stony", "p 26/17", "Stony", "other"}) {
        SampleDetails d;
        d.slot = QStringLiteral("B%1").arg(++slot);
        d.kind = s("coral");
        d.count = 2;
        d.permit = s(word);
        const Act a = act();
        ASSERT_OK(stampSample(file(), a, 1, a.now, d, m_kinds));
    }
    const auto report = diveReport(file().db(), 1, s("Mara"), m_now);
    ASSERT_OK(report);
    ASSERT_EQ(report->permits.size(), 2u) << "one with a limit, one without";
    const PermitUse &limited = report->permits[0];
    EXPECT_EQ(limited.permit, s("P 26/17"));
    EXPECT_EQ(limited.taken, 6);
    EXPECT_TRUE(limited.covers.contains(s("on this dive 6"))) << limited.covers.toStdString();
    EXPECT_EQ(report->permits[1].permit, s("other"));
    EXPECT_EQ(report->permits[1].taken, 2);
}

TEST_F(ReportOfACruise, TellsALogThatWasCorrectedFromOneThatIsMerelyOutOfUse)
{
    ASSERT_OK(take("a.csv", "position-csv", positions(-19.43)));
    ASSERT_OK(take("b.csv", "position-csv", positions(-19.53), "a.csv"));
    ASSERT_OK(take("c.csv", "position-csv", positions(-19.63)));
    ASSERT_OK(setLogUse(file(), act(), 1, s("c.csv"), false, s("of another dive")));
    const auto report = diveReport(file().db(), 1, s("Mara"), m_now);
    ASSERT_OK(report);
    const auto remark = [&](const char *name) {
        for (const FeedQuality &feed : report->feeds) {
            if (feed.source.startsWith(s(name)))
                return feed.remark;
        }
        return s("none");
    };
    EXPECT_EQ(remark("a.csv"), s("a corrected log has taken its place"));
    EXPECT_EQ(remark("b.csv"), QString());
    EXPECT_EQ(remark("c.csv"), s("out of use"));
}

TEST_F(ReportOfACruise, DrawsTheWaterByTheVehiclesClock)
{
    ASSERT_OK(take("p.csv", "position-csv", positions(-19.43)));
    ASSERT_OK(take("c.csv", "ctd-csv", ctd()));
    const auto before = diveCourses(file().db(), 1, 600);
    ASSERT_OK(before);
    ASSERT_FALSE(before->water.empty());
    const auto key = whatCoursesDependOn(file().db(), 1);
    ASSERT_OK(key);
    // The CTD's clock is 40 s ahead: what it logged at 09:00:40 was at 09:00:00.
    ASSERT_OK(applyClockOffset(file(), act(), 1, std::chrono::seconds(40), s("set by hand")));
    const auto after = diveCourses(file().db(), 1, 600);
    ASSERT_OK(after);
    EXPECT_EQ(after->water.front().points.front().time,
              before->water.front().points.front().time - std::chrono::seconds(40));
    EXPECT_EQ(after->depth.front().time, before->depth.front().time - std::chrono::seconds(40));
    const auto keyAfter = whatCoursesDependOn(file().db(), 1);
    ASSERT_OK(keyAfter);
    EXPECT_NE(*keyAfter, *key) << "a picture that was kept is drawn again";
    expectTablesFitTheLedger();
}
