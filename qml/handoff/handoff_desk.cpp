// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff_desk.h"

#include "handoff/check_package.h"
#include "handoff/make_package.h"

#include <QRegularExpression>
#include <algorithm>

namespace holdfast
{

namespace
{

/// Makes the package and checks it as an archive would.
Result<PackageMadeHere> makeAndCheck(PackageOrder order, const JobControl &job)
{
    auto about = DatasetAbout::beside(order.cruisePath);
    if (!about)
        return about.error();
    order.about = std::move(*about);
    const auto made = makePackage(order, job);
    if (!made)
        return made.error();
    const auto report = checkPackage(made->path, order.now, {job.stop, {}});
    if (!report)
        return report.error();
    QStringList lines = report->text().split(QLatin1Char('\n'), Qt::SkipEmptyParts);
    std::reverse(lines.begin(), lines.end()); // the sum first
    return PackageMadeHere{made->path, lines, report->errors() == 0};
}

/// The sample or specimen that a line names, by the rows of the grid; empty: none.
QString itemNamedIn(const QString &line, const CompletenessGrid &grid)
{
    static const QRegularExpression between(QStringLiteral("[^A-Za-z0-9.-]+"));
    for (QString word : line.split(between, Qt::SkipEmptyParts)) {
        while (word.endsWith(QLatin1Char('.'))) // the end of a sentence
            word.chop(1);
        for (const CompletenessRow &row : grid.rows) {
            const bool item = row.kind == RowKind::Sample || row.kind == RowKind::Specimen;
            if (item && row.id == word)
                return row.id;
        }
    }
    return {};
}

} // namespace

HandoffDesk::HandoffDesk(Desk &desk, QObject *parent)
    : QObject(parent), m_desk(&desk), m_about(desk), m_choices(desk)
{
    m_pool.setMaxThreadCount(1);
    connect(&m_about, &AboutDesk::saved, this, [this] {
        m_stale = true;
        if (m_shown && !m_making)
            judge();
    });
    connect(m_desk, &Desk::leaving, this, [this] { m_report.clear(); });
    connect(m_desk, &Desk::refreshed, this, [this] {
        m_stale = true;
        if (m_shown && !m_making)
            judge();
        if (m_shown && !m_choices.looked())
            m_choices.look();
    });
}

HandoffDesk::~HandoffDesk()
{
    m_stop.request_stop();
}

void HandoffDesk::setShown(bool shown)
{
    m_shown = shown;
    if (shown && m_stale && !m_making)
        judge();
    if (shown)
        m_choices.look();
}

void HandoffDesk::judge()
{
    m_stale = false;
    if (!m_desk->isOpen()) {
        m_trouble = tr("Open a cruise first: Alt+1.");
        emit changed();
        return;
    }
    m_judging = true;
    m_trouble.clear();
    const int turn = ++m_turn;
    m_pool.start([this, turn, path = m_desk->path(), stop = m_stop.get_token()] {
        if (turn != m_turn)
            return; // the record has changed while others were judged
        const auto about = DatasetAbout::beside(path);
        const auto grid =
            about ? cruiseCompleteness(path, *about, {stop, {}}) : Result<CompletenessGrid>(about.error());
        QMetaObject::invokeMethod(this, [this, grid, turn] { receive(grid, turn); });
    });
    emit changed();
}

void HandoffDesk::receive(const Result<CompletenessGrid> &grid, int turn)
{
    if (turn != m_turn)
        return; // the record has changed meanwhile
    m_judging = false;
    m_trouble = grid ? QString() : grid.error().sentence;
    const CompletenessRow *const inHand = m_grid.at(m_row);
    const QString id = inHand ? inHand->id : QString();
    if (grid)
        m_grid.show(*grid, m_onlyOpen);
    for (int r = 0; r < m_grid.rowCount(); ++r) {
        if (m_grid.at(r)->id == id)
            m_row = r;
    }
    choose(m_row, m_column);
}

const CompletenessCell *HandoffDesk::cell() const
{
    const CompletenessRow *const row = m_grid.at(m_row);
    if (!row || m_column < 0 || m_column >= static_cast<int>(row->cells.size()))
        return nullptr;
    return &row->cells[static_cast<std::size_t>(m_column)];
}

void HandoffDesk::choose(int row, int column)
{
    m_row = std::clamp(row, 0, std::max(0, m_grid.rowCount() - 1));
    m_column = std::clamp(column, 0, std::max(0, static_cast<int>(m_grid.grid().requirements.size()) - 1));
    emit changed();
}

void HandoffDesk::move(int rows, int columns)
{
    choose(m_row + rows, m_column + columns);
}

void HandoffDesk::nextOpen()
{
    const int columns = static_cast<int>(m_grid.grid().requirements.size());
    const int cells = m_grid.rowCount() * columns;
    for (int step = 1; step <= cells; ++step) {
        const int at = (m_row * columns + m_column + step) % cells;
        const CellState state = m_grid.at(at / columns)->cells[static_cast<std::size_t>(at % columns)].state;
        if (state == CellState::Missing || state == CellState::Doubtful) {
            choose(at / columns, at % columns);
            return;
        }
    }
}

void HandoffDesk::setOnlyOpen(bool onlyOpen)
{
    m_onlyOpen = onlyOpen;
    m_grid.showOnlyOpen(onlyOpen);
    choose(0, m_column);
}

QString HandoffDesk::answer() const
{
    if (!m_trouble.isEmpty())
        return m_trouble;
    if (m_judging && m_grid.grid().rows.empty())
        return tr("looking");
    const int missing = m_grid.grid().count(CellState::Missing);
    const int doubtful = m_grid.grid().count(CellState::Doubtful);
    if (missing + doubtful == 0)
        return tr("nothing");
    return tr("%1 missing, %2 doubtful").arg(missing).arg(doubtful);
}

QString HandoffDesk::sentence() const
{
    const CompletenessCell *const c = cell();
    if (!c)
        return {};
    if (!c->sentence.isEmpty())
        return c->sentence;
    return c->state == CellState::Met ? tr("Met.") : tr("Not asked of this.");
}

QString HandoffDesk::mend() const
{
    const CompletenessCell *const c = cell();
    const bool open = c && (c->state == CellState::Missing || c->state == CellState::Doubtful);
    if (!open)
        return {};
    const Requirement &r = m_grid.grid().requirements[static_cast<std::size_t>(m_column)];
    return aboutFieldFor(r.check).isEmpty() ? r.mend : tr("about the data set");
}

void HandoffDesk::goMend()
{
    const QString place = mend();
    if (place.isEmpty())
        return;
    const Requirement &r = m_grid.grid().requirements[static_cast<std::size_t>(m_column)];
    if (const QString field = aboutFieldFor(r.check); !field.isEmpty()) {
        m_about.open(field);
        return;
    }
    const CompletenessRow row = *m_grid.at(m_row);
    if (row.dive > 0 && row.dive != m_desk->dive())
        m_desk->showDive(row.dive);
    if (row.kind == RowKind::Sample || row.kind == RowKind::Specimen)
        m_desk->wantItem(place, row.id);
    else
        m_desk->wantPlace(place);
}

void HandoffDesk::makeOrStop()
{
    if (m_making) {
        m_stop.request_stop();
        return;
    }
    if (!m_desk->isOpen())
        return;
    if (m_about.unsaved()) {
        m_desk->notices().say(QStringLiteral("package"), Notices::Weight::Care,
                              tr("What was typed about the data set is not saved, so it would not be in the "
                                 "package: D, then Ctrl+S."));
        return;
    }
    PackageOrder order;
    order.cruisePath = m_desk->path();
    m_choices.applyTo(order);
    order.person = m_desk->act().person;
    order.now = m_desk->act().now;
    m_stop = std::stop_source();
    m_making = true;
    m_report.clear();
    m_pool.start([this, order, stop = m_stop.get_token()] {
        const JobControl job{stop, [this](const QString &doing, double share) {
                                 QMetaObject::invokeMethod(this, [this, doing, share] {
                                     m_doing = doing;
                                     m_progress = share;
                                     emit progressed();
                                 });
                             }};
        const auto made = makeAndCheck(order, job);
        QMetaObject::invokeMethod(this, [this, made] { finished(made); });
    });
    emit changed();
}

void HandoffDesk::finished(const Result<PackageMadeHere> &made)
{
    m_making = false;
    m_stop = std::stop_source();
    if (made) {
        m_report = made->report;
        m_reportGood = made->good;
        m_desk->notices().say(QStringLiteral("package"), Notices::Weight::Note,
                              tr("Made: %1").arg(made->path));
    } else {
        const bool stopped = made.error().kind == ErrorKind::Cancelled;
        m_desk->notices().say(QStringLiteral("package"),
                              stopped ? Notices::Weight::Note : Notices::Weight::Problem,
                              made.error().sentence);
    }
    m_finding = 0;
    if (m_stale && m_shown)
        judge();
    m_choices.look();
    emit changed();
}

void HandoffDesk::setFinding(int row)
{
    m_finding = std::clamp(row, 0, std::max(0, static_cast<int>(m_report.size()) - 1));
    emit changed();
}

QString HandoffDesk::findingItem() const
{
    return itemNamedIn(m_report.value(m_finding), m_grid.grid());
}

void HandoffDesk::showFinding()
{
    if (const QString item = findingItem(); !item.isEmpty())
        m_desk->wantItem(QStringLiteral("hand-off"), item);
}

} // namespace holdfast
