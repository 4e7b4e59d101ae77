// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/sample_papers.h"

#include "print/print_support.h"

#include <chrono>
#include <cmath>
#include <gtest/gtest.h>

namespace holdfast::testing
{

namespace
{

SlotPlanContent inventedPlan()
{
    SlotPlanContent plan;
    plan.boxes = {{.name = QStringLiteral("Port bioboxes"), .rect = QRectF(0, 0, 560, 620)},
                  {.name = QStringLiteral("Push cores"), .rect = QRectF(640, 0, 660, 180)},
                  {.name = QStringLiteral("Rock box"), .rect = QRectF(640, 260, 660, 360)}};
    const auto add = [&plan](const char *code, const QRectF &rect, SlotLook look, const char *word,
                             const char *id) {
        SlotPicture slot;
        slot.code = QString::fromLatin1(code);
        slot.stateWord = QString::fromLatin1(word);
        if (*id)
            slot.ids = QString::fromLatin1(id).split(QLatin1Char(','));
        slot.rect = rect;
        slot.round = slot.code.startsWith(QLatin1Char('C'));
        slot.look = look;
        plan.slotPictures.push_back(slot);
    };
    add("B1", QRectF(20, 20, 520, 280), SlotLook::Taken, "coral", "001");
    add("B2", QRectF(20, 320, 520, 280), SlotLook::Free, "free", "");
    add("C1", QRectF(660, 20, 140, 140), SlotLook::Taken, "mud", "005");
    add("C2", QRectF(820, 20, 140, 140), SlotLook::Unusable, "stuck", "");
    add("C3", QRectF(980, 20, 140, 140), SlotLook::Free, "free", "");
    add("R1", QRectF(660, 280, 620, 320), SlotLook::Mixed, "3 rocks", "002,003,004");
    return plan;
}

} // namespace

CustodySheetContent inventedDive(int samples)
{
    CustodySheetContent c;
    c.cruise = QStringLiteral("TK26");
    c.cruiseTitle = QStringLiteral("Invented ridge cruise");
    c.dive = QStringLiteral("4");
    c.vehicle = QStringLiteral("ROV Demo");
    c.site = QStringLiteral("Invented seamount, north flank");
    c.launch = parseIsoUtc("2026-03-12T10:02:00Z");
    c.onBottom = parseIsoUtc("2026-03-12T11:10:00Z");
    c.offBottom = parseIsoUtc("2026-03-12T20:40:00Z");
    c.people = {{.name = QStringLiteral("Mara Invented"), .role = QStringLiteral("data logger")},
                {.name = QStringLiteral("\u05D0\u05E0\u05D4 \u05D1\u05D3\u05D5\u05D9\u05D4"),
                 .role = QStringLiteral("watch lead")}};
    c.plan = inventedPlan();
    for (int i = 1; i <= samples; ++i) {
        const LabelContent l = fullLabel(i);
        c.samples.push_back(CustodySample{.id = l.id,
                                          .time = l.time,
                                          .slot = QStringLiteral("R1"),
                                          .kind = i % 3 ? QStringLiteral("coral") : QStringLiteral("basalt"),
                                          .description = l.description,
                                          .depthM = 1400.0 + i,
                                          .temperatureDegC = 3.4124,
                                          .salinity = 34.5605,
                                          .oxygenUmolKg = 182.34,
                                          .latitudeDeg = l.latitudeDeg,
                                          .longitudeDeg = l.longitudeDeg,
                                          .uncertainty95M = 9.4});
    }
    if (samples > 3) {
        c.samples[1].setAside = QStringLiteral("set aside: dropped at the box");
        c.samples[2] = CustodySample{.id = c.samples[2].id,
                                     .waterFlag = QStringLiteral("missing"),
                                     .fixFlag = QStringLiteral("no fix")};
    }
    c.handOvers = {{.relinquishedBy = QStringLiteral("Ana Giver"),
                    .receivedBy = QStringLiteral("Jon Taker"),
                    .relinquishedAt = parseIsoUtc("2026-03-12T22:30:00Z"),
                    .receivedAt = parseIsoUtc("2026-03-12T22:30:00Z"),
                    .place = QStringLiteral("aft deck"),
                    .condition = QStringLiteral("one jar leaking"),
                    .sealsBefore = QStringLiteral("S-1041"),
                    .containers = 24}};
    c.amendments = {{.time = parseIsoUtc("2026-03-12T21:22:07Z"),
                     .who = QStringLiteral("Mara Invented"),
                     .subject = QStringLiteral("TK26-04-001"),
                     .field = QStringLiteral("kind"),
                     .before = QStringLiteral("sponge"),
                     .after = QStringLiteral("coral"),
                     .reason = QStringLiteral("seen again on video")}};
    c.ledgerHeads = {
        {.station = QStringLiteral("van"),
         .entries = 214,
         .sha256 = QStringLiteral("9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08")}};
    c.printedBy = QStringLiteral("Mara Invented");
    c.printedAt = parseIsoUtc("2026-03-12T22:00:00Z");
    c.remark = QStringLiteral("invented data");
    return c;
}

PackingListContent inventedShipment()
{
    PackingListContent c;
    const auto table =
        loadSubstances(templatesFolder(QStringLiteral("hazards")), QStringLiteral("substances"));
    EXPECT_TRUE(table) << table.error().sentence.toStdString();
    c.substances = table.value_or(SubstanceTable{});
    c.shipment = QStringLiteral("TK26-S1");
    c.cruise = QStringLiteral("TK26");
    c.consignor = QStringLiteral("Invented Ship Lab");
    c.consignee = QStringLiteral("Invented Museum, Cold Store 2");
    c.carrier = QStringLiteral("Invented Freight");
    c.waybill = QStringLiteral("IF-00042");
    c.packages = {{.number = QStringLiteral("1"),
                   .kind = QStringLiteral("drum"),
                   .grossKg = 21.4,
                   .temperature = QStringLiteral("5 \u00B0C"),
                   .seals = QStringLiteral("S-1041"),
                   .items = {{.id = QStringLiteral("TK26-04-001"),
                              .what = QStringLiteral("coral, white fan"),
                              .containers = 2,
                              .preservative = QStringLiteral("Ethanol 95 %"),
                              .liquidMl = 500,
                              .temperature = QStringLiteral("5 \u00B0C"),
                              .permits = {QStringLiteral("P-1")}},
                             {.id = QStringLiteral("TK26-04-002"),
                              .what = QStringLiteral("sponge"),
                              .containers = 1,
                              .preservative = QStringLiteral("formalin 10 %, buffered"),
                              .liquidMl = 250},
                             {.id = QStringLiteral("TK26-04-003"),
                              .what = QStringLiteral("worm"),
                              .preservative = QStringLiteral("methanoethanolic mix")}}},
                  {.number = QStringLiteral("2"),
                   .kind = QStringLiteral("foam box"),
                   .grossKg = 12,
                   .temperature = QStringLiteral("-78 \u00B0C"),
                   .coolant = QStringLiteral("dry ice 10 kg"),
                   .items = {{.id = QStringLiteral("TK26-04-001.1"),
                              .what = QStringLiteral("tissue"),
                              .preservative = QStringLiteral("ethanol 99 %"),
                              .permits = {QStringLiteral("P-9")}},
                             {.id = QStringLiteral("TK26-04-007"), .what = QStringLiteral("sediment")}}}};
    c.permits = {{.number = QStringLiteral("P-1"),
                  .authority = QStringLiteral("Invented Ministry"),
                  .validUntil = parseIsoUtc("2026-12-31T00:00:00Z"),
                  .covers = QStringLiteral("stony corals, 20 pieces")}};
    c.printedBy = QStringLiteral("Mara Invented");
    c.printedAt = parseIsoUtc("2026-03-20T08:00:00Z");
    c.remark = QStringLiteral("invented data");
    return c;
}

DiveReportContent inventedReport()
{
    DiveReportContent c;
    c.dive = inventedDive(14);
    c.dive.onDeck = parseIsoUtc("2026-03-12T21:50:00Z");
    c.dive.onBottom = parseIsoUtc("2026-03-12T11:10:00Z");
    const UtcTime launch = *c.dive.launch;
    constexpr int seconds = 42480; // 11 h 48 min
    for (int t = 0; t <= seconds; t += 10) {
        const double down = std::min({1.0, t / 4080.0, (seconds - t) / 4200.0});
        const double wave = std::sin(t / 3000.0);
        const UtcTime time = launch + std::chrono::seconds(t);
        c.depth.push_back({time, down * (1450 + 12 * wave)});
        c.track.push_back(
            {time, -21.0759 + 2e-7 * t + 0.0004 * wave, -173.2147 + 0.001 * std::cos(t / 5000.0)});
    }
    const auto strip = [&](const char *title, double surface, double bottom) {
        WaterStrip s{.title = QString::fromUtf8(title), .points = {}};
        for (std::size_t i = 0; i < c.depth.size(); ++i) {
            const double share = std::exp(-c.depth[i].value / 300);
            const bool silent = i > 1500 && i < 1700;
            s.points.push_back(
                {c.depth[i].time, silent ? std::nan("") : bottom + (surface - bottom) * share});
        }
        c.water.push_back(std::move(s));
    };
    strip("Temperature (\u00B0C)", 26.4, 3.4);
    strip("Practical salinity (PSS-78)", 35.2, 34.5);
    for (std::size_t i = 0; i < c.dive.samples.size(); ++i) {
        CustodySample &s = c.dive.samples[i];
        const std::size_t k = 500 + i * 200;
        s.time = c.depth[k].time;
        s.depthM = c.depth[k].value;
        if (s.fixFlag.isEmpty()) {
            s.latitudeDeg = c.track[k].latitudeDeg;
            s.longitudeDeg = c.track[k].longitudeDeg;
            s.uncertainty95M = 6.0 + static_cast<double>(i);
        }
    }
    c.lost = {{.time = c.dive.offBottom,
               .what = QStringLiteral("a brittle star"),
               .reason = QStringLiteral("gone in the wash of the biobox"),
               .who = QStringLiteral("Mara Invented")}};
    c.feeds = {{.name = QStringLiteral("USBL"),
                .source = QStringLiteral("dive04.nmea, profile nmea"),
                .accepted = 41200,
                .repaired = 12,
                .rejected = 1200,
                .longestGapS = 312}};
    c.permits = {
        {.permit = QStringLiteral("P-1"), .covers = QStringLiteral("stony corals"), .taken = 9, .limit = 8},
        {.permit = QStringLiteral("P-2"), .covers = QStringLiteral("rocks"), .taken = 4}};
    return c;
}

CustodySheetContent inventedHistory()
{
    CustodySheetContent c = inventedDive(1);
    c.title = QStringLiteral("History of TK26-04-001");
    c.plan.reset();
    c.history = {{c.onBottom, QStringLiteral("sample logged"),
                  QStringLiteral("TK26-04-001 \u00B7 coral \u00B7 slot B2"), QStringLiteral("Mara Invented")},
                 {c.onDeck, QStringLiteral("slot tallied"), QStringLiteral("B2: as logged"),
                  QStringLiteral("\u05D3\u05E0\u05D4 \u05D4\u05DE\u05D5\u05DE\u05E6\u05D0\u05EA")},
                 {c.onDeck, QStringLiteral("item preserved"), QString(200, QLatin1Char('w')), QString()}};
    return c;
}

CustodySheetContent inventedHandOver()
{
    CustodySheetContent c = inventedDive(4);
    c.title = QStringLiteral("Hand-over");
    c.plan.reset();
    c.handOvers.clear();
    c.blankHandOvers = 1;
    return c;
}

std::vector<PageDocument> samplePapers()
{
    std::vector<PageDocument> papers;
    const auto add = [&papers](auto &&made, auto &&pages) {
        EXPECT_TRUE(made) << made.error().sentence.toStdString();
        if (made)
            papers.push_back(pages(*made));
    };
    for (const char *name : {"a4-70x37", "cryo-10mm", "field-105x74", "slip-50x18"}) {
        std::vector<LabelContent> labels;
        for (int i = 1; i <= 3; ++i)
            labels.push_back(fullLabel(i));
        labels.push_back(LabelContent{.id = QStringLiteral("TK26-04-004")});
        add(layoutLabels({.stock = stock(name), .labels = labels}),
            [](LabelSheets &s) { return s.document; });
    }
    const auto asIs = [](PageDocument &d) { return d; };
    const auto laidOut = [](const char *layout, const auto &make) -> Result<PageDocument> {
        const auto read =
            loadSheetLayout(templatesFolder(QStringLiteral("sheets")), QString::fromLatin1(layout));
        return read ? make(*read) : Result<PageDocument>(read.error());
    };
    for (const char *name : {"custody-a4", "custody-letter"})
        add(laidOut(name, [](const SheetLayout &l) { return layoutCustodySheet(inventedDive(12), l); }),
            asIs);
    for (const char *name : {"history-a4", "history-letter"})
        add(laidOut(name, [](const SheetLayout &l) { return layoutCustodySheet(inventedHistory(), l); }),
            asIs);
    for (const char *name : {"hand-over-a4", "hand-over-letter"})
        add(laidOut(name, [](const SheetLayout &l) { return layoutCustodySheet(inventedHandOver(), l); }),
            asIs);
    for (const char *name : {"packing-a4", "packing-letter"})
        add(laidOut(name, [](const SheetLayout &l) { return layoutPackingList(inventedShipment(), l); }),
            asIs);
    for (const char *name : {"report-a4", "report-letter"})
        add(laidOut(name, [](const SheetLayout &l) { return layoutDiveReport(inventedReport(), l); }), asIs);
    return papers;
}

} // namespace holdfast::testing
