// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/custody_sheet.h"

#include "base/ids.h"
#include "print/page_text.h"
#include "print/print_support.h"
#include "print/sample_papers.h"
#include "print/value_text.h"

#include <QDir>
#include <QRegularExpression>
#include <QTemporaryDir>
#include <gtest/gtest.h>

using namespace holdfast;
using namespace holdfast::testing;

namespace
{

SheetLayout layoutNamed(const char *name)
{
    auto layout = loadSheetLayout(templatesFolder(QStringLiteral("sheets")), QString::fromLatin1(name));
    EXPECT_TRUE(layout) << layout.error().sentence.toStdString();
    return layout.value_or(SheetLayout{});
}

CustodySample aSample(int number)
{
    return CustodySample{.id = QStringLiteral("TK26-04-%1").arg(number, 3, 10, QLatin1Char('0')),
                         .time = parseIsoUtc("2026-03-12T14:22:07.300Z"),
                         .slot = QStringLiteral("B2"),
                         .kind = QStringLiteral("coral"),
                         .description = QStringLiteral("white fan"),
                         .depthM = 1400.0 + number,
                         .temperatureDegC = 3.4124,
                         .salinity = 34.5605,
                         .oxygenUmolKg = 182.34,
                         .latitudeDeg = -21.0758683,
                         .longitudeDeg = -173.2147333,
                         .uncertainty95M = 9.4};
}

SlotPlanContent aPlan()
{
    SlotPlanContent plan;
    plan.boxes = {{.name = QStringLiteral("Port biobox"), .rect = QRectF(0, 0, 500, 400)},
                  {.name = QStringLiteral("Push cores"), .rect = QRectF(600, 0, 500, 200)}};
    plan.slotPictures = {{.code = QStringLiteral("B2"),
                          .stateWord = QStringLiteral("coral"),
                          .ids = {QStringLiteral("017")},
                          .rect = QRectF(20, 20, 460, 360),
                          .look = SlotLook::Taken},
                         {.code = QStringLiteral("C1"),
                          .stateWord = QStringLiteral("out of reach"),
                          .rect = QRectF(620, 20, 160, 160),
                          .round = true,
                          .look = SlotLook::Unusable}};
    return plan;
}

CustodySheetContent aDive(int samples)
{
    CustodySheetContent c;
    c.cruise = QStringLiteral("TK26");
    c.cruiseTitle = QStringLiteral("Invented cruise");
    c.dive = QStringLiteral("4");
    c.vehicle = QStringLiteral("ROV Demo");
    c.launch = parseIsoUtc("2026-03-12T10:02:00Z");
    c.people = {{.name = QStringLiteral("Mara Invented"), .role = QStringLiteral("data logger")}};
    for (int i = 1; i <= samples; ++i)
        c.samples.push_back(aSample(i));
    c.plan = aPlan();
    c.ledgerHeads = {
        {.station = QStringLiteral("van"),
         .entries = 214,
         .sha256 = QStringLiteral("9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08")}};
    c.printedBy = QStringLiteral("Mara Invented");
    c.printedAt = parseIsoUtc("2026-03-12T22:00:00Z");
    return c;
}

PageDocument laidOut(const CustodySheetContent &content, const char *layout = "custody-a4")
{
    auto document = layoutCustodySheet(content, layoutNamed(layout));
    EXPECT_TRUE(document) << document.error().sentence.toStdString();
    return document.value_or(PageDocument{});
}

QStringList textOf(const PageDocument &document)
{
    QTemporaryDir dir;
    const QString path = dir.filePath(QStringLiteral("sheet.pdf"));
    const Done written = writePdf(document, path);
    EXPECT_TRUE(written) << written.error().sentence.toStdString();
    return pdfText(path);
}

} // namespace

TEST(CustodySheet, SaysWhatTheRecordSays)
{
    const QString all = textOf(laidOut(aDive(3))).join(QLatin1Char(' '));
    for (const char *part : {"TK26",
                             "Invented cruise",
                             "ROV Demo",
                             "2026-03-12 10:02:00 UTC",
                             "Mara Invented",
                             "data logger",
                             "1401.0",
                             "1403.0",
                             "3.412",
                             "34.561",
                             "182.3",
                             "21\u00B004.552' S",
                             "173\u00B012.884' W",
                             "Depth (m)",
                             "Relinquished by",
                             "Received by",
                             "seal numbers before",
                             "station van, 214 entries",
                             "9f86d081 884c7d65",
                             "Port biobox",
                             "starboard",
                             "Nothing has been corrected",
                             "printed by Mara Invented, 2026-03-12 22:00:00 UTC"})
        EXPECT_TRUE(all.contains(QString::fromUtf8(part))) << part;
    for (int i = 1; i <= 3; ++i)
        EXPECT_TRUE(all.contains(printedId(aSample(i).id)));
    // Every row has all its boxes to tick.
    for (const char *word : {"found", "broken", "missing"})
        EXPECT_EQ(all.count(QRegularExpression(
                      QStringLiteral("(?<!seal )\\b%1\\b").arg(QString::fromLatin1(word)))),
                  3)
            << word;
}

