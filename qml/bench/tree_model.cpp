// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench_desk.h"

namespace holdfast
{

void TreeModel::update(std::vector<TreeItem> items)
{
    const bool same =
        items.size() == m_items.size() && !items.empty() && items.front().id == m_items.front().id;
    if (same) {
        m_items = std::move(items);
        emit dataChanged(index(0), index(rowCount() - 1));
        return;
    }
    beginResetModel();
    m_items = std::move(items);
    endResetModel();
}

void TreeModel::mark(int row)
{
    if (row < 0 || row >= rowCount())
        return;
    const QString &id = m_items[static_cast<std::size_t>(row)].id;
    if (!m_marks.removeOne(id))
        m_marks << id;
    emit dataChanged(index(row), index(row));
}

void TreeModel::clearMarks()
{
    m_marks.clear();
    if (!m_items.empty())
        emit dataChanged(index(0), index(rowCount() - 1));
}

QStringList TreeModel::marked() const
{
    return m_marks;
}

int TreeModel::rowOf(const QString &id) const
{
    for (int row = 0; row < rowCount(); ++row) {
        if (m_items[static_cast<std::size_t>(row)].id == id)
            return row;
    }
    return -1;
}

int TreeModel::rowCount(const QModelIndex &parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_items.size());
}

QVariant TreeModel::data(const QModelIndex &index, int role) const
{
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const TreeItem &item = m_items[static_cast<std::size_t>(index.row())];
    switch (static_cast<Role>(role)) {
    case Role::Id:
        return item.id;
    case Role::Label:
        return item.label;
    case Role::State:
        return item.state;
    case Role::Level:
        return item.level;
    case Role::Associate:
        return item.associate;
    case Role::Over:
        return item.over;
    case Role::Marked:
        return m_marks.contains(item.id);
    }
    return {};
}

QHash<int, QByteArray> TreeModel::roleNames() const
{
    return {{static_cast<int>(Role::Id), "itemId"},           {static_cast<int>(Role::Label), "label"},
            {static_cast<int>(Role::State), "stateWords"},    {static_cast<int>(Role::Level), "level"},
            {static_cast<int>(Role::Associate), "associate"}, {static_cast<int>(Role::Over), "over"},
            {static_cast<int>(Role::Marked), "marked"}};
}

} // namespace holdfast
