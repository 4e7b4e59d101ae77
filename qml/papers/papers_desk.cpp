// SPDX-License-Identifier: GPL-3.0-or-later
#include "papers_desk.h"

#include "base/template_folder.h"
#include "print/dive_papers.h"

#include <QFileInfo>
#include <QPrinter>
#include <QPrinterInfo>
#include <algorithm>

namespace holdfast
{

PapersDesk::PapersDesk(Desk &desk, QObject *parent) : QObject(parent), m_desk(&desk)
{
    m_pool.setMaxThreadCount(1);
    // The sheets of a dive; those of one hand-over, one specimen or one packing belong to places to come.
    for (const QString &name : templateNames(QStringLiteral("sheets")).value_or(QStringList())) {
        const auto layout =
            name.startsWith(QLatin1String("custody"))
                ? loadSheetLayout(templateFolder().value_or(QString()) + QStringLiteral("/sheets"), name)
                : Result<SheetLayout>(fail(ErrorKind::NotFound, {}));
        if (layout)
            m_papers.push_back(
                {name, layout->title, tr("goes with the samples, is signed at each hand-over"), 0});
    }
    if (const auto stocks = labelStocks()) {
        for (const LabelStock &stock : *stocks)
            m_papers.push_back({stock.name, stock.title, stock.use, std::max(1, stock.labelsPerPage())});
    }
    connect(m_desk, &Desk::refreshed, this, [this] {
        m_stale = true;
        if (m_shown)
            layOut();
    });
}

PapersDesk::~PapersDesk() = default;

const PapersDesk::Paper *PapersDesk::paper() const
{
    return m_chosen >= 0 && m_chosen < static_cast<int>(m_papers.size())
               ? &m_papers[static_cast<std::size_t>(m_chosen)]
               : nullptr;
}

void PapersDesk::setShown(bool shown)
{
    m_shown = shown;
    if (shown && m_stale)
        layOut();
}

void PapersDesk::choose(int paper)
{
    const int bounded = std::clamp(paper, 0, std::max(0, static_cast<int>(m_papers.size()) - 1));
    if (bounded == m_chosen)
        return;
    m_chosen = bounded;
    m_page = 0;
    m_start = 1;
    layOut();
}

void PapersDesk::setStart(int start)
{
    const int most = paper() ? paper()->perPage : 1;
    if (start < 1 || start > most || start == m_start)
        return;
    m_start = start;
    layOut();
}

Result<PapersDesk::Laid> PapersDesk::layOutPaper(const QString &path, int dive, const Paper &paper, int start,
                                                 const Act &act)
{
    const auto db = Database::open(path, Database::Access::ReadOnly);
    if (!db)
        return db.error();
    if (paper.perPage == 0) {
        auto sheet = diveCustodySheet(*db, dive, paper.name, act.person, act.now);
        if (!sheet)
            return sheet.error();
        return Laid{std::make_shared<const PageDocument>(std::move(*sheet)), {}, 0};
    }
    auto labels = diveLabelSheets(*db, dive, paper.name, start);
    if (!labels)
        return labels.error();
    return Laid{std::make_shared<const PageDocument>(std::move(labels->document)), labels->notes,
                labels->printed};
}

void PapersDesk::layOut()
{
    m_stale = false;
    if (m_desk->dive() == 0 || !paper()) {
        m_laid = {};
        m_trouble = tr("Open a cruise with a dive first: Alt+1.");
        emit changed();
        return;
    }
    m_working = true;
    const int turn = ++m_turn;
    m_pool.start([this, turn, path = m_desk->path(), dive = m_desk->dive(), paper = *paper(), start = m_start,
                  act = m_desk->act()] {
        const auto laid = layOutPaper(path, dive, paper, start, act);
        QMetaObject::invokeMethod(this, [this, laid, turn] { receive(laid, turn); });
    });
    emit changed();
}

void PapersDesk::receive(const Result<Laid> &laid, int turn)
{
    if (turn != m_turn)
        return; // another paper was chosen meanwhile
    m_working = false;
    m_laid = laid.value_or(Laid());
    m_notes = m_laid.notes.mid(0, 4);
    m_trouble = laid ? QString() : laid.error().sentence;
    m_page = std::clamp(m_page, 0, std::max(0, pages() - 1));
    emit changed();
}

QStringList PapersDesk::titles() const
{
    QStringList all;
    for (const Paper &paper : m_papers)
        all << (paper.perPage == 0 ? paper.title : tr("Labels: %1").arg(paper.title));
    return all;
}

int PapersDesk::pages() const
{
    return m_laid.document ? static_cast<int>(m_laid.document->pages.size()) : 0;
}

void PapersDesk::setPage(int page)
{
    const int bounded = std::clamp(page, 0, std::max(0, pages() - 1));
    if (bounded == m_page)
        return;
    m_page = bounded;
    emit changed();
}

const Page *PapersDesk::shownPage() const
{
    return m_page < pages() ? &m_laid.document->pages[static_cast<std::size_t>(m_page)] : nullptr;
}

QString PapersDesk::answer() const
{
    if (pages() == 0)
        return m_working ? tr("laying out") : tr("nothing");
    const QString sheets = pages() == 1 ? tr("1 page") : tr("%1 pages").arg(pages());
    return m_laid.labels == 0 ? sheets : tr("%1 labels on %2").arg(m_laid.labels).arg(sheets);
}

QString PapersDesk::use() const
{
    return paper() ? paper()->use : QString();
}

bool PapersDesk::hasStart() const
{
    return paper() && paper()->perPage > 1;
}

QString PapersDesk::exportPath() const
{
    const QFileInfo file(m_desk->path());
    return QStringLiteral("%1/%2-dive-%3-%4.pdf")
        .arg(file.absolutePath(), file.completeBaseName())
        .arg(m_desk->dive(), 2, 10, QLatin1Char('0'))
        .arg(paper() ? paper()->name : QString());
}

void PapersDesk::exportPdf()
{
    if (!m_laid.document)
        return;
    m_pool.start([this, document = m_laid.document, path = exportPath()] {
        const auto written = writePdf(*document, path);
        QMetaObject::invokeMethod(this, [this, written, path] {
            m_desk->notices().say(QStringLiteral("paper"),
                                  written ? Notices::Weight::Note : Notices::Weight::Problem,
                                  written ? tr("Written: %1").arg(path) : written.error().sentence);
        });
    });
}

void PapersDesk::findPrinters()
{
    m_printers = QPrinterInfo::availablePrinterNames();
    emit printersChanged();
}

void PapersDesk::print(int printer)
{
    if (!m_laid.document || printer < 0 || printer >= m_printers.size())
        return;
    QPrinter device(QPrinterInfo::printerInfo(m_printers[printer]), QPrinter::HighResolution);
    device.setDocName(m_laid.document->title);
    const auto printed = paintDocument(*m_laid.document, device);
    m_desk->notices().say(QStringLiteral("paper"), printed ? Notices::Weight::Note : Notices::Weight::Problem,
                          printed ? tr("Sent to %1: %2.").arg(m_printers[printer], answer())
                                  : printed.error().sentence);
}

} // namespace holdfast