TEST(CustodySheet, HeadsAreRepeatedAndPagesCounted)
{
    const PageDocument document = laidOut(aDive(60));
    const QStringList pages = textOf(document);
    ASSERT_EQ(static_cast<std::size_t>(pages.size()), document.pages.size());
    ASSERT_GT(pages.size(), 4);
    for (qsizetype i = 0; i < pages.size(); ++i) {
        EXPECT_TRUE(pages[i].contains(QStringLiteral("page %1 of %2").arg(i + 1).arg(pages.size())));
        EXPECT_EQ(pages[i].contains(QStringLiteral("TK26-04-0")),
                  pages[i].contains(QStringLiteral("Salinity")))
            << i;
    }
}

TEST(CustodySheet, IsADraftUntilTheDiveIsClosed)
{
    CustodySheetContent content = aDive(20);
    for (const QString &page : textOf(laidOut(content)))
        EXPECT_TRUE(page.contains(QStringLiteral("DRAFT")));
    content.closed = true;
    for (const QString &page : textOf(laidOut(content)))
        EXPECT_FALSE(page.contains(QStringLiteral("DRAFT")));
}

TEST(CustodySheet, MissingValuesAreDashesAndFlagsAreWords)
{
    CustodySheetContent content = aDive(0);
    content.samples = {CustodySample{.id = QStringLiteral("TK26-04-001"),
                                     .depthM = std::nan(""),
                                     .waterFlag = QStringLiteral("missing"),
                                     .fixFlag = QStringLiteral("no fix")}};
    const QString all = textOf(laidOut(content)).join(QLatin1Char(' '));
    EXPECT_TRUE(all.contains(QStringLiteral("no fix")));
    EXPECT_TRUE(all.contains(QStringLiteral("missing")));
    EXPECT_FALSE(all.contains(QStringLiteral("nan")));
    EXPECT_GE(all.count(QChar(0x2014)), 8);
}

TEST(CustodySheet, TheProofOnPaperReadsBack)
{
    const CustodySheetContent content = aDive(2);
    const PageDocument document = laidOut(content);
    std::string found;
    for (const Page &page : document.pages)
        found += decodedByZxing(renderPage(page, 300));
    EXPECT_EQ(found, sheetProofText(content.cruise, content.dive, content.ledgerHeads[0]).toStdString());
    const auto proof =
        readSheetProof(QString::fromStdString(found).toLower().insert(30, QStringLiteral(" \n")));
    ASSERT_TRUE(proof) << proof.error().sentence.toStdString();
    EXPECT_EQ(proof->cruise, QStringLiteral("TK26"));
    EXPECT_EQ(proof->dive, QStringLiteral("4"));
    EXPECT_EQ(proof->entries, 214);
    EXPECT_EQ(proof->sha256, content.ledgerHeads[0].sha256);
    EXPECT_FALSE(readSheetProof(QStringLiteral("HF1:TK26:4:214:9f86")));
    EXPECT_FALSE(readSheetProof(QString()));
}

TEST(CustodySheet, ASetAsideSampleStaysWithItsReason)
{
    CustodySheetContent content = aDive(2);
    content.samples[0].setAside = QStringLiteral("set aside: dropped at the box");
    const QString all = textOf(laidOut(content)).join(QLatin1Char(' '));
    EXPECT_TRUE(all.contains(QStringLiteral("set aside: dropped at the box")));
    EXPECT_TRUE(all.contains(printedId(content.samples[0].id)));
    EXPECT_TRUE(all.contains(QStringLiteral("1 (and 1 set aside)")));
}

TEST(CustodySheet, AStampThatStillWaitsIsNeitherASampleNorSetAside)
{
    CustodySheetContent content = aDive(3);
    content.samples[0].setAside = QStringLiteral("dropped at the box");
    content.samples[2] = CustodySample{.time = content.samples[2].time, .waiting = true};
    const PageDocument document = laidOut(content);
    const QString all = textOf(document).join(QLatin1Char(' '));
    EXPECT_TRUE(all.contains(QStringLiteral("1 (and 1 set aside, 1 still waiting)"))) << all.toStdString();
    EXPECT_TRUE(all.contains(QStringLiteral("waiting: its details are still to come")));
    EXPECT_FALSE(all.contains(QStringLiteral("set aside: waiting")));
}

