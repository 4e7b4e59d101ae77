// SPDX-License-Identifier: GPL-3.0-or-later
#include "papers_desk.h"

#include "base/csv.h"
#include "base/ids.h"
#include "print/dive_report_paper.h"

#include <QFileInfo>
#include <QPrinterInfo>
#include <QSettings>
#include <algorithm>

namespace holdfast
{

namespace
{

constexpr int typingPauseMs = 120;
const QString contactKey = QStringLiteral("papers/contact");
const QString stockKey = QStringLiteral("papers/stock");
const QString printerKey = QStringLiteral("papers/printer");
const QString startKey = QStringLiteral("start");

} // namespace

PapersDesk::PapersDesk(Desk &desk, QObject *parent) : QObject(parent), m_desk(&desk)
{
    m_pool.setMaxThreadCount(1);
    for (const auto kind : {Paper::Kind::Custody, Paper::Kind::Report, Paper::Kind::HandOver,
                            Paper::Kind::History, Paper::Kind::Packing, Paper::Kind::Labels})
        m_settings[kind] = settingsOf(kind);
    for (PaperSetting &setting : m_settings[Paper::Kind::Labels]) {
        if (setting.key == u"contact")
            setting.value = QSettings().value(contactKey).toString();
    }
    QStringList faults;
    m_papers = papersAtHand(faults);
    for (const QString &fault : std::as_const(faults))
        m_desk->notices().say(QStringLiteral("paper"), Notices::Weight::Problem, fault);
    showFields();
    m_typing.setSingleShot(true);
    m_typing.setInterval(typingPauseMs);
    connect(&m_typing, &QTimer::timeout, this, &PapersDesk::layOut);
    connect(m_desk, &Desk::refreshed, this, [this] {
        m_stale = true;
        if (m_shown)
            layOut();
    });
}

PapersDesk::~PapersDesk() = default;

const Paper *PapersDesk::paper() const
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

void PapersDesk::choose(int index)
{
    const int bounded = std::clamp(index, 0, std::max(0, static_cast<int>(m_papers.size()) - 1));
    if (bounded == m_chosen || editing())
        return;
    m_chosen = bounded;
    if (isLabels())
        QSettings().setValue(stockKey, paper()->name);
    m_page = 0;
    setStart(1);
    showFields();
    layOut();
}

void PapersDesk::showFields()
{
    std::vector<FieldList::Field> fields;
    if (m_draft) {
        fields.push_back(
            {tr("Stock"), tr("kept as"), m_draft->name(), tr("letters, digits, - and _"), false});
        for (const StockDraft::Row &row : m_draft->rows())
            fields.push_back({row.part, row.label, row.value, row.hint, false});
    } else if (paper()) {
        for (const PaperSetting &setting : settings())
            fields.push_back(
                {QString(), setting.label, setting.value, setting.hint, setting.key == u"items"});
    }
    m_fields.reset(std::move(fields));
    m_inHand = -1;
}

QString PapersDesk::settingOf(const QString &key) const
{
    if (!paper())
        return {};
    const auto &all = m_settings.at(paper()->kind);
    const auto found =
        std::find_if(all.begin(), all.end(), [&](const PaperSetting &s) { return s.key == key; });
    return found == all.end() ? QString() : found->value;
}

void PapersDesk::setField(int row, const QString &text)
{
    if (row < 0 || row >= m_fields.rowCount() || !paper())
        return;
    if (m_draft) {
        if (row == 0)
            m_draft->setName(text.trimmed());
        else
            m_draft->set(static_cast<std::size_t>(row - 1), text);
        draftChanged(row);
        return;
    }
    PaperSetting &setting = settings()[static_cast<std::size_t>(row)];
    if (setting.value == text)
        return;
    setting.value = text;
    if (setting.key == u"contact")
        QSettings().setValue(contactKey, text);
    m_typing.start();
}

void PapersDesk::setFieldInHand(int row)
{
    if (row == m_inHand)
        return;
    m_inHand = row;
    emit changed();
}

void PapersDesk::takePapers(const std::vector<Paper> &papers, const QStringList &faults,
                            const QString &thenChoose)
{
    m_papers = papers;
    for (const QString &fault : faults)
        tell(fail(ErrorKind::Malformed, fault));
    for (std::size_t i = 0; i < m_papers.size(); ++i) {
        if (m_papers[i].name == thenChoose)
            m_chosen = static_cast<int>(i);
    }
    emit papersChanged();
    showFields();
    layOut();
}

PaperJob PapersDesk::job() const
{
    PaperJob job;
    job.path = m_desk->path();
    job.dive = m_desk->dive();
    job.act = m_desk->act();
    job.paper = *paper();
    job.draft = m_draftStock;
    for (const PaperSetting &setting : m_settings.at(paper()->kind))
        job.settings.insert(setting.key, setting.value);
    return job;
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
    m_pool.start([this, turn, wanted = job()] {
        if (turn != m_turn)
            return; // another paper was chosen before this one's turn came
        const auto laid = layOutPaper(wanted);
        QMetaObject::invokeMethod(this, [this, laid, turn] { receive(laid, turn); });
    });
    emit changed();
}

void PapersDesk::receive(const Result<LaidPaper> &laid, int turn)
{
    if (turn != m_turn)
        return; // another paper was chosen meanwhile
    m_working = false;
    // While something is typed the last good page stays in sight, with the sentence that says what is wrong.
    if (laid || !editing())
        m_laid = laid.value_or(LaidPaper());
    m_notes = m_laid.notes.mid(0, 4);
    if (!m_draft || m_draft->stock())
        m_trouble = laid ? QString() : laid.error().sentence;
    m_page = std::clamp(m_page, 0, std::max(0, pages() - 1));
    emit changed();
}

QStringList PapersDesk::titles() const
{
    QStringList all;
    for (const Paper &paper : m_papers)
        all << paper.title;
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
    if (m_laid.labels == 0)
        return sheets;
    return m_laid.labels == 1 ? tr("1 label on %1").arg(sheets)
                              : tr("%1 labels on %2").arg(m_laid.labels).arg(sheets);
}

QString PapersDesk::use() const
{
    return paper() ? paper()->use : QString();
}

bool PapersDesk::hasStart() const
{
    return paper() && paper()->perPage > 1 && !editing();
}

int PapersDesk::start() const
{
    return std::max(1, settingOf(startKey).toInt());
}

void PapersDesk::setStart(int start)
{
    const int most = paper() ? paper()->perPage : 1;
    if (!isLabels() || start < 1 || start > most || start == this->start())
        return;
    for (PaperSetting &setting : settings()) {
        if (setting.key == startKey)
            setting.value = QString::number(start);
    }
    std::vector<FieldList::Field> fields;
    for (const PaperSetting &setting : settings())
        fields.push_back({QString(), setting.label, setting.value, setting.hint, setting.key == u"items"});
    m_fields.update(fields, -1);
    layOut();
}

QString PapersDesk::exportPath() const
{
    const QFileInfo file(m_desk->path());
    const QString name = paper() ? paper()->name : QString();
    const QString whole = file.absolutePath() + QLatin1Char('/') + file.completeBaseName();
    if (paper() && paper()->kind == Paper::Kind::Packing)
        return QStringLiteral("%1-%2.pdf").arg(whole, name);
    const auto item = readPrintedId(settingOf(QStringLiteral("item")));
    if (paper() && paper()->kind == Paper::Kind::History && item && !item->id.isEmpty())
        return QStringLiteral("%1-%2-%3.pdf").arg(whole, item->id, name);
    const bool blank = paper() && job().wantsBlank();
    return QStringLiteral("%1-dive-%2-%3%4.pdf")
        .arg(whole)
        .arg(m_desk->dive(), 2, 10, QLatin1Char('0'))
        .arg(blank ? QStringLiteral("blank-") : QString(), name);
}

void PapersDesk::tell(const Result<QString> &told)
{
    m_desk->notices().say(QStringLiteral("paper"), told ? Notices::Weight::Note : Notices::Weight::Problem,
                          told ? *told : told.error().sentence);
}

void PapersDesk::withPages(const std::function<Result<QString>(const PageDocument &)> &work)
{
    if (!m_laid.document || editing())
        return;
    const auto run = [this, work](const DocumentPtr &document) {
        const Result<QString> told = work(*document);
        QMetaObject::invokeMethod(this, [this, told] { tell(told); });
    };
    if (!job().wantsBlank()) {
        m_pool.start([run, document = m_laid.document] { run(document); });
        return;
    }
    const auto count = blankCount(job());
    if (!count) {
        tell(count.error());
        return;
    }
    const auto taken = std::make_shared<BlankRange>();
    m_desk->write(
        tr("Giving numbers to blank labels"),
        [taken, wanted = job(), count = *count](CruiseFile &file) -> Done {
            const auto range = takeBlankLabels(file, wanted.act, wanted.dive, count);
            if (!range)
                return range.error();
            *taken = *range;
            return {};
        },
        [this, run, taken, wanted = job()](const Done &done) mutable {
            if (!done)
                return;
            wanted.blank = *taken;
            m_pool.start([this, run, wanted] {
                const auto laid = layOutPaper(wanted);
                if (laid)
                    run(laid->document);
                else
                    QMetaObject::invokeMethod(this, [this, laid] { tell(laid.error()); });
            });
        });
}

void PapersDesk::exportPdf()
{
    const bool packing = paper() && paper()->kind == Paper::Kind::Packing;
    withPages(
        [path = exportPath(), packing, wanted = job()](const PageDocument &document) -> Result<QString> {
            if (const auto written = writePdf(document, path); !written)
                return written.error();
            if (packing) {
                const auto plan = packingPlanOf(wanted);
                if (!plan)
                    return plan.error();
                if (const auto kept = writeWhole(packingPlanPath(wanted.path), packingPlanJson(*plan)); !kept)
                    return kept.error();
            }
            return tr("Written: %1").arg(path);
        });
}

void PapersDesk::exportHtml()
{
    if (!isReport() || m_desk->dive() == 0)
        return;
    const QString path = exportPath().chopped(3) + QStringLiteral("html");
    m_pool.start([this, path, wanted = job()] {
        const auto told = [&]() -> Result<QString> {
            const auto db = Database::open(wanted.path, Database::Access::ReadOnly);
            if (!db)
                return db.error();
            const auto page =
                diveReportPage(*db, wanted.dive, wanted.paper.name, wanted.act.person, wanted.act.now);
            if (!page)
                return page.error();
            if (const auto written = writeWhole(path, page->toUtf8()); !written)
                return written.error();
            return tr("Written: %1").arg(path);
        }();
        QMetaObject::invokeMethod(this, [this, told] { tell(told); });
    });
}

void PapersDesk::bind(const QString &label, const QString &item, const QString &reason)
{
    const Act act = m_desk->act();
    m_desk->write(
        tr("Binding label %1").arg(label.trimmed().toUpper()),
        [=](CruiseFile &file) -> Done {
            const auto bound = bindLabel(file, act, label, item, reason);
            if (!bound)
                return bound.error();
            return {};
        },
        [this, label, item](const Done &done) {
            if (!done)
                return;
            tell(tr("Label %1 is on %2 now.").arg(label.trimmed().toUpper(), item.trimmed().toUpper()));
            emit bound();
        });
}

void PapersDesk::findPrinters()
{
    m_printers = QPrinterInfo::availablePrinterNames();
    emit printersChanged();
}

void PapersDesk::print(int printer)
{
    if (printer < 0 || printer >= m_printers.size())
        return;
    QSettings().setValue(printerKey, m_printers[printer]);
    withPages([name = m_printers[printer], what = answer()](const PageDocument &document) -> Result<QString> {
        QPrinter device(QPrinterInfo::printerInfo(name), QPrinter::HighResolution);
        if (const auto printed = printPages(document, device); !printed)
            return printed.error();
        return tr("Sent to %1: %2.").arg(name, what);
    });
}

void PapersDesk::printLabelsOf(const QStringList &ids)
{
    if (ids.isEmpty()) {
        tell(fail(ErrorKind::NotFound, tr("Nothing is logged here that could have a label.")));
        return;
    }
    const QString last = QSettings().value(stockKey).toString();
    const Paper *stock = nullptr;
    for (const Paper &one : m_papers) {
        if (one.kind != Paper::Kind::Labels)
            continue;
        if (one.name == last) {
            stock = &one;
            break;
        }
        if (!stock || (stock->perPage > 1 && one.perPage == 1))
            stock = &one;
    }
    if (!stock) {
        tell(fail(ErrorKind::NotFound, tr("There is no label stock to print on.")));
        return;
    }
    PaperJob wanted;
    wanted.path = m_desk->path();
    wanted.dive = m_desk->dive();
    wanted.act = m_desk->act();
    wanted.paper = *stock;
    for (const PaperSetting &setting : m_settings.at(Paper::Kind::Labels))
        wanted.settings.insert(setting.key, setting.value);
    wanted.settings.insert(QStringLiteral("of"), QStringLiteral("samples"));
    wanted.settings.insert(QStringLiteral("items"), ids.join(QLatin1Char(',')));
    if (stock->perPage == 1)
        wanted.settings.insert(startKey, QStringLiteral("1"));
    const QFileInfo file(m_desk->path());
    const QString pdf = QStringLiteral("%1/%2-label-%3.pdf")
                            .arg(file.absolutePath(), file.completeBaseName(), ids.join(u'+'));
    m_pool.start([this, wanted, pdf, ids, name = QSettings().value(printerKey).toString()] {
        const auto told = [&]() -> Result<QString> {
            const auto laid = layOutPaper(wanted);
            if (!laid)
                return laid.error();
            const QString what = ids.join(tr(" and "));
            const QPrinterInfo info = name.isEmpty() ? QPrinterInfo() : QPrinterInfo::printerInfo(name);
            if (info.isNull()) {
                if (const auto written = writePdf(*laid->document, pdf); !written)
                    return written.error();
                return name.isEmpty()
                           ? tr("No printer was used yet under Papers: the label of %1 is in %2")
                                 .arg(what, pdf)
                           : tr("The printer %1 is not there: the label of %2 is in %3").arg(name, what, pdf);
            }
            QPrinter device(info, QPrinter::HighResolution);
            if (const auto printed = printPages(*laid->document, device); !printed)
                return printed.error();
            return tr("Sent to %1: the label of %2.").arg(name, what);
        }();
        QMetaObject::invokeMethod(this, [this, told] { tell(told); });
    });
}

} // namespace holdfast
