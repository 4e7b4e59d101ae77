// SPDX-License-Identifier: GPL-3.0-or-later
#include "recovery_desk.h"

#include "custody/not_found.h"
#include "print/value_text.h"

#include <QSettings>
#include <algorithm>

namespace holdfast
{

namespace
{

const QString followsKey = QStringLiteral("recovery/labelFollows");

} // namespace

RecoveryDesk::RecoveryDesk(Desk &desk, PapersDesk &papers, QObject *parent)
    : QObject(parent), m_desk(&desk), m_papers(&papers),
      m_labelFollows(QSettings().value(followsKey).toBool())
{
    // Holding rules that can't be read are told by the bench; here the clocks stay away then.
    if (auto rules = HoldingRules::load())
        m_rules.emplace(std::move(*rules));
    // Minutes run down without anybody writing.
    m_clock.setInterval(30000);
    connect(&m_clock, &QTimer::timeout, this, [this] {
        readClocks();
        emit changed();
    });
    m_clock.start();
    connect(m_desk, &Desk::refreshed, this, &RecoveryDesk::refresh);
}

void RecoveryDesk::refresh()
{
    const SnapshotPtr s = m_desk->snapshot();
    const bool other = m_desk->dive() != m_dive;
    m_dive = m_desk->dive();
    m_tally.update(m_dive, s->tally);
    if (other || m_row >= m_tally.rowCount()) {
        m_row = m_tally.rowCount() > 0 ? 0 : -1;
        m_wants = 0;
        if (m_row >= 0 && m_tally.lines().front().answer)
            goToNextOpen(0);
    }
    readClocks();
    emit changed();
}

void RecoveryDesk::readClocks()
{
    if (!m_desk->isOpen() || !m_rules)
        return;
    const quint64 turn = ++m_turn;
    m_reader.read<DueList>(
        m_desk->path(),
        [rules = *m_rules, now = m_desk->act().now](const CruiseFile &file) {
            return readDue(file.db(), rules, now);
        },
        this,
        [this, turn](const Result<DueList> &list) {
            if (turn != m_turn)
                return;
            if (!list) {
                m_desk->notices().say(QStringLiteral("clocks"), Notices::Weight::Problem,
                                      list.error().sentence);
                return;
            }
            QMap<QString, ClockReading> soonest; // the list has the least time left first
            for (const DueItem &due : list->due) {
                if (!soonest.contains(due.item.sample))
                    soonest.insert(due.item.sample, due.clock);
            }
            m_tally.setClocks(soonest);
        });
}

QString RecoveryDesk::sinceBottom() const
{
    const SnapshotPtr s = m_desk->snapshot();
    if (!s || !s->dive)
        return {};
    if (!s->dive->offBottom)
        return tr("Off bottom is not recorded: no cold clock runs.");
    const double minutes = secondsBetween(*s->dive->offBottom, m_desk->act().now) / 60;
    // A dive of another week, or a clock that is set wrong: the moment itself says more.
    if (minutes < 0 || minutes >= 48.0 * 60)
        return tr("off bottom %1").arg(dateTimeText(s->dive->offBottom));
    const int whole = static_cast<int>(minutes);
    return whole < 60 ? tr("off bottom %1 min ago").arg(whole)
                      : tr("off bottom %1 h %2 min ago").arg(whole / 60).arg(whole % 60);
}

void RecoveryDesk::printLabel()
{
    if (line())
        m_papers->printLabelsOf(line()->slot.held);
}

void RecoveryDesk::toggleLabelFollows()
{
    m_labelFollows = !m_labelFollows;
    QSettings().setValue(followsKey, m_labelFollows);
    emit changed();
}

void RecoveryDesk::goToNextOpen(int from)
{
    const auto &lines = m_tally.lines();
    const int n = m_tally.rowCount();
    for (int step = 1; step <= n; ++step) {
        const int row = (from + step) % n;
        if (!lines[static_cast<std::size_t>(row)].answer) {
            m_row = row;
            return;
        }
    }
}

const TallyLine *RecoveryDesk::line() const
{
    return m_row < 0 || m_row >= m_tally.rowCount() ? nullptr
                                                    : &m_tally.lines()[static_cast<std::size_t>(m_row)];
}

void RecoveryDesk::setRow(int row)
{
    const int bounded = std::clamp(row, m_tally.rowCount() > 0 ? 0 : -1, m_tally.rowCount() - 1);
    if (bounded == m_row)
        return;
    m_row = bounded;
    m_wants = 0;
    emit changed();
}

void RecoveryDesk::say(int number)
{
    if (!line() || closed() || number < 1 || number > alikeNumber)
        return;
    if ((number == riderNumber && held() < 1) || (number == alikeNumber && held() < 2))
        return;
    // What is not in its slot is lost or somewhere else: that is asked at once.
    const bool gone = number == 2 && !line()->slot.held.isEmpty();
    if (number >= 3 || gone) {
        m_wants = number;
        emit changed();
        return;
    }
    record(number, {});
}

void RecoveryDesk::sayWith(const QString &note)
{
    if (m_wants >= riderNumber)
        log(m_wants, note);
    else if (m_wants != 0)
        record(m_wants, note);
}

void RecoveryDesk::cancelNote()
{
    m_wants = 0;
    emit changed();
}

void RecoveryDesk::record(int number, const QString &note)
{
    const Act act = m_desk->act();
    const int dive = m_desk->dive();
    const QString slot = line()->slot.code;
    const QStringList held = line()->slot.held;
    const int row = m_row;
    const auto answer = static_cast<TallyAnswer>(number - 1);
    m_desk->write(
        tr("Tallying %1").arg(slot),
        [=](CruiseFile &file) {
            return answer == TallyAnswer::Empty ? tallyEmpty(file, act, dive, slot, note)
                                                : tallySlot(file, act, dive, slot, answer, note);
        },
        [this, slot, row, answer, held](const Done &done) {
            if (!done)
                return;
            if (m_labelFollows && answer != TallyAnswer::Empty && !held.isEmpty())
                m_papers->printLabelsOf(held);
            m_wants = 0;
            if (row == m_row)
                goToNextOpen(row);
            emit changed();
            emit tallied(slot);
        });
}

bool RecoveryDesk::take(const Item &item)
{
    if (!line() || closed())
        return false;
    if (item.dive != m_dive) {
        emit refused(
            tr("%1 is of dive %2; this is the tally of dive %3.").arg(item.id).arg(item.dive).arg(m_dive));
        return true;
    }
    for (int row = 0; row < m_tally.rowCount(); ++row) {
        const SlotState &slot = m_tally.lines()[static_cast<std::size_t>(row)].slot;
        if (!slot.held.contains(item.sample))
            continue;
        if (row != m_row)
            setRow(row);
        else if (line()->answer)
            emit refused(tr("%1 is tallied already: %2.").arg(slot.code, tallyWord(*line()->answer)));
        else if (slot.held.size() == 1)
            record(1, {});
        return true;
    }
    return false;
}

void RecoveryDesk::closeDive()
{
    const Act act = m_desk->act();
    const int dive = m_desk->dive();
    m_desk->write(tr("Closing dive %1").arg(dive),
                  [=](CruiseFile &file) { return holdfast::closeDive(file, act, dive); });
}

QString RecoveryDesk::code() const
{
    return line() ? line()->slot.code : QString();
}

QString RecoveryDesk::container() const
{
    return line() ? line()->slot.container : QString();
}

QString RecoveryDesk::where() const
{
    if (!line())
        return {};
    const SnapshotPtr s = m_desk->snapshot();
    for (const Loadout::Place &place : s->loadout.inUnloadOrder()) {
        if (place.slot->code == line()->slot.code)
            return place.box->where;
    }
    return {};
}

QStringList RecoveryDesk::expected() const
{
    QStringList lines;
    if (!line())
        return lines;
    const SnapshotPtr s = m_desk->snapshot();
    for (const SampleInfo &sample : s->samples) {
        if (!line()->slot.held.contains(sample.id))
            continue;
        QString words = sample.id + QStringLiteral("   ") + sample.kind;
        if (sample.count > 1)
            words += QStringLiteral(" × %1").arg(sample.count);
        if (!sample.description.isEmpty())
            words += QStringLiteral(", ") + sample.description;
        lines << words;
    }
    return lines;
}

QString RecoveryDesk::given() const
{
    if (!line() || !line()->answer)
        return {};
    QString words = tallyWord(*line()->answer);
    if (!line()->note.isEmpty())
        words += QStringLiteral(": ") + line()->note;
    return tr("%1 (%2)").arg(words, line()->by);
}

int RecoveryDesk::untallied() const
{
    const auto &lines = m_tally.lines();
    return static_cast<int>(
        std::count_if(lines.begin(), lines.end(), [](const TallyLine &l) { return !l.answer; }));
}

QString RecoveryDesk::answer() const
{
    if (m_tally.rowCount() == 0)
        return tr("no dive is open");
    if (closed())
        return tr("the dive is closed, its tally stands");
    const int left = untallied();
    if (left == 0)
        return tr("everything is tallied");
    return tr("%1 of %2 slots").arg(left).arg(m_tally.rowCount());
}

double RecoveryDesk::progress() const
{
    return m_tally.rowCount() == 0 ? 0 : 1.0 - static_cast<double>(untallied()) / m_tally.rowCount();
}

bool RecoveryDesk::mayClose() const
{
    return m_tally.rowCount() > 0 && untallied() == 0 && !closed();
}

bool RecoveryDesk::closed() const
{
    const SnapshotPtr s = m_desk->snapshot();
    return s && s->dive && s->dive->closed;
}

QString RecoveryDesk::wantsPrompt() const
{
    if (m_wants == 0)
        return {};
    return m_wants == 2
               ? tr("empty: type lost, or the slot where it is now; nothing while that is not known. "
                    "Until it is said, audit and hand-off ask for it.")
               : wantsWord();
}

QString RecoveryDesk::wantsWord() const
{
    if (m_wants == riderNumber)
        return tr("Found on %1: what is it? It becomes a specimen with the link, collected by on deck")
            .arg(line()->slot.held.join(tr(" or ")));
    if (m_wants == looseNumber)
        return tr("Found loose: what is it? It becomes a sample, collected within the dive");
    if (m_wants == alikeNumber)
        return tr("Can't be told apart: why? Each says so of the others");
    return m_wants == 0 ? QString()
                        : tr("%1: what was found? A few words stay with the record.")
                              .arg(tallyWord(static_cast<TallyAnswer>(m_wants - 1)));
}

void TallyModel::update(int dive, const std::vector<TallyLine> &lines)
{
    if (dive != m_dive || lines.size() != m_lines.size()) {
        beginResetModel();
        m_dive = dive;
        m_lines = lines;
        endResetModel();
        return;
    }
    m_lines = lines;
    if (!m_lines.empty())
        emit dataChanged(index(0), index(rowCount() - 1));
}

void TallyModel::setClocks(const QMap<QString, ClockReading> &clocks)
{
    m_clocks = clocks;
    if (!m_lines.empty())
        emit dataChanged(index(0), index(rowCount() - 1), {static_cast<int>(Role::Clock)});
}

QString TallyModel::clockText(const TallyLine &line) const
{
    const ClockReading *first = nullptr;
    for (const QString &sample : line.slot.held) {
        const auto found = m_clocks.constFind(sample);
        if (found != m_clocks.cend() && (!first || found->due < first->due))
            first = &*found;
    }
    if (!first)
        return {};
    const QString mark = first->state == ClockState::Over      ? QStringLiteral("!! ")
                         : first->state == ClockState::Warning ? QStringLiteral("! ")
                                                               : QString();
    return tr("%1%2 %3").arg(mark, first->what, leftText(first->leftMinutes));
}

int TallyModel::rowCount(const QModelIndex &parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_lines.size());
}

