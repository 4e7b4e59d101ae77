// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive_picture.h"

#include "a_van.h"
#include "dive/log_intake.h"

#include <gtest/gtest.h>

namespace holdfast::test
{
namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

/// An hour on the way down, a position every ten seconds along a meridian.
QByteArray positions()
{
    QByteArray text = "time_utc,latitude_deg,longitude_deg,depth_m\n";
    for (int i = 0; i < 360; ++i)
        text += QStringLiteral("2026-03-12T%1:%2:%3.000Z,%4,-173.2000000,%5\n")
                    .arg(9 + i / 360, 2, 10, QLatin1Char('0'))
                    .arg(i / 6 % 60, 2, 10, QLatin1Char('0'))
                    .arg(i % 6 * 10, 2, 10, QLatin1Char('0'))
                    .arg(-21 + i * 1e-5, 0, 'f', 7)
                    .arg(100 + i * 0.5, 0, 'f', 1)
                    .toUtf8();
    return text;
}

class PictureDeskTest : public testing::Test
{
protected:
    void SetUp() override
    {
        const QString log = m_van.folder() + s("/position.csv");
        QFile out(log);
        ASSERT_TRUE(out.open(QIODevice::WriteOnly));
        out.write(positions());
        out.close();
        auto file = CruiseFile::open(m_van.path(), Database::Access::ReadWrite, allVerbRules());
        ASSERT_TRUE(file);
        const auto profile = loadFeedProfile(s("position-csv"), {*templateFolder() + s("/feeds")});
        ASSERT_TRUE(profile) << profile.error().sentence.toStdString();
        const Act act{s("Mara"), *parseIsoUtc("2026-03-12T12:00:00Z")};
        const auto taken = takeInLog(*file, act, 1, log, *profile);
        ASSERT_TRUE(taken) << taken.error().sentence.toStdString();
        SampleDetails d;
        d.slot = s("B1");
        d.kind = s("coral");
        ASSERT_TRUE(stampSample(*file, act, 1, *parseIsoUtc("2026-03-12T09:30:05Z"), d, *KindTable::load()));
        m_van.open();
        ASSERT_TRUE(QTest::qWaitFor([&] { return !pictures().depth().empty(); }));
    }
    PictureDesk &pictures() { return m_van.work.pictures; }
    Van m_van;
};

TEST_F(PictureDeskTest, ShowsWhatTheFileHoldsOfTheDiveBeforeTheWindowWasOpened)
{
    const auto depth = pictures().depth();
    EXPECT_GT(depth.size(), 100u);
    EXPECT_EQ(pictures().from(), depth.front().time);
    EXPECT_NEAR(depth.back().value, 279, 5);
    const auto map = pictures().track();
    EXPECT_GT(map.track.size(), 100u);
    ASSERT_EQ(map.samples.size(), 1u);
    EXPECT_EQ(map.samples[0].label, s("001"));
    EXPECT_NEAR(map.samples[0].latitudeDeg, -21 + 180.5e-5, 2e-5);
    EXPECT_TRUE(map.samples[0].uncertainty95M);
}

TEST_F(PictureDeskTest, AReplayShowsNothingOfWhatIsStillToCome)
{
    m_van.work.feeds.replayDive(1, s("2026-03-12T09:20:00Z"));
    const auto depth = pictures().depth();
    ASSERT_FALSE(depth.empty());
    EXPECT_LE(depth.back().time, m_van.work.feeds.now());
    EXPECT_GT(depth.back().time, *parseIsoUtc("2026-03-12T09:19:00Z"))
        << "but all that was before its beginning";
    EXPECT_TRUE(pictures().track().samples.empty());
}

TEST(PagePicture, BlackBecomesTheInkAndWhiteTheGround)
{
    const std::vector<PageMark> marks{BoxMark{.rectMm = QRectF(2, 2, 6, 6), .lineMm = 0, .grey = 0}};
    const QImage picture = pagePicture(marks, QSize(50, 50), 5, QColor(200, 100, 50), QColor(20, 10, 5));
    EXPECT_EQ(picture.pixelColor(25, 25), QColor(200, 100, 50));
    EXPECT_EQ(picture.pixelColor(2, 2), QColor(20, 10, 5));
}

} // namespace
} // namespace holdfast::test
