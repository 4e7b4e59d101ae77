// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/completeness.h"

#include <QAbstractListModel>
#include <QtQml/qqmlregistration.h>

namespace holdfast
{

/// The completeness grid as rows with their cells; all of them, or only those with an open point.
class CompletenessModel : public QAbstractListModel
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")

public:
    /// `marks`: one letter a cell, '-' not asked, 'm' met, 'd' doubtful, 'x' missing; `words`: its word.
    enum class Role { RowId = Qt::UserRole + 1, Indent, Marks, CellWords, OpenCount };
    Q_ENUM(Role)
    using QAbstractListModel::QAbstractListModel;

    void show(CompletenessGrid grid, bool onlyOpen);
    void showOnlyOpen(bool onlyOpen);
    [[nodiscard]] const CompletenessGrid &grid() const { return m_grid; }
    /// The row that is shown at `row`; null outside.
    [[nodiscard]] const CompletenessRow *at(int row) const;
    [[nodiscard]] QStringList titles() const;

    [[nodiscard]] int rowCount(const QModelIndex &parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex &index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

private:
    void choose();
    CompletenessGrid m_grid;
    std::vector<std::size_t> m_shown;
    bool m_onlyOpen = false;
};

} // namespace holdfast
