// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/item_sheets.h"

#include "custody/blank_labels.h"
#include "custody/history.h"
#include "custody/specimens.h"
#include "print/dive_papers.h"
#include "print/hand_over_paper.h"
#include "print/page_text.h"
#include "print/value_text.h"
#include "print/valued_samples.h"

#include <QMap>
#include <algorithm>

namespace holdfast
{

namespace
{

/// The row of any item: a specimen has the moment and place of its sample, the rest is its own.
Result<CustodySample> rowOf(const Database &db, const Item &item, const SubstanceTable &table)
{
    const auto samples = valuedSamples(db, item.dive);
    if (!samples)
        return samples.error();
    const auto sample = std::find_if(samples->begin(), samples->end(),
                                     [&](const ValuedSample &v) { return v.sample.id == item.sample; });
    if (sample == samples->end())
        return fail(ErrorKind::NotFound, QStringLiteral("Sample %1 is not there.").arg(item.sample));
    auto row = sheetRow(db, *sample, table);
    if (!row || item.parent.isEmpty())
        return row;
    const auto specimen = readSpecimen(db, item.id);
    if (!specimen)
        return specimen.error();
    const auto kept = keptNow(db, item.id, table);
    if (!kept)
        return kept.error();
    const auto labels = labelsOfItem(db, item.id);
    if (!labels)
        return labels.error();
    row->id = item.id;
    row->kind = specimen->details.material;
    row->description = joinedValues({specimen->details.purpose, specimen->details.description});
    row->collectedBy = specimen->by;
    row->preservative = joinedValues({kept->preservativeInFull, kept->container});
    row->hazard = kept->hazard;
    row->storage = joinedValues({kept->place, kept->temperature});
    row->note = labels->isEmpty()
                    ? QString()
                    : QStringLiteral("carries label %1").arg(labels->join(QStringLiteral(", ")));
    return row;
}

/// What the sheets of items have in common.
Result<CustodySheetContent> begin(const Database &db, const QList<int> &dives, const QString &printedBy,
                                  UtcTime printedAt)
{
    const auto cruise = readCruise(db);
    if (!cruise)
        return cruise.error();
    auto heads = ledgerHeads(db);
    if (!heads)
        return heads.error();
    CustodySheetContent sheet;
    sheet.cruise = cruise->code;
    sheet.cruiseTitle = cruise->title;
    sheet.ledgerHeads = std::move(*heads);
    sheet.printedBy = printedBy;
    sheet.printedAt = printedAt;
    sheet.closed = true;
    QStringList numbers;
    QStringList vehicles;
    for (const int dive : dives) {
        const auto info = readDive(db, dive);
        if (!info)
            return info.error();
        numbers << QString::number(dive);
        if (!vehicles.contains(info->vehicle))
            vehicles << info->vehicle;
        sheet.closed = sheet.closed && info->closed.has_value();
        if (dives.size() == 1) {
            sheet.launch = info->launched;
            sheet.onBottom = info->onBottom;
            sheet.offBottom = info->offBottom;
            sheet.onDeck = info->onDeck;
        }
    }
    sheet.dive = numbers.join(QLatin1Char('.')); // the proof's code takes no comma
    sheet.vehicle = vehicles.join(QStringLiteral(", "));
    return sheet;
}

/// A line of the story for paper: of whom when not of the item itself, values that were struck, a late entry
/// with both its times.
SheetEvent eventOf(const HistoryLine &line, const QString &item)
{
    QStringList parts{line.about == item ? line.sentence : line.about + QStringLiteral(": ") + line.sentence};
    parts << line.struck;
    if (line.written - line.at > std::chrono::minutes(1))
        parts << QStringLiteral("written down %1").arg(dateTimeText(line.written));
    return {line.at, line.verb, parts.join(QLatin1Char('\n')), line.who};
}

Done addAmendments(const Database &db, const Item &item, CustodySheetContent &sheet)
{
    const auto ofSamples = readAmendments(db, item.dive);
    if (!ofSamples)
        return ofSamples.error();
    for (const AmendmentInfo &a : *ofSamples) {
        if (a.sample == item.sample)
            sheet.amendments.push_back({a.time, a.by, a.sample, a.field, a.oldValue, a.newValue, a.reason});
    }
    const auto own = readSpecimenAmendments(db, item.id);
    if (!own)
        return own.error();
    for (const SpecimenAmendment &a : *own)
        sheet.amendments.push_back({a.time, a.by, item.id, a.field, a.oldValue, a.newValue, a.reason});
    return {};
}

Result<CustodySheetContent> handOverOf(const Database &db, const QStringList &ids,
                                       const HandOverInfo *recorded, const QString &printedBy,
                                       UtcTime printedAt)
{
    const auto table = substanceTable();
    if (!table)
        return table.error();
    QMap<QString, Item> items; // each once, in order of id
    QMap<int, bool> dives;
    for (const QString &typed : ids) {
        const auto item = recorded ? readItem(db, typed) : readItemAtHand(db, typed);
        if (!item)
            return item.error();
        items.insert(item->id, *item);
        dives.insert(item->dive, true);
    }
    auto sheet = begin(db, dives.keys(), printedBy, printedAt);
    if (!sheet)
        return sheet;
    sheet->closed = true; // what is handed over need not wait for the dive
    for (const Item &item : std::as_const(items)) {
        auto row = rowOf(db, item, *table);
        if (!row)
            return row.error();
        if (recorded)
            row->note = joinedValues({handOverWord(*recorded, item.id), row->note});
        sheet->samples.push_back(std::move(*row));
    }
    return sheet;
}

} // namespace

Result<CustodySheetContent> itemHistory(const Database &db, const QString &id, const QString &printedBy,
                                        UtcTime printedAt)
{
    const auto item = readItem(db, id);
    if (!item)
        return item.error();
    const auto table = substanceTable();
    if (!table)
        return table.error();
    auto sheet = begin(db, {item->dive}, printedBy, printedAt);
    if (!sheet)
        return sheet;
    auto row = rowOf(db, *item, *table);
    if (!row)
        return row.error();
    const auto history = readHistory(db, item->id);
    if (!history)
        return history.error();
    sheet->title = QStringLiteral("History of %1").arg(printedId(item->id));
    sheet->samples.push_back(std::move(*row));
    for (const HistoryLine &line : history->lines)
        sheet->history.push_back(eventOf(line, item->id));
    if (auto added = addAmendments(db, *item, *sheet); !added)
        return added.error();
    return sheet;
}

Result<PageDocument> itemHistorySheet(const Database &db, const QString &id, const QString &layout,
                                      const QString &printedBy, UtcTime printedAt)
{
    const auto found = sheetLayout(layout);
    if (!found)
        return found.error();
    const auto content = itemHistory(db, id, printedBy, printedAt);
    if (!content)
        return content.error();
    return layoutCustodySheet(*content, *found);
}

Result<CustodySheetContent> handOverToSign(const Database &db, const QStringList &ids,
                                           const QString &printedBy, UtcTime printedAt)
{
    if (ids.isEmpty())
        return fail(
            ErrorKind::Usage,
            QStringLiteral("Say what is handed over: the ids of samples or specimens, or the code of a "
                           "recorded hand-over."));
    auto sheet = handOverOf(db, ids, nullptr, printedBy, printedAt);
    if (!sheet)
        return sheet;
    sheet->title = QStringLiteral("Hand-over");
    sheet->blankHandOvers = 1;
    return sheet;
}

Result<CustodySheetContent> recordedHandOver(const Database &db, const QString &code,
                                             const QString &printedBy, UtcTime printedAt)
{
    const auto info = readHandOver(db, code);
    if (!info)
        return info.error();
    auto sheet = handOverOf(db, info->items, &*info, printedBy, printedAt);
    if (!sheet)
        return sheet;
    auto blocks = handOverBlocks(db, *info);
    if (!blocks)
        return blocks.error();
    sheet->title = QStringLiteral("Hand-over %1").arg(info->code);
    sheet->handOvers = std::move(*blocks);
    sheet->blankHandOvers = 0;
    return sheet;
}

Result<PageDocument> handOverSheet(const Database &db, const QStringList &ids, const QString &layout,
                                   const QString &printedBy, UtcTime printedAt)
{
    const auto found = sheetLayout(layout);
    if (!found)
        return found.error();
    // One word that is no sample or specimen is the code of a recorded hand-over.
    const bool recorded = ids.size() == 1 && !readItem(db, ids.front()) && readHandOver(db, ids.front());
    const auto content = recorded ? recordedHandOver(db, ids.front(), printedBy, printedAt)
                                  : handOverToSign(db, ids, printedBy, printedAt);
    if (!content)
        return content.error();
    return layoutCustodySheet(*content, *found);
}

} // namespace holdfast
