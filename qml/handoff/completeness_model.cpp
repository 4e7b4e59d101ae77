// SPDX-License-Identifier: GPL-3.0-or-later
#include "completeness_model.h"

#include <algorithm>

namespace holdfast
{

namespace
{

bool isOpen(const CompletenessCell &cell)
{
    return cell.state == CellState::Doubtful || cell.state == CellState::Missing;
}

QChar markOf(CellState state)
{
    switch (state) {
    case CellState::Met:
        return QLatin1Char('m');
    case CellState::Doubtful:
        return QLatin1Char('d');
    case CellState::Missing:
        return QLatin1Char('x');
    case CellState::NotAsked:
        break;
    }
    return QLatin1Char('-');
}

} // namespace

void CompletenessModel::show(CompletenessGrid grid, bool onlyOpen)
{
    beginResetModel();
    m_grid = std::move(grid);
    m_onlyOpen = onlyOpen;
    choose();
    endResetModel();
}

void CompletenessModel::showOnlyOpen(bool onlyOpen)
{
    beginResetModel();
    m_onlyOpen = onlyOpen;
    choose();
    endResetModel();
}

void CompletenessModel::choose()
{
    m_shown.clear();
    for (std::size_t i = 0; i < m_grid.rows.size(); ++i) {
        const auto &cells = m_grid.rows[i].cells;
        if (!m_onlyOpen || std::any_of(cells.begin(), cells.end(), isOpen))
            m_shown.push_back(i);
    }
}

const CompletenessRow *CompletenessModel::at(int row) const
{
    if (row < 0 || row >= rowCount())
        return nullptr;
    return &m_grid.rows[m_shown[static_cast<std::size_t>(row)]];
}

QStringList CompletenessModel::titles() const
{
    QStringList all;
    for (const Requirement &r : m_grid.requirements)
        all << r.title;
    return all;
}

int CompletenessModel::rowCount(const QModelIndex &parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_shown.size());
}

QVariant CompletenessModel::data(const QModelIndex &index, int role) const
{
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const CompletenessRow &row = *at(index.row());
    switch (static_cast<Role>(role)) {
    case Role::RowId:
        return row.id;
    case Role::Indent:
        return row.kind == RowKind::Specimen ? 2 : row.kind == RowKind::Sample ? 1 : 0;
    case Role::Marks: {
        QString marks;
        for (const CompletenessCell &c : row.cells)
            marks += markOf(c.state);
        return marks;
    }
    case Role::CellWords: {
        QStringList words;
        for (const CompletenessCell &c : row.cells)
            words << c.word;
        return words;
    }
    case Role::OpenCount:
        return static_cast<int>(std::count_if(row.cells.begin(), row.cells.end(), isOpen));
    }
    return {};
}

QHash<int, QByteArray> CompletenessModel::roleNames() const
{
    return {{static_cast<int>(Role::RowId), "rowId"},
            {static_cast<int>(Role::Indent), "indent"},
            {static_cast<int>(Role::Marks), "marks"},
            {static_cast<int>(Role::CellWords), "cellWords"},
            {static_cast<int>(Role::OpenCount), "openCount"}};
}

} // namespace holdfast
