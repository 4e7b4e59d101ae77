// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/counted.h"
#include "base/ids.h"
#include "base/regular_file.h"
#include "cli/cli.h"
#include "print/dive_papers.h"
#include "print/dive_report_paper.h"
#include "print/item_sheets.h"
#include "print/packing_papers.h"
#include "print/value_text.h"

#include "base/csv.h"

#include <QFile>

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

QString pagesText(const PageDocument &document)
{
    return counted(static_cast<qint64>(document.pages.size()), q("page"), q("pages"));
}

/// The one thing that a custody sheet is about, of those that may be named.
Result<QString> subjectOf(const Arguments &a)
{
    QString subject;
    for (const char *flag : {"dive", "of", "hand-over"}) {
        if (!a.has(q(flag)))
            continue;
        if (!subject.isEmpty())
            return fail(ErrorKind::Usage,
                        QStringLiteral("A sheet is about one thing: --dive, --of or --hand-over."));
        subject = q(flag);
    }
    if (subject.isEmpty())
        return fail(
            ErrorKind::Usage,
            QStringLiteral("Say what the sheet is about: --dive N, --of ID (the history of one sample or "
                           "specimen) or --hand-over CODE or ID,ID (to be signed)."));
    return subject;
}

QStringList listed(const QString &text)
{
    QStringList ids;
    const QStringList parts = text.split(QLatin1Char(','), Qt::SkipEmptyParts);
    for (const QString &part : parts)
        ids << part.trimmed();
    return ids;
}

Done sheet(const Arguments &a, const World &world)
{
    const auto subject = subjectOf(a);
    if (!subject)
        return subject.error();
    const QString out = a.text(q("out"));
    Result<PageDocument> document = fail(ErrorKind::Usage, QString());
    QString what;
    if (*subject == u"dive") {
        const auto opened = openDive(a, Database::Access::ReadOnly);
        if (!opened)
            return opened.error();
        document = diveCustodySheet(opened->file.db(), opened->dive, a.text(q("layout"), q("custody-a4")),
                                    a.person(), world.now());
        what = QStringLiteral("custody sheet of dive %1").arg(opened->dive);
    } else {
        const auto file = openForReading(a.positional().at(0));
        if (!file)
            return file.error();
        if (*subject == u"of") {
            document = itemHistorySheet(file->db(), a.text(q("of")), a.text(q("layout"), q("history-a4")),
                                        a.person(), world.now());
            what = QStringLiteral("history of %1").arg(a.text(q("of")).toUpper());
        } else {
            const QStringList ids = listed(a.text(q("hand-over")));
            document = handOverSheet(file->db(), ids, a.text(q("layout"), q("hand-over-a4")), a.person(),
                                     world.now());
            what = document ? document->title : QString();
        }
    }
    if (!document)
        return document.error();
    if (auto written = writePdf(*document, out); !written)
        return written;
    tell(world, a, QStringLiteral("%1: %2 on %3\n").arg(out, what, pagesText(*document)));
    return {};
}

Done packing(const Arguments &a, const World &world)
{
    const auto file = openForReading(a.positional().at(0));
    if (!file)
        return file.error();
    PackingPlan plan;
    if (a.has(q("plan"))) {
        if (auto regular = wantRegularFile(a.text(q("plan"))); !regular)
            return regular;
        QFile in(a.text(q("plan")));
        if (!in.open(QIODevice::ReadOnly))
            return fail(ErrorKind::Unreadable,
                        QStringLiteral("%1 can't be read: %2.").arg(in.fileName(), in.errorString()));
        auto read = readPackingPlan(in.readAll(), in.fileName());
        if (!read)
            return read.error();
        plan = std::move(*read);
    }
    if (a.has(q("shipment")))
        plan.shipment = a.text(q("shipment"));
    const QString out = a.text(q("out"));
    const auto pages =
        packingListPages(file->db(), plan, a.text(q("layout"), q("packing-a4")), a.person(), world.now());
    if (!pages)
        return pages.error();
    if (auto written = writePdf(pages->document, out); !written)
        return written;
    for (const QString &note : pages->notes)
        world.err(QStringLiteral("note: %1\n").arg(note));
    tell(world, a, QStringLiteral("%1: packing list on %2\n").arg(out, pagesText(pages->document)));
    return {};
}

Done report(const Arguments &a, const World &world)
{
    const auto opened = openDive(a, Database::Access::ReadOnly);
    if (!opened)
        return opened.error();
    const auto &[file, dive] = *opened;
    const QString out = a.text(q("out"));
    const QString layout = a.text(q("layout"), q("report-a4"));
    if (out.endsWith(QLatin1String(".html"), Qt::CaseInsensitive)) {
        const auto page = diveReportPage(file.db(), dive, layout, a.person(), world.now());
        if (!page)
            return page.error();
        if (auto written = writeWhole(out, page->toUtf8()); !written)
            return written;
        tell(world, a, QStringLiteral("%1: report of dive %2 as one page\n").arg(out).arg(dive));
        return {};
    }
    const auto document = diveReportPages(file.db(), dive, layout, a.person(), world.now());
    if (!document)
        return document.error();
    if (auto written = writePdf(*document, out); !written)
        return written;
    tell(world, a,
         QStringLiteral("%1: report of dive %2 on %3\n").arg(out).arg(dive).arg(pagesText(*document)));
    return {};
}

} // namespace

QList<Verb> paperVerbs()
{
    const Flag out{q("out"), q("OUT.pdf"), q("the PDF"), true};
    Flag dive = diveFlag();
    dive.required = false;
    return labelVerbs() +
           QList<Verb>{
               {q("sheet"),
                {q("FILE")},
                {dive,
                 {q("of"), q("ID"), q("instead: the history of one sample or specimen")},
                 {q("hand-over"), q("WHAT"),
                  q("instead: a recorded hand-over by its code, or ID,ID to be signed on paper")},
                 out,
                 {q("layout"), q("NAME"),
                  q("a layout of templates/sheets; custody-a4, history-a4 or hand-over-a4 when not given")},
                 byFlag()},
                q("Prints the custody sheet of a dive, a history or a hand-over to a PDF."),
                {},
                sheet},
               {q("packing"),
                {q("FILE")},
                {out,
                 {q("plan"), q("PLAN.json"),
                  q("who sends what to whom in which packages; without it each storage place is a package")},
                 {q("shipment"), q("NAME"), q("the shipment's number or name")},
                 {q("layout"), q("NAME"), q("a layout of templates/sheets; packing-a4 when not given")},
                 byFlag()},
                q("Prints a packing list with its dangerous goods to a PDF."),
                q("The list helps the people who decide; it is no transport document and no clearance. What "
                  "may "
                  "travel, and how, is for the carrier, local rules and licensed staff."),
                packing},
               {q("report"),
                {q("FILE")},
                {diveFlag(),
                 {q("out"), q("OUT"), q("the report: a PDF, or one HTML page when it ends in .html"), true},
                 {q("layout"), q("NAME"), q("a layout of templates/sheets; report-a4 when not given")},
                 byFlag()},
                q("Writes the report of a dive: numbers, track, depth, water, samples, losses, logs."),
                {},
                report},
           };
}

} // namespace holdfast::cli
