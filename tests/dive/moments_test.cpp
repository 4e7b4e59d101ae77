// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/moments.h"

#include "support/a_cruise.h"

using namespace holdfast;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

class Moments : public test::WithCruise
{
protected:
    /// Dive 1 from 09:00 to 15:00, with its clock at 20:00.
    void aDive()
    {
        m_now = test::at("2026-03-12T08:55:00Z");
        reach(Phase::Launched, "2026-03-12T09:00:00Z");
        reach(Phase::OnBottom, "2026-03-12T10:00:00Z");
    }
    void reach(Phase phase, const char *iso)
    {
        m_now = test::at(iso);
        ASSERT_OK(reachPhase(file(), act(), 1, phase, test::at(iso)));
    }
    Result<LoggedSample> sampleAt(const char *iso)
    {
        SampleDetails d;
        d.kind = s("octocoral");
        return stampSample(file(), act(), 1, test::at(iso), d, m_kinds);
    }
    SampleInfo read(const QString &id) { return readSample(file().db(), id).value_or(SampleInfo()); }
    DiveInfo dive() { return readDive(file().db(), 1).value_or(DiveInfo()); }
};

} // namespace

TEST_F(Moments, AStampsTimeIsCorrectedWithAReasonAndTheEarlierOneStays)
{
    aDive();
    m_now = test::at("2026-03-12T12:00:00Z");
    const auto logged = sampleAt("2026-03-12T11:15:00Z");
    ASSERT_OK(logged);
    reach(Phase::OffBottom, "2026-03-12T14:00:00Z");
    reach(Phase::OnDeck, "2026-03-12T15:00:00Z");
    const QString stamp = read(logged->id).stamp;
    const UtcTime right = test::at("2026-03-12T10:15:00Z");
    EXPECT_FALSE(correctStampTime(file(), act(), stamp, right, s(" "))) << "no reason";
    ASSERT_OK(correctStampTime(file(), act(), stamp, right, s("typed 11 for 10")));
    EXPECT_EQ(read(logged->id).time, right);
    EXPECT_EQ(readStamp(file().db(), stamp)->time, right);
    const auto amendments = readAmendments(file().db(), 1);
    ASSERT_OK(amendments);
    ASSERT_EQ(amendments->size(), 1u);
    EXPECT_EQ(amendments->front().field, s("time"));
    EXPECT_EQ(amendments->front().oldValue, s("2026-03-12T11:15:00.000000Z"));
    EXPECT_EQ(amendments->front().reason, s("typed 11 for 10"));
    const qint64 before = entries();
    ASSERT_OK(correctStampTime(file(), act(), stamp, right, s("again")));
    EXPECT_EQ(entries(), before) << "nothing is written when it is the same";
    expectTablesFitTheLedger();
}

TEST_F(Moments, ACorrectedTimeLiesInTheDiveAndInThePast)
{
    aDive();
    m_now = test::at("2026-03-12T12:00:00Z");
    const auto logged = sampleAt("2026-03-12T11:15:00Z");
    ASSERT_OK(logged);
    const QString stamp = read(logged->id).stamp;
    for (const char *wrong : {"2050-01-01T00:00:00Z", "2026-03-12T08:59:59Z", "1926-03-12T11:15:00Z"}) {
        const auto done = correctStampTime(file(), act(), stamp, test::at(wrong), s("why"));
        ASSERT_FALSE(done) << wrong;
        EXPECT_EQ(done.error().kind, ErrorKind::Refused);
    }
    reach(Phase::OnDeck, "2026-03-12T15:00:00Z");
    m_now = test::at("2026-03-12T20:00:00Z");
    EXPECT_FALSE(correctStampTime(file(), act(), stamp, test::at("2026-03-12T15:00:01Z"), s("why")));
}

TEST_F(Moments, APhaseIsCorrectedAlsoAfterTheDiveWasClosed)
{
    aDive();
    reach(Phase::OnDeck, "2026-03-12T15:00:00Z");
    ASSERT_OK(file().write([&]() -> Done {
        const auto entry = file().record(act(), s("dive closed"), {{s("dive"), 1}});
        return entry ? Done() : Done(entry.error());
    }));
    EXPECT_FALSE(reachPhase(file(), act(), 1, Phase::OnDeck, test::at("2026-03-12T14:30:00Z")));
    ASSERT_OK(correctPhase(file(), act(), 1, Phase::OnDeck, test::at("2026-03-12T14:30:00Z"),
                           s("log of the deck")));
    EXPECT_EQ(dive().onDeck, test::at("2026-03-12T14:30:00Z"));
    ASSERT_OK(correctPhase(file(), act(), 1, Phase::OffBottom, test::at("2026-03-12T13:30:00Z"),
                           s("nobody had said it")));
    EXPECT_EQ(dive().offBottom, test::at("2026-03-12T13:30:00Z"));
    EXPECT_FALSE(correctPhase(file(), act(), 1, Phase::OffBottom, test::at("2026-03-12T14:31:00Z"), s("why")))
        << "after it was on deck";
    EXPECT_FALSE(correctPhase(file(), act(), 1, Phase::OnDeck, test::at("2050-03-12T14:31:00Z"), s("why")));
    EXPECT_FALSE(correctPhase(file(), act(), 1, Phase::OnDeck, test::at("2026-03-12T14:31:00Z"), {}));
    expectTablesFitTheLedger();
}

TEST_F(Moments, ATimeFarFromTheClockOrTheDiveIsTold)
{
    aDive();
    m_now = test::at("2026-03-12T12:00:00Z");
    const auto future = sampleAt("2055-03-12T11:15:00Z");
    ASSERT_OK(future);
    ASSERT_EQ(future->warnings.size(), 2) << future->warnings.join(s("; ")).toStdString();
    EXPECT_TRUE(future->warnings.at(0).contains(s("after the clock")))
        << future->warnings.at(0).toStdString();
    EXPECT_TRUE(future->warnings.at(1).contains(s("from everything else")));
    const auto near = sampleAt("2026-03-12T11:15:00Z");
    ASSERT_OK(near);
    EXPECT_TRUE(near->warnings.isEmpty()) << near->warnings.join(s("; ")).toStdString();
    // The slip is mended, and what was told of it is no longer said.
    ASSERT_OK(correctStampTime(file(), act(), read(future->id).stamp, test::at("2026-03-12T11:20:00Z"),
                               s("a slip")));
    EXPECT_TRUE(read(future->id).warnings.isEmpty());
    expectTablesFitTheLedger();
}

TEST_F(Moments, APhaseFarFromTheClockOrTheDiveIsRefused)
{
    m_now = test::at("2026-03-12T08:55:00Z");
    const auto wrong = reachPhase(file(), act(), 1, Phase::Launched, test::at("2055-03-12T09:00:00Z"));
    ASSERT_FALSE(wrong);
    EXPECT_EQ(wrong.error().kind, ErrorKind::Refused);
    aDive();
    EXPECT_FALSE(reachPhase(file(), act(), 1, Phase::Launched, test::at("1926-03-12T09:00:00Z")));
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::Launched, test::at("2026-03-12T09:01:00Z")));
}
