// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/readiness.h"

#include "dive/ready_words.h"

#include "support/a_cruise.h"
#include "support/old_schema.h"

#include <QFile>

using namespace holdfast;
using test::at;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

class Readying : public test::WithCruise
{
protected:
    ReadyPoint box(const char *title) { return {readyItemBox(), s(title)}; }
    Result<LoggedSample> under(const char *permit, const char *slot, int count)
    {
        SampleDetails d;
        d.slot = s(slot);
        d.kind = s("coral");
        d.count = count;
        d.permit = s(permit);
        const Act a = act();
        return stampSample(file(), a, 1, a.now, d, m_kinds);
    }
    int takenOf(const char *taxon)
    {
        const auto permits = readPermits(file().db());
        for (const PermitLimit &p : permits.value_or(std::vector<PermitLimit>())) {
            if (p.taxon == s(taxon))
                return p.taken;
        }
        return -1;
    }
};

} // namespace

TEST_F(Readying, ABoxIsEmptyAndCleanByTheNameOfWhoLooked)
{
    ASSERT_OK(checkReady(file(), act(), 1, box("Port bioboxes"), true));
    const auto checks = readReadyChecks(file().db(), 1);
    ASSERT_OK(checks);
    ASSERT_EQ(checks->size(), 1u);
    EXPECT_TRUE(checks->at(box("Port bioboxes")).inOrder);
    EXPECT_EQ(checks->at(box("Port bioboxes")).by, s("Mara"));
    expectTablesFitTheLedger();
}

TEST_F(Readying, ABoxThatIsNotThereOrAWrongPointIsRefusedInWords)
{
    const auto noBox = checkReady(file(), act(), 1, box("Deck freezer"), true);
    ASSERT_FALSE(noBox);
    EXPECT_EQ(noBox.error().kind, ErrorKind::NotFound);
    EXPECT_TRUE(noBox.error().sentence.contains(s("Push cores"))) << noBox.error().sentence.toStdString();
    EXPECT_FALSE(checkReady(file(), act(), 1, {s("weather"), {}}, true));
    EXPECT_FALSE(checkReady(file(), act(), 7, box("Push cores"), true));
}

TEST_F(Readying, AFaultNeedsItsNoteAndACheckCanBeTakenBack)
{
    const auto silent = checkReady(file(), act(), 1, box("Push cores"), false);
    ASSERT_FALSE(silent);
    EXPECT_EQ(silent.error().kind, ErrorKind::Usage);
    ASSERT_OK(checkReady(file(), act(), 1, box("Push cores"), false, {}, s("mud left in C3")));
    EXPECT_FALSE(readReadyChecks(file().db(), 1)->at(box("Push cores")).inOrder);
    ASSERT_OK(checkReady(file(), act(), 1, box("Push cores"), true, {}, s("rinsed")));
    EXPECT_TRUE(readReadyChecks(file().db(), 1)->at(box("Push cores")).inOrder);
    ASSERT_OK(withdrawReady(file(), act(), 1, box("Push cores")));
    EXPECT_TRUE(readReadyChecks(file().db(), 1)->empty());
    EXPECT_FALSE(withdrawReady(file(), act(), 1, box("Push cores")));
    expectTablesFitTheLedger();
}

TEST_F(Readying, TheLogIsHandedOverByName)
{
    ASSERT_OK(changeWatch(file(), act(), 1, s("Log"), s("Mara")));
    ASSERT_OK(changeWatch(file(), act(), 1, s("pilot"), s("Tomas")));
    ASSERT_OK(changeWatch(file(), act(), 1, s("log"), s("Ana")));
    const auto again = changeWatch(file(), act(), 1, s("log"), s("Ana"));
    ASSERT_FALSE(again);
    EXPECT_EQ(again.error().kind, ErrorKind::Refused);
    const auto watch = readWatch(file().db(), 1);
    ASSERT_OK(watch);
    ASSERT_EQ(watch->size(), 2u);
    EXPECT_EQ(watch->at(0).role, s("log"));
    EXPECT_EQ(watch->at(0).person, s("Ana"));
    QStringList handed;
    ASSERT_OK(forEachEntry(file().db(), [&](const Entry &e) -> Done {
        if (e.verb == s("watch changed"))
            handed << e.bodyObject().value(s("from")).toString() + s(">") +
                          e.bodyObject().value(s("to")).toString();
        return {};
    }));
    EXPECT_EQ(handed, QStringList({s(">Mara"), s(">Tomas"), s("Mara>Ana")}));
    ASSERT_OK(changeWatch(file(), act(), 1, s("pilot"), {}));
    EXPECT_EQ(readWatch(file().db(), 1)->size(), 1u);
    expectTablesFitTheLedger();
}

