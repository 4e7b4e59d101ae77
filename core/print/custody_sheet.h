// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "custody/drawn_signature.h"
#include "print/page_document.h"
#include "print/sheet_layout.h"
#include "print/slot_plan.h"

#include <cstdint>
#include <optional>

namespace holdfast
{

/// A sample as its row on the sheet. A missing value prints as "—"; a flag word ("suspect", "no fix") prints
/// beside the value it belongs to.
struct CustodySample {
    QString id =
        {}; ///< without its check character; empty only for a stamp that is no sample (setAside, waiting)
    std::optional<UtcTime> time = {};
    QString slot = {};
    QString kind = {};
    QString description = {};
    QString collectedBy = {};
    std::optional<double> depthM = {}; ///< positive down
    std::optional<double> temperatureDegC = {};
    std::optional<double> salinity = {}; ///< practical, no unit
    std::optional<double> oxygenUmolKg = {};
    QString waterFlag = {}; ///< empty when the values passed
    std::optional<double> latitudeDeg = {};
    std::optional<double> longitudeDeg = {};
    std::optional<double> uncertainty95M = {};
    QString fixFlag = {}; ///< empty when the fix is good
    QString preservative = {};
    QString storage = {}; ///< place and temperature now
    QString hazard = {};
    QString note = {};
    QString found = {};    ///< of a find: the span in which it was collected, instead of `time`
    bool waiting = false;  ///< a stamp that is no sample yet: it has no id
    QString setAside = {}; ///< "set aside: photograph only", "failed: …", "void": its row is struck through
};

struct SheetPerson {
    QString name = {};
    QString role = {};
};

/// How a party confirmed a hand-over in the record.
struct SheetConfirmation {
    QString words = {};            ///< "confirmed by PIN"; empty: to be signed by hand
    DrawnSignature signature = {}; ///< what was drawn on the screen, if that is how
};

/// A hand-over: filled in as recorded, or all empty for the hand-over that is signed on this sheet.
struct HandOver {
    QString relinquishedBy = {};
    QString receivedBy = {};
    std::optional<UtcTime> relinquishedAt = {};
    std::optional<UtcTime> receivedAt = {};
    QStringList items = {};   ///< ids it is about
    QStringList refused = {}; ///< "TK26-04-003: leaking"; these stayed with who relinquished them
    QString place = {};
    QString reason = {};
    QString condition = {};
    QString sealsBefore = {};
    QString sealsAfter = {};
    std::optional<int> containers = {};
    SheetConfirmation giver = {}, receiver = {};
};

struct SheetAmendment {
    std::optional<UtcTime> time = {};
    QString who = {};
    QString subject = {}; ///< id or thing
    QString field = {};
    QString before = {};
    QString after = {};
    QString reason = {};
};

/// One thing that happened to a specimen, for its history.
struct SheetEvent {
    std::optional<UtcTime> time = {};
    QString what = {}; ///< "collected", "split", "preserved", "handed over"
    QString detail = {};
    QString who = {};
};

/// Where one station's chain in the ledger stood when the sheet was printed.
struct LedgerHead {
    QString station = {};
    std::int64_t entries = 0;
    QString sha256 = {}; ///< 64 hexadecimal digits
};

/// Everything a custody sheet says; callers fill it, nothing is looked up. The same content, with another
/// layout and title, makes the sheet of a dive (custody-*), of one hand-over (hand-over-*: the samples of
/// that hand-over, one blank block or the recorded one) and of one specimen (history-*: its row and its
/// history).
struct CustodySheetContent {
    QString title = QStringLiteral("Custody sheet");
    QString cruise = {};
    QString cruiseTitle = {};
    QString dive = {}; ///< "4"
    QString vehicle = {};
    QString site = {};
    std::optional<UtcTime> launch = {};
    std::optional<UtcTime> onBottom = {};
    std::optional<UtcTime> offBottom = {};
    std::optional<UtcTime> onDeck = {};
    std::vector<SheetPerson> people = {};
    std::vector<CustodySample> samples = {};
    std::optional<SlotPlanContent> plan = {};
    std::vector<HandOver> handOvers = {};
    int blankHandOvers = 2;               ///< empty relinquished by / received by blocks to sign on paper
    std::vector<SheetEvent> history = {}; ///< of the one specimen that the sheet is about
    std::vector<SheetAmendment> amendments = {};
    std::vector<LedgerHead> ledgerHeads = {};
    bool closed = false; ///< until the dive is closed every page is marked as a draft
    QString printedBy = {};
    std::optional<UtcTime> printedAt = {};
    QString remark = {}; ///< for example that the data are invented
};

/// Lays the sheet out; as many pages as it takes, table heads repeated, "page x of y" on each. Errors: Usage
/// (the layout is for another sheet, an id or ledger head can't be printed). Needs a QGuiApplication.
[[nodiscard]] Result<PageDocument> layoutCustodySheet(const CustodySheetContent &content,
                                                      const SheetLayout &layout);

/// What stands in the QR code beside a ledger head: "HF1:CRUISE:DIVE:ENTRIES:SHA256", in capitals.
[[nodiscard]] QString sheetProofText(const QString &cruise, const QString &dive, const LedgerHead &head);

struct SheetProof {
    QString cruise = {};
    QString dive = {};
    std::int64_t entries = 0;
    QString sha256 = {}; ///< small letters
};
/// Reads sheetProofText as scanned or typed, blanks ignored. Error Malformed with a sentence.
[[nodiscard]] Result<SheetProof> readSheetProof(const QString &text);

} // namespace holdfast
