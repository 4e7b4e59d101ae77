// SPDX-License-Identifier: GPL-3.0-or-later
#include "slot_model.h"

#include "reading.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace holdfast
{

namespace
{

constexpr int titleRoomMm = 70; ///< above each box, for its title

QRectF fractionOf(const QRectF &area, const QRectF &bounds)
{
    return {(area.x() - bounds.x()) / bounds.width(), (area.y() - bounds.y()) / bounds.height(),
            area.width() / bounds.width(), area.height() / bounds.height()};
}

/// "017" of "TK26-04-017": what stands behind the last dash.
QString shortNumber(const QString &id)
{
    return id.mid(id.lastIndexOf(QLatin1Char('-')) + 1);
}

} // namespace

QRectF planBounds(const Loadout &loadout)
{
    QRectF bounds;
    for (const BoxSpec &box : loadout.boxes)
        bounds |= QRectF(box.area).adjusted(0, -titleRoomMm, 0, 0);
    return bounds;
}

QString SlotModel::stateWord(const SlotState &slot)
{
    QString word;
    if (slot.held.size() > 1)
        word = tr("%1 samples").arg(slot.held.size());
    else if (slot.held.size() == 1)
        word = slot.heldKinds.value(0);
    if (!slot.reachable)
        return word.isEmpty() ? tr("out of reach") : tr("%1, out of reach").arg(word);
    return word.isEmpty() ? tr("free") : word;
}

SlotModel::Look SlotModel::lookOf(const SlotState &slot)
{
    if (slot.held.size() > 1)
        return Look::Mixed;
    if (slot.held.size() == 1)
        return Look::Taken;
    return slot.reachable ? Look::Free : Look::Unusable;
}

void SlotModel::layOut(const Loadout &loadout)
{
    const QRectF bounds = planBounds(loadout);
    m_places.clear();
    m_round.clear();
    for (const Loadout::Place &place : loadout.inUnloadOrder()) {
        m_places.push_back(fractionOf(QRectF(place.slot->area), bounds));
        m_round.push_back(place.slot->round);
    }
    m_aspect = bounds.height() > 0 ? bounds.width() / bounds.height() : 1;
}

void SlotModel::countExposures(UtcTime now)
{
    m_counted = now;
    m_exposures = slotExposures(m_loadout, m_samples, m_lids, now);
}

bool SlotModel::tick(UtcTime now)
{
    const bool someOpen =
        std::any_of(m_states.begin(), m_states.end(), [](const SlotState &s) { return s.lidOpen; });
    if (!someOpen ||
        std::chrono::floor<std::chrono::seconds>(now) == std::chrono::floor<std::chrono::seconds>(m_counted))
        return false;
    countExposures(now);
    for (int i = 0; i < rowCount(); ++i) {
        if (m_states[static_cast<std::size_t>(i)].lidOpen)
            emit dataChanged(index(i), index(i),
                             {static_cast<int>(Role::LidText), static_cast<int>(Role::Beside)});
    }
    return true;
}

QString SlotModel::lidText(const SlotState &slot) const
{
    if (!slot.lid)
        return {};
    if (!slot.lidOpen)
        return tr("lid shut");
    const auto since = m_exposures.value(slot.code).openSince;
    // A replay may stand before the moment at which the record says the lid was opened.
    if (!since || m_counted < *since)
        return tr("lid open");
    return tr("lid open %1").arg(spanText(std::floor(secondsBetween(*since, m_counted))));
}

QString SlotModel::lidSentence(int row) const
{
    if (row < 0 || row >= rowCount())
        return {};
    const SlotState &slot = m_states[static_cast<std::size_t>(row)];
    QStringList words;
    if (const QString text = lidText(slot); !text.isEmpty())
        words << text;
    const SlotExposure e = m_exposures.value(slot.code);
    if (e.timesOpened > 0 && !slot.held.isEmpty())
        words << tr("what is in it lay open %1 in all, %2")
                     .arg(spanText(std::floor(e.openS)),
                          e.timesOpened == 1 ? tr("opened once") : tr("opened %1 times").arg(e.timesOpened));
    if (!e.takenBeside.isEmpty()) {
        QStringList numbers;
        for (const QString &id : e.takenBeside)
            numbers << shortNumber(id);
        words << tr("while it lay open %1 went in beside it: may be contaminated")
                     .arg(numbers.join(tr(" and ")));
    }
    return words.join(QStringLiteral(" · "));
}

void SlotModel::update(const Snapshot &snapshot, UtcTime now)
{
    m_loadout = snapshot.loadout;
    m_samples = snapshot.samples;
    m_lids = snapshot.lids;
    const auto before = m_exposures;
    countExposures(now);
    const QString json = snapshot.dive ? snapshot.dive->loadoutJson : QString();
    const int dive = snapshot.dive ? snapshot.dive->number : 0;
    if (json != m_loadoutJson || dive != m_dive) { // another dive: everything is new
        beginResetModel();
        m_loadoutJson = json;
        m_dive = dive;
        m_states = snapshot.slotStates;
        layOut(snapshot.loadout);
        endResetModel();
        emit planChanged();
    } else {
        for (std::size_t i = 0; i < m_states.size(); ++i) {
            const SlotState &fresh = snapshot.slotStates[i];
            SlotState &mine = m_states[i];
            if (mine.held == fresh.held && mine.heldKinds == fresh.heldKinds &&
                mine.lidOpen == fresh.lidOpen && mine.lid == fresh.lid && mine.reachable == fresh.reachable &&
                before.value(mine.code).takenBeside == m_exposures.value(mine.code).takenBeside)
                continue;
            mine = fresh;
            const QModelIndex changed = index(static_cast<int>(i));
            emit dataChanged(changed, changed);
        }
    }
    emit countsChanged();
}

QString SlotModel::counts() const
{
    int free = 0;
    int taken = 0;
    int mixed = 0;
    int away = 0;
    for (const SlotState &slot : m_states) {
        const Look look = lookOf(slot);
        free += look == Look::Free;
        taken += look == Look::Taken;
        mixed += look == Look::Mixed;
        away += !slot.reachable;
    }
    return tr("free %1  ·  taken %2  ·  mixed %3  ·  out of reach %4")
        .arg(free)
        .arg(taken)
        .arg(mixed)
        .arg(away);
}

int SlotModel::rowOf(const QString &code) const
{
    const auto found = std::find_if(m_states.begin(), m_states.end(), [&](const SlotState &s) {
        return s.code.compare(code, Qt::CaseInsensitive) == 0;
    });
    return found == m_states.end() ? -1 : static_cast<int>(found - m_states.begin());
}

int SlotModel::neighbour(int row, Direction direction) const
{
    if (row < 0 || row >= rowCount())
        return rowCount() > 0 ? 0 : -1;
    const QPointF from = placeOf(row).center();
    int best = row;
    double bestCost = std::numeric_limits<double>::max();
    for (int i = 0; i < rowCount(); ++i) {
        const QPointF to = placeOf(i).center();
        const double dx = (to.x() - from.x()) * m_aspect;
        const double dy = to.y() - from.y();
        double along = 0;
        double across = 0;
        switch (direction) {
        case Direction::Left:
            along = -dx, across = dy;
            break;
        case Direction::Right:
            along = dx, across = dy;
            break;
        case Direction::Up:
            along = -dy, across = dx;
            break;
        case Direction::Down:
            along = dy, across = dx;
            break;
        }
        if (i == row || along < 1e-6)
            continue;
        // What lies straight ahead comes before what is nearer but aside.
        const double cost = along + 2.5 * std::abs(across);
        if (cost < bestCost) {
            bestCost = cost;
            best = i;
        }
    }
    return best;
}

int SlotModel::rowCount(const QModelIndex &parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_states.size());
}