TEST_F(Readying, TheWatchIsInOrderAndWhoSaysSoLogs)
{
    ASSERT_OK(changeWatch(file(), act(), 1, s("log"), s("Ana")));
    ASSERT_OK(checkWatchAndLog(file(), act(), 1));
    EXPECT_EQ(readWatch(file().db(), 1)->front().person, s("Mara"));
    EXPECT_TRUE(readReadyChecks(file().db(), 1)->at({s("watch"), {}}).inOrder);
    const qint64 before = entries();
    EXPECT_FALSE(checkWatchAndLog(file(), act(), 1)) << "Mara has the log already";
    EXPECT_EQ(entries(), before);
    expectTablesFitTheLedger();
}

TEST_F(Readying, APermitCountsIndividualsOfTheWholeCruiseButNotVoidOnes)
{
    ASSERT_OK(limitPermit(file(), act(), s("Stony"), 5, s("permit 26/17 (invented)")));
    ASSERT_OK(under("stony", "B1", 3));
    const auto second = under("STONY", "B2", 1);
    ASSERT_OK(second);
    EXPECT_EQ(takenOf("Stony"), 4);
    ASSERT_OK(setSampleState(file(), act(), second->id, s("lost"), s("spilled")));
    EXPECT_EQ(takenOf("Stony"), 4) << "what was lost was taken";
    ASSERT_OK(setSampleState(file(), act(), second->id, s("void"), s("never there")));
    EXPECT_EQ(takenOf("Stony"), 3);
    expectTablesFitTheLedger();
}

TEST_F(Readying, OverAPermitOrThePlanWarnsInTheRecordAndNeverBlocks)
{
    ASSERT_OK(limitPermit(file(), act(), s("stony"), 2));
    ASSERT_OK(wantItem(file(), act(), 1, s("Coral"), 1, 3));
    const auto within = under("stony", "B1", 2);
    ASSERT_OK(within);
    EXPECT_TRUE(within->warnings.isEmpty());
    const auto over = under("stony", "B2", 2);
    ASSERT_OK(over);
    ASSERT_EQ(over->warnings.size(), 2);
    EXPECT_TRUE(over->warnings[0].contains(s("4 of at most 2 stony"))) << over->warnings[0].toStdString();
    EXPECT_TRUE(over->warnings[1].contains(s("4 of at most 3 coral"))) << over->warnings[1].toStdString();
    EXPECT_EQ(readSample(file().db(), over->id)->warnings, over->warnings);
    expectTablesFitTheLedger();
}

TEST_F(Readying, ThePlanCountsAKindOrAFamilyForADiveOrTheCruise)
{
    ASSERT_OK(wantItem(file(), act(), 1, s("basalt"), 2, 4));
    ASSERT_OK(wantItem(file(), act(), 0, s("rock"), 10, {}));
    ASSERT_OK(sample(s("R1"), s("basalt"), 3));
    const auto wanted = readWanted(file().db(), 1);
    ASSERT_OK(wanted);
    ASSERT_EQ(wanted->size(), 2u);
    EXPECT_EQ(wanted->at(0).kind, s("basalt"));
    EXPECT_EQ(wanted->at(0).taken, 3);
    EXPECT_TRUE(wanted->at(0).enough());
    EXPECT_EQ(wanted->at(1).taken, 3);
    EXPECT_FALSE(wanted->at(1).enough());
    EXPECT_EQ(readWanted(file().db(), 2)->size(), 1u);
    EXPECT_FALSE(wantItem(file(), act(), 1, s("mud"), 4, 2));
    ASSERT_OK(dropItem(file(), act(), 1, s("basalt")));
    EXPECT_FALSE(dropItem(file(), act(), 1, s("basalt")));
    EXPECT_EQ(readWanted(file().db(), 1)->size(), 1u);
    expectTablesFitTheLedger();
}