TEST(CustodySheet, RecordedHandOversAndAmendmentsArePrinted)
{
    CustodySheetContent content = aDive(1);
    content.handOvers = {{.relinquishedBy = QStringLiteral("Ana Giver"),
                          .receivedBy = QStringLiteral("Jon Taker"),
                          .relinquishedAt = parseIsoUtc("2026-03-12T22:30:00Z"),
                          .receivedAt = parseIsoUtc("2026-03-12T22:30:00Z"),
                          .place = QStringLiteral("aft deck"),
                          .condition = QStringLiteral("one jar leaking"),
                          .sealsBefore = QStringLiteral("S-1041"),
                          .containers = 24}};
    content.blankHandOvers = 1;
    content.amendments = {{.subject = QStringLiteral("TK26-04-001"),
                           .field = QStringLiteral("kind"),
                           .before = QStringLiteral("sponge"),
                           .after = QStringLiteral("coral"),
                           .reason = QStringLiteral("seen again on video")}};
    const QString all = textOf(laidOut(content)).join(QLatin1Char(' '));
    for (const char *part :
         {"Ana Giver", "Jon Taker", "2026-03-12 22:30:00 UTC", "aft deck", "one jar leaking", "S-1041", "24",
          "sponge", "seen again on video", "2 Received by"})
        EXPECT_TRUE(all.contains(QString::fromLatin1(part))) << part;
}

TEST(CustodySheet, NothingOverlapsOrLeavesThePageHoweverLongTheNames)
{
    CustodySheetContent content = aDive(12);
    content.cruiseTitle = QString(200, QLatin1Char('W'));
    content.vehicle = QStringLiteral("\u05D0\u05DC\u05DE\u05D5\u05D2 ").repeated(40);
    content.people[0].name = QStringLiteral("\u0645\u0631\u062C\u0627\u0646 ").repeated(34);
    content.samples[1].description = QString(200, QLatin1Char('x'));
    content.samples[2].note = QStringLiteral("\U0001F980 crab ").repeated(30);
    content.samples[3] = CustodySample{.id = QStringLiteral("TK26-04-004")};
    content.samples[4].slot = QString(200, QLatin1Char('S'));
    content.printedBy = QString(200, QLatin1Char('P'));
    content.handOvers = {
        {.relinquishedBy = QString(200, QLatin1Char('R')), .place = QString(200, QLatin1Char('p'))}};
    for (const char *layout : {"custody-a4", "custody-letter"}) {
        const PageDocument document = laidOut(content, layout);
        for (std::size_t i = 0; i < document.pages.size(); ++i)
            EXPECT_EQ(overlapsOnPage(document.pages[i]), "") << layout << " page " << i + 1;
    }
}

TEST(CustodySheet, ALayoutOrAnIdThatCannotBeUsedIsRefused)
{
    SheetLayout other = layoutNamed("custody-a4");
    other.sheet = QStringLiteral("packing-list");
    EXPECT_FALSE(layoutCustodySheet(aDive(1), other));
    CustodySheetContent content = aDive(1);
    content.samples[0].id = QStringLiteral("TK26_04");
    EXPECT_FALSE(layoutCustodySheet(content, layoutNamed("custody-a4")));
    content = aDive(1);
    content.ledgerHeads[0].sha256 = QStringLiteral("not a hash");
    EXPECT_FALSE(layoutCustodySheet(content, layoutNamed("custody-a4")));
}

TEST(SheetLayout, AFaultNamesTheField)
{
    const auto wide = readSheetLayout(
        R"({"title":"t","sheet":"custody","paper":"A4","turned":"upright","sections":["samples"],
            "columns":[{"field":"id","head":"Id","width_mm":250}]})",
        QStringLiteral("t"), QStringLiteral("Sheet layout t.json"));
    ASSERT_FALSE(wide);
    EXPECT_TRUE(wide.error().sentence.contains(QStringLiteral("250 mm wide")));
    const auto section = readSheetLayout(
        R"({"title":"t","sheet":"custody","paper":"A4","turned":"upright","sections":["sample"],
            "columns":[{"field":"id","head":"Id","width_mm":25}]})",
        QStringLiteral("t"), QStringLiteral("Sheet layout t.json"));
    ASSERT_FALSE(section);
    EXPECT_TRUE(section.error().sentence.contains(QStringLiteral("sections")));
    EXPECT_TRUE(section.error().sentence.contains(QStringLiteral("hand-overs")));
}

