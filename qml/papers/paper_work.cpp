// SPDX-License-Identifier: GPL-3.0-or-later
#include "paper_work.h"

#include "base/template_folder.h"
#include "dive/readers.h"
#include "print/dive_papers.h"
#include "print/dive_report_paper.h"
#include "print/item_sheets.h"
#include "print/stock_shelf.h"

#include <QCoreApplication>
#include <QFile>
#include <QFileInfo>
#include <array>

namespace holdfast
{

namespace
{

QString say(const char *text)
{
    return QCoreApplication::translate("Papers", text);
}

struct SheetKind {
    const char *begins; ///< the layouts of this kind are named so
    Paper::Kind kind;
    const char *use;
};
constexpr std::array<SheetKind, 5> sheetKinds{{
    {"custody", Paper::Kind::Custody, "Goes with the samples of a dive and is signed at each hand-over."},
    {"report", Paper::Kind::Report,
     "The dive on a few pages: numbers, map, depth, water, samples, losses, logs."},
    {"hand-over", Paper::Kind::HandOver, "One hand-over, to be signed on paper by both sides."},
    {"history", Paper::Kind::History, "Everything that happened to one sample or specimen."},
    {"packing", Paper::Kind::Packing,
     "What lies in which package, with dangerous goods. It is no clearance: the carrier, local rules and "
     "licensed "
     "staff decide."},
}};

QStringList listed(const QString &text)
{
    QStringList ids;
    const QStringList parts = text.split(QLatin1Char(','), Qt::SkipEmptyParts);
    for (const QString &part : parts) {
        if (!part.trimmed().isEmpty())
            ids << part.trimmed();
    }
    return ids;
}

/// A whole number, or nothing when the setting is empty.
Result<std::optional<int>> wholeOf(const PaperJob &job, const char *key, const QString &label)
{
    const QString text = job.settings.value(QLatin1String(key)).trimmed();
    if (text.isEmpty())
        return std::optional<int>();
    bool good = false;
    const int value = text.toInt(&good);
    if (good)
        return std::optional<int>(value);
    return fail(ErrorKind::Usage, say("\"%1\" is no whole number; \"%2\" needs one.").arg(text, label));
}

Result<LabelOrder> orderOf(const Database &db, const PaperJob &job)
{
    LabelOrder order;
    order.dive = job.dive;
    order.stock = job.paper.name;
    order.draft = job.draft;
    order.contact = job.settings.value(QStringLiteral("contact"));
    order.acceptFineCode = job.settings.value(QStringLiteral("fine")).trimmed() == u"yes";
    order.ids = listed(job.settings.value(QStringLiteral("items")));
    const auto start = wholeOf(job, "start", say("first free label"));
    const auto copies = wholeOf(job, "copies", say("copies of each"));
    const auto dpi = wholeOf(job, "dpi", say("printer (dots per inch)"));
    for (const auto *one : {&start, &copies, &dpi}) {
        if (!*one)
            return one->error();
    }
    order.startPosition = start->value_or(1);
    order.copies = *copies;
    order.printerDpi = *dpi;
    const QString of = job.settings.value(QStringLiteral("of")).trimmed();
    if (of == u"specimens")
        order.of = LabelOrder::Of::Specimens;
    else if (of == u"both")
        order.of = LabelOrder::Of::Both;
    else if (job.wantsBlank())
        order.ids.clear();
    else if (!of.isEmpty() && of != u"samples")
        return fail(ErrorKind::Usage,
                    say("\"%1\" is nothing that has labels: samples, specimens, both or blank.").arg(of));
    if (!job.wantsBlank())
        return order;
    order.blank = job.blank;
    if (order.blank.count > 0)
        return order;
    const auto count = blankCount(job);
    if (!count)
        return count.error();
    const auto given = readBlankLabels(db, job.dive);
    if (!given)
        return given.error();
    order.blank = {given->empty() ? 1 : given->back().first + given->back().count, *count};
    return order;
}

Result<LaidPaper> laid(Result<PageDocument> document)
{
    if (!document)
        return document.error();
    return LaidPaper{std::make_shared<const PageDocument>(std::move(*document)), {}, 0};
}

/// What the paper is about when nobody said: the first thing of the dive, or all that is held.
Result<QStringList> heldIds(const Database &db, int dive)
{
    const auto samples = readSamples(db, dive);
    if (!samples)
        return samples.error();
    QStringList ids;
    for (const SampleInfo &sample : *samples) {
        if (sample.state == QLatin1String("held"))
            ids << sample.id;
    }
    if (ids.isEmpty())
        return fail(ErrorKind::NotFound, say("Dive %1 has no samples yet.").arg(dive));
    return ids;
}

Result<LaidPaper> layOutLabels(const Database &db, const PaperJob &job)
{
    const auto order = orderOf(db, job);
    if (!order)
        return order.error();
    auto labels = labelSheets(db, *order);
    if (!labels)
        return labels.error();
    return LaidPaper{std::make_shared<const PageDocument>(std::move(labels->document)), labels->notes,
                     labels->printed};
}

Result<LaidPaper> layOutPacking(const Database &db, const PaperJob &job)
{
    const auto plan = packingPlanOf(job);
    if (!plan)
        return plan.error();
    auto pages = packingListPages(db, *plan, job.paper.name, job.act.person, job.act.now);
    if (!pages)
        return pages.error();
    return LaidPaper{std::make_shared<const PageDocument>(std::move(pages->document)), pages->notes, 0};
}

} // namespace

bool PaperJob::wantsBlank() const
{
    return paper.kind == Paper::Kind::Labels && settings.value(QStringLiteral("of")).trimmed() == u"blank";
}

std::vector<Paper> papersAtHand(QStringList &faults)
{
    std::vector<Paper> papers;
    const auto folder = templateFolder();
    if (!folder) {
        faults << folder.error().sentence;
        return papers;
    }
    const QStringList names = templateNames(QStringLiteral("sheets")).value_or(QStringList());
    for (const SheetKind &kind : sheetKinds) {
        for (const QString &name : names) {
            if (!name.startsWith(QLatin1String(kind.begins)))
                continue;
            if (const auto layout = loadSheetLayout(*folder + QStringLiteral("/sheets"), name))
                papers.push_back({kind.kind, name, layout->title, say(kind.use), 0});
            else
                faults << layout.error().sentence;
        }
    }
    const auto addStocks = [&](const Result<std::vector<LabelStock>> &stocks, const QString &whose) {
        if (!stocks) {
            faults << stocks.error().sentence;
            return;
        }
        for (const LabelStock &stock : *stocks)
            papers.push_back({Paper::Kind::Labels, stock.name, whose.arg(stock.title), stock.use,
                              std::max(1, stock.labelsPerPage())});
    };
    addStocks(loadLabelStocks(*folder + QStringLiteral("/labels")), say("Labels: %1"));
    addStocks(loadLabelStocks(ownStockFolder()), say("Your labels: %1"));
    return papers;
}

std::vector<PaperSetting> settingsOf(Paper::Kind kind)
{
    switch (kind) {
    case Paper::Kind::Custody:
    case Paper::Kind::Report:
        return {};
    case Paper::Kind::HandOver:
        return {{QStringLiteral("items"),
                 say("what is handed over"),
                 say("the code of a recorded hand-over, or ids with commas; empty: all of the dive"),
                 {}}};
    case Paper::Kind::History:
        return {{QStringLiteral("item"),
                 say("of which"),
                 say("scan or type an id; empty: the first of the dive"),
                 {}}};
    case Paper::Kind::Packing:
        return {{QStringLiteral("shipment"), say("shipment"), {}, {}},
                {QStringLiteral("consignor"), say("from"), {}, {}},
                {QStringLiteral("consignee"), say("to"), {}, {}},
                {QStringLiteral("carrier"), say("carrier"), {}, {}},
                {QStringLiteral("waybill"), say("waybill"), {}, {}},
                {QStringLiteral("closed"),
                 say("packages closed"),
                 say("yes or no; until then it is a draft"),
                 {}}};
    case Paper::Kind::Labels:
        return {
            {QStringLiteral("of"), say("of what"), say("samples, specimens, both, or blank"),
             QStringLiteral("samples")},
            {QStringLiteral("items"), say("only these"), say("ids with commas; empty: all of the dive"), {}},
            {QStringLiteral("count"), say("how many blank ones"), say("for blank; bound later: Ctrl+B"),
             QStringLiteral("20")},
            {QStringLiteral("start"), say("first free label"), say("of a part-used sheet: + and -"),
             QStringLiteral("1")},
            {QStringLiteral("copies"), say("copies of each"), say("empty: as the stock says"), {}},
            {QStringLiteral("dpi"), say("printer (dots per inch)"), say("empty: as the stock says"), {}},
            {QStringLiteral("contact"), say("contact"), say("who to tell when one is found"), {}},
            {QStringLiteral("fine"), say("accept a fine code"), say("yes or no"), {}}};
    }
    return {};
}

Result<int> blankCount(const PaperJob &job)
{
    const auto count = wholeOf(job, "count", say("how many blank ones"));
    if (!count)
        return count.error();
    if (count->value_or(0) < 1)
        return fail(ErrorKind::Usage, say("Say how many blank labels are wanted."));
    return **count;
}

QString packingPlanPath(const QString &cruisePath)
{
    const QFileInfo file(cruisePath);
    return QStringLiteral("%1/%2-packing.json").arg(file.absolutePath(), file.completeBaseName());
}

Result<PackingPlan> packingPlanOf(const PaperJob &job)
{
    PackingPlan plan;
    QFile kept(packingPlanPath(job.path));
    if (kept.exists()) {
        if (!kept.open(QIODevice::ReadOnly))
            return fail(ErrorKind::Unreadable,
                        say("%1 can't be read: %2.").arg(kept.fileName(), kept.errorString()));
        auto read = readPackingPlan(kept.readAll(), kept.fileName());
        if (!read)
            return read.error();
        plan = std::move(*read);
    }
    const auto take = [&job](const char *key, QString &into) {
        const QString text = job.settings.value(QLatin1String(key)).trimmed();
        if (!text.isEmpty())
            into = text;
    };
    take("shipment", plan.shipment);
    take("consignor", plan.consignor);
    take("consignee", plan.consignee);
    take("carrier", plan.carrier);
    take("waybill", plan.waybill);
    const QString closed = job.settings.value(QStringLiteral("closed")).trimmed();
    if (!closed.isEmpty())
        plan.closed = closed == u"yes";
    return plan;
}

Result<LaidPaper> layOutPaper(const PaperJob &job)
{
    const auto db = Database::open(job.path, Database::Access::ReadOnly);
    if (!db)
        return db.error();
    const QString &person = job.act.person;
    const QString &layout = job.paper.name;
    switch (job.paper.kind) {
    case Paper::Kind::Custody:
        return laid(diveCustodySheet(*db, job.dive, layout, person, job.act.now));
    case Paper::Kind::Report:
        return laid(diveReportPages(*db, job.dive, layout, person, job.act.now));
    case Paper::Kind::Labels:
        return layOutLabels(*db, job);
    case Paper::Kind::Packing:
        return layOutPacking(*db, job);
    case Paper::Kind::HandOver:
    case Paper::Kind::History:
        break;
    }
    const bool history = job.paper.kind == Paper::Kind::History;
    QStringList ids = listed(job.settings.value(history ? QStringLiteral("item") : QStringLiteral("items")));
    if (ids.isEmpty()) {
        auto held = heldIds(*db, job.dive);
        if (!held)
            return held.error();
        ids = std::move(*held);
    }
    return laid(history ? itemHistorySheet(*db, ids.front(), layout, person, job.act.now)
                        : handOverSheet(*db, ids, layout, person, job.act.now));
}

Done printPages(const PageDocument &document, QPrinter &printer)
{
    // From the edge of the paper and in the dots that the codes were fitted to; the driver would else shift
    // the page by its margins and stretch modules to other dots.
    printer.setFullPage(true);
    printer.setResolution(document.printerDpi);
    printer.setDocName(document.title);
    return paintDocument(document, printer);
}

} // namespace holdfast
