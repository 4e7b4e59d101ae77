// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/csv.h"
#include "cli/cli.h"
#include "print/dive_papers.h"
#include "print/dive_report_paper.h"

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

/// The acknowledgement, unless the paper itself went to standard output.
void tell(const World &world, const Arguments &a, const QString &sentence)
{
    if (a.text(q("out")) != QLatin1String("-"))
        world.out(sentence);
}

Done labels(const Arguments &a, const World &world)
{
    const auto opened = openDive(a, Database::Access::ReadOnly);
    if (!opened)
        return opened.error();
    const auto &[file, dive] = *opened;
    int start = 1;
    if (a.has(q("start"))) {
        const auto given = a.whole(q("start"));
        if (!given)
            return given.error();
        start = *given;
    }
    const auto sheets = diveLabelSheets(file.db(), dive, a.text(q("stock")), start);
    if (!sheets)
        return sheets.error();
    if (auto written = writePdf(sheets->document, a.text(q("out"))); !written)
        return written;
    for (const QString &note : sheets->notes)
        world.err(QStringLiteral("note: %1\n").arg(note));
    tell(world, a,
         QStringLiteral("%1: %2 labels on %3 pages\n")
             .arg(a.text(q("out")))
             .arg(sheets->printed)
             .arg(sheets->document.pages.size()));
    return {};
}

Done sheet(const Arguments &a, const World &world)
{
    const auto opened = openDive(a, Database::Access::ReadOnly);
    if (!opened)
        return opened.error();
    const auto &[file, dive] = *opened;
    const auto document =
        diveCustodySheet(file.db(), dive, a.text(q("layout"), q("custody-a4")), a.person(), world.now());
    if (!document)
        return document.error();
    if (auto written = writePdf(*document, a.text(q("out"))); !written)
        return written;
    tell(world, a,
         QStringLiteral("%1: custody sheet of dive %2 on %3 pages\n")
             .arg(a.text(q("out")))
             .arg(dive)
             .arg(document->pages.size()));
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
    tell(
        world, a,
        QStringLiteral("%1: report of dive %2 on %3 pages\n").arg(out).arg(dive).arg(document->pages.size()));
    return {};
}

} // namespace

QList<Verb> paperVerbs()
{
    return {
        {q("labels"),
         {q("FILE")},
         {diveFlag(),
          {q("stock"), q("NAME"), q("a label stock of templates/labels, as in a4-70x37"), true},
          {q("out"), q("OUT.pdf"), q("the PDF"), true},
          {q("start"), q("POSITION"), q("the first free label of a part-used sheet, from 1")}},
         q("Prints the labels of a dive's samples, with QR codes, to a PDF."),
         {},
         labels},
        {q("sheet"),
         {q("FILE")},
         {diveFlag(),
          {q("out"), q("OUT.pdf"), q("the PDF"), true},
          {q("layout"), q("NAME"), q("a layout of templates/sheets; custody-a4 when not given")},
          byFlag()},
         q("Prints the custody sheet of a dive to a PDF."),
         {},
         sheet},
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