TEST(SheetLayout, EveryLayoutOfTheRepositoryLaysItsSheetOut)
{
    const QDir folder(templatesFolder(QStringLiteral("sheets")));
    const QStringList files = folder.entryList({QStringLiteral("*.json")}, QDir::Files);
    EXPECT_GE(files.size(), 8);
    for (const QString &file : files) {
        const auto layout = loadSheetLayout(folder.path(), file.chopped(5));
        ASSERT_TRUE(layout) << layout.error().sentence.toStdString();
        if (layout->sheet != u"custody")
            continue;
        const auto document = layoutCustodySheet(inventedDive(12), *layout);
        ASSERT_TRUE(document) << document.error().sentence.toStdString();
        for (const Page &page : document->pages)
            EXPECT_EQ(overlapsOnPage(page), "") << file.toStdString();
    }
}

TEST(CustodySheet, OfOneHandOverShowsItsSamplesAndOneBlock)
{
    CustodySheetContent content = inventedDive(3);
    content.title = QStringLiteral("Hand-over sheet");
    content.handOvers.clear();
    content.blankHandOvers = 1;
    content.closed = true;
    content.samples[0].storage = QStringLiteral("freezer 2, -80 \u00B0C");
    const QString all = textOf(laidOut(content, "hand-over-a4")).join(QLatin1Char(' '));
    EXPECT_TRUE(all.contains(QStringLiteral("Hand-over sheet")));
    EXPECT_TRUE(all.contains(QStringLiteral("freezer 2, -80 \u00B0C")));
    EXPECT_EQ(all.count(QStringLiteral("Received by")), 1);
    EXPECT_FALSE(all.contains(QStringLiteral("DRAFT")));
}

TEST(CustodySheet, OfOneSpecimenTellsItsHistory)
{
    CustodySheetContent content = inventedDive(1);
    content.title = QStringLiteral("History of TK26-04-001");
    content.history = {{.time = parseIsoUtc("2026-03-12T14:22:07Z"),
                        .what = QStringLiteral("collected"),
                        .detail = QStringLiteral("into slot B1"),
                        .who = QStringLiteral("Mara Invented")},
                       {.time = parseIsoUtc("2026-03-12T22:50:00Z"),
                        .what = QStringLiteral("preserved"),
                        .detail = QStringLiteral("ethanol 95 %, 500 ml"),
                        .who = QStringLiteral("Jon Taker")}};
    const QString all = textOf(laidOut(content, "history-a4")).join(QLatin1Char(' '));
    for (const char *part : {"History of TK26-04-001", "collected", "into slot B1", "preserved",
                             "ethanol 95 %, 500 ml", "Jon Taker", "seen again on video"})
        EXPECT_TRUE(all.contains(QString::fromLatin1(part))) << part;
}

TEST(CustodySheet, AFailedAttemptIsNoneThatWasSetAside)
{
    CustodySheetContent content = aDive(4);
    content.samples[0].setAside = QStringLiteral("failed: the arm was too short");
    content.samples[1].setAside = QStringLiteral("set aside: photograph only");
    content.samples[2].setAside = QStringLiteral("void");
    const QString all = textOf(laidOut(content)).join(QLatin1Char(' '));
    EXPECT_TRUE(all.contains(QStringLiteral("1 (and 1 failed, 1 set aside, 1 void)"))) << all.toStdString();
}

TEST(CustodySheet, KindsAreCountedHoweverTheyAreSpeltAndNoneIsLeftOut)
{
    CustodySheetContent content = aDive(24);
    for (std::size_t i = 0; i < content.samples.size(); ++i)
        content.samples[i].kind = i < 3 ? (i == 1 ? QStringLiteral("CORAL") : QStringLiteral("coral"))
                                        : QStringLiteral("kind%1").arg(i, 2, 10, QLatin1Char('0'));
    content.plan = SlotPlanContent{};
    content.plan->boxes.push_back({QStringLiteral("Box"), QRectF(0, 0, 100, 100)});
    SheetLayout layout = layoutNamed("custody-a4");
    layout.sections = {QStringLiteral("dive-and-plan")};
    const auto document = layoutCustodySheet(content, layout);
    ASSERT_TRUE(document);
    const QString all = textOf(*document).join(QLatin1Char(' '));
    EXPECT_TRUE(all.contains(QStringLiteral("coral 3"))) << all.toStdString();
    EXPECT_FALSE(all.contains(QStringLiteral("CORAL")));
    EXPECT_TRUE(all.contains(QStringLiteral("7 other kinds 7"))) << all.toStdString();
}

TEST(CustodySheet, AnUncertaintyIsNeverRoundedDown)
{
    EXPECT_EQ(uncertaintyText(1.46), QStringLiteral("1.5"));
    EXPECT_EQ(uncertaintyText(1.41), QStringLiteral("1.5"));
    EXPECT_EQ(uncertaintyText(9.4), QStringLiteral("9.4"));
    EXPECT_EQ(uncertaintyText(12.01), QStringLiteral("13"));
    EXPECT_EQ(uncertaintyText(12.0), QStringLiteral("12"));
    EXPECT_EQ(uncertaintyText({}), missingText());
}