TEST_F(Readying, APlanCountsByTheSameLettersAsItWarns)
{
    SampleDetails d;
    d.slot = s("B1");
    d.kind = s("Ørred"); // capital and small O with a stroke are one letter
    ASSERT_OK(wantItem(file(), act(), 1, s("ørred"), 1, 1));
    const Act a = act();
    ASSERT_OK(stampSample(file(), a, 1, a.now, d, m_kinds));
    const auto wanted = readWanted(file().db(), 1);
    ASSERT_OK(wanted);
    ASSERT_EQ(wanted->size(), 1u);
    EXPECT_EQ(wanted->front().taken, 1);
    d.slot = s("B2");
    const Act b = act();
    const auto second = stampSample(file(), b, 1, b.now, d, m_kinds);
    ASSERT_OK(second);
    EXPECT_TRUE(second->warnings.join(QLatin1Char(' ')).contains(s("over the plan"))) << "2 of at most 1";
    expectTablesFitTheLedger();
}

TEST_F(Readying, ALimitCanBeTakenOffAndANumberOutOfRangeIsRefused)
{
    ASSERT_OK(limitPermit(file(), act(), s("stony"), 5));
    EXPECT_FALSE(limitPermit(file(), act(), s("stony"), -1));
    EXPECT_FALSE(limitPermit(file(), act(), {}, 3));
    ASSERT_OK(limitPermit(file(), act(), s("STONY"), {}));
    EXPECT_TRUE(readPermits(file().db())->empty());
    EXPECT_FALSE(limitPermit(file(), act(), s("stony"), {}));
    expectTablesFitTheLedger();
}

TEST_F(Readying, TheChecklistSaysWhatIsOpenInOrderAndInDoubt)
{
    const std::map<ReadyPoint, ReadyCheck> checks{
        {box("Push cores"), {true, {}, {}, s("Ana"), at("2026-03-12T07:05:00Z")}},
        {{s("watch"), {}}, {true, {}, {}, s("Ana"), at("2026-03-12T07:06:00Z")}},
        {{s("permits"), {}}, {true, {}, {}, s("Ana"), at("2026-03-12T07:07:00Z")}}};
    const auto lines = readyLines({{s("Push cores"), s("Rock box")},
                                   checks,
                                   {{s("pilot"), s("Tomas"), {}}},
                                   {{s("stony"), 2, {}, 2}},
                                   {}});
    ASSERT_EQ(lines.size(), 7u);
    using State = ReadyLine::State;
    EXPECT_EQ(lines[0].state, State::InOrder);
    EXPECT_TRUE(lines[0].words.contains(s("Ana, 07:05 UTC"))) << lines[0].words.toStdString();
    EXPECT_EQ(lines[1].state, State::Open);
    EXPECT_EQ(lines[2].point.item, s("feeds"));
    EXPECT_EQ(lines[4].state, State::Doubt) << "nobody logs";
    EXPECT_EQ(lines[5].state, State::Doubt) << "nothing is left of a permit";
    EXPECT_EQ(readyAnswer(lines), s("4 points are left, 2 are not in order"));
    EXPECT_TRUE(lines[5].words.contains(s("stony 0 left of 2"))) << lines[5].words.toStdString();
}

TEST_F(Readying, LinesOfPlanPermitAndWatchAreReadAsTyped)
{
    const auto range = parseWanted(s("soft coral 2-6"));
    ASSERT_OK(range);
    EXPECT_EQ(range->kind, s("soft coral"));
    EXPECT_EQ(range->least, 2);
    EXPECT_EQ(range->most, 6);
    EXPECT_FALSE(range->wholeCruise);
    const auto least = parseWanted(s("3 mud cruise"));
    ASSERT_OK(least);
    EXPECT_EQ(least->kind, s("mud"));
    EXPECT_EQ(least->least, 3);
    EXPECT_FALSE(least->most);
    EXPECT_TRUE(least->wholeCruise);
    for (const char *bad : {"", "coral", "2-6", "coral 6-2", "coral 2 3"})
        EXPECT_FALSE(parseWanted(s(bad))) << bad;
    const auto permit = parsePermit(s("stony 10 permit 26/17"));
    ASSERT_OK(permit);
    EXPECT_EQ(permit->taxon, s("stony"));
    EXPECT_EQ(permit->most, 10);
    EXPECT_EQ(permit->title, s("permit 26/17"));
    for (const char *bad : {"", "stony", "10", "stony many"})
        EXPECT_FALSE(parsePermit(s(bad))) << bad;
    EXPECT_FALSE(parsePermit(s("stony off"))->most);
    EXPECT_TRUE(parseWanted(s("mud off cruise"))->off);
    const auto post = parseWatch(s("pilot Tomas B"));
    ASSERT_OK(post);
    EXPECT_EQ(post->role, s("pilot"));
    EXPECT_EQ(post->person, s("Tomas B"));
    EXPECT_FALSE(parseWatch(s("pilot")));
}