QVariant SlotModel::data(const QModelIndex &index, int role) const
{
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const auto i = static_cast<std::size_t>(index.row());
    const SlotState &slot = m_states[i];
    switch (static_cast<Role>(role)) {
    case Role::Code:
        return slot.code;
    case Role::StateWord:
        return stateWord(slot);
    case Role::Numbers: {
        QStringList numbers;
        for (const QString &id : slot.held)
            numbers << shortNumber(id);
        return numbers.join(QLatin1Char(' '));
    }
    case Role::LookNumber:
        return static_cast<int>(lookOf(slot));
    case Role::Round:
        return static_cast<bool>(m_round[i]);
    case Role::LidOpen:
        return slot.lid && slot.lidOpen;
    case Role::LidText:
        return lidText(slot);
    case Role::Beside:
        return !m_exposures.value(slot.code).takenBeside.isEmpty();
    case Role::Place:
        return m_places[i];
    case Role::Container:
        return slot.container;
    case Role::Spoken:
        return QStringList{tr("%1 %2").arg(slot.container, slot.code), stateWord(slot),
                           lidSentence(index.row())}
            .join(QStringLiteral(", "));
    }
    return {};
}

QHash<int, QByteArray> SlotModel::roleNames() const
{
    return {{static_cast<int>(Role::Code), "code"},       {static_cast<int>(Role::StateWord), "stateWord"},
            {static_cast<int>(Role::Numbers), "numbers"}, {static_cast<int>(Role::LookNumber), "look"},
            {static_cast<int>(Role::Round), "isRound"},   {static_cast<int>(Role::LidOpen), "lidOpen"},
            {static_cast<int>(Role::Place), "place"},     {static_cast<int>(Role::Container), "container"},
            {static_cast<int>(Role::LidText), "lidText"}, {static_cast<int>(Role::Beside), "beside"},
            {static_cast<int>(Role::Spoken), "spoken"}};
}

void BoxModel::update(const Loadout &loadout)
{
    const QRectF bounds = planBounds(loadout);
    std::vector<Box> boxes;
    for (const BoxSpec &box : loadout.boxes)
        boxes.push_back({box.title, fractionOf(QRectF(box.area), bounds)});
    if (boxes == m_boxes)
        return;
    beginResetModel();
    m_boxes = std::move(boxes);
    endResetModel();
}

int BoxModel::rowCount(const QModelIndex &parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_boxes.size());
}

QVariant BoxModel::data(const QModelIndex &index, int role) const
{
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const Box &box = m_boxes[static_cast<std::size_t>(index.row())];
    switch (static_cast<Role>(role)) {
    case Role::Title:
        return box.title;
    case Role::Place:
        return box.place;
    }
    return {};
}

QHash<int, QByteArray> BoxModel::roleNames() const
{
    return {{static_cast<int>(Role::Title), "title"}, {static_cast<int>(Role::Place), "place"}};
}

} // namespace holdfast