QVariant TallyModel::data(const QModelIndex &index, int role) const
{
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const TallyLine &line = m_lines[static_cast<std::size_t>(index.row())];
    switch (static_cast<Role>(role)) {
    case Role::Code:
        return line.slot.code;
    case Role::Container:
        return line.slot.container;
    case Role::Expected:
        return line.slot.held.isEmpty() ? tr("free") : line.slot.heldKinds.join(QStringLiteral(", "));
    case Role::AnswerWord:
        return line.answer ? tallyWord(*line.answer) : QString();
    case Role::Answered:
        return line.answer.has_value();
    case Role::Sound:
        return line.answer && *line.answer == TallyAnswer::AsLogged;
    case Role::Note:
        return line.changed.isEmpty() ? line.note : tr("tallied, but then %1").arg(line.changed);
    case Role::Clock:
        return clockText(line);
    }
    return {};
}

QHash<int, QByteArray> TallyModel::roleNames() const
{
    return {
        {static_cast<int>(Role::Code), "code"},         {static_cast<int>(Role::Container), "container"},
        {static_cast<int>(Role::Expected), "expected"}, {static_cast<int>(Role::AnswerWord), "answerWord"},
        {static_cast<int>(Role::Answered), "answered"}, {static_cast<int>(Role::Sound), "sound"},
        {static_cast<int>(Role::Note), "note"},         {static_cast<int>(Role::Clock), "clock"}};
}

} // namespace holdfast