TEST_F(Readying, AFileOfTheEarlierSchemaIsUpgradedAndKeepsEverything)
{
    ASSERT_OK(sample(s("B2"), s("coral")));
    const qint64 before = entries();
    int earlier = 0; // the schema before that of readying
    for (const SchemaStep &step : schemaSteps()) {
        if (s(step.why).startsWith(s("readying")))
            earlier = step.to - 1;
    }
    ASSERT_GT(earlier, 2);
    test::dropTablesOfStepsAfter(file().db().connection(), earlier);
    ASSERT_OK(execSql(file().db().connection(), s("PRAGMA user_version=%1").arg(earlier)));
    m_file.reset();
    auto again = CruiseFile::open(m_path, Database::Access::ReadWrite, rules());
    ASSERT_OK(again);
    m_file.emplace(std::move(*again));
    EXPECT_TRUE(QFile::exists(m_path + s(".before-schema-%1").arg(earlier + 1))) << "a copy is kept";
    EXPECT_EQ(entries(), before);
    ASSERT_EQ(readSamples(file().db(), 1)->size(), 1u);
    ASSERT_OK(checkReady(file(), act(), 1, box("Push cores"), true));
    expectTablesFitTheLedger();
}

TEST_F(Readying, APermitIsMeantByItsTaxonOrItsNumberAndAnUnknownWordIsTold)
{
    ASSERT_OK(limitPermit(file(), act(), s("stony"), 5, s("INV-17")));
    const auto byNumber = under("inv-17", "B1", 3);
    ASSERT_OK(byNumber);
    EXPECT_TRUE(byNumber->warnings.isEmpty()) << byNumber->warnings.join(s("; ")).toStdString();
    EXPECT_EQ(takenOf("stony"), 3);
    const auto typo = under("stoney", "B2", 1);
    ASSERT_OK(typo);
    ASSERT_EQ(typo->warnings.size(), 1);
    EXPECT_TRUE(typo->warnings.front().contains(s("no limit is set for permit \"stoney\"")));
    EXPECT_EQ(takenOf("stony"), 3);
}

TEST_F(Readying, AnAmendedSampleIsComparedWithPermitAndPlanAgain)
{
    ASSERT_OK(limitPermit(file(), act(), s("stony"), 10));
    ASSERT_OK(wantItem(file(), act(), 1, s("coral"), 1, 20));
    const auto logged = under("stony", "B1", 2);
    ASSERT_OK(logged);
    const auto amended = [&](const char *field, const char *value) {
        EXPECT_TRUE(
            amendSample(file(), act(), logged->id, {{s(field), s(value)}}, s("counted again"), m_kinds));
        return readSample(file().db(), logged->id)->warnings;
    };
    QStringList now = amended("count", "62");
    ASSERT_EQ(now.size(), 2) << now.join(s("; ")).toStdString();
    EXPECT_TRUE(now[0].contains(s("62 of at most 10 stony"))) << now[0].toStdString();
    EXPECT_TRUE(now[1].contains(s("62 of at most 20 coral"))) << now[1].toStdString();
    EXPECT_EQ(amended("description", "branched").size(), 2) << "what has not changed stays";
    now = amended("permit", "ston");
    ASSERT_EQ(now.size(), 2);
    EXPECT_TRUE(now[0].startsWith(s("no limit is set"))) << now[0].toStdString();
    EXPECT_EQ(amended("count", "3").size(), 1);
    EXPECT_TRUE(amended("permit", "Stony").isEmpty());
    expectTablesFitTheLedger();
}
