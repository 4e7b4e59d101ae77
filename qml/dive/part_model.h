// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "quick_line.h"

#include <QAbstractListModel>
#include <QtQml/qqmlregistration.h>

namespace holdfast
{

/// What the quick line understood, as chips.
class PartModel : public QAbstractListModel
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")

public:
    enum class Role { Word = Qt::UserRole + 1, Words };
    Q_ENUM(Role)
    using QAbstractListModel::QAbstractListModel;

    void update(const std::vector<QuickPart> &parts);
    [[nodiscard]] int rowCount(const QModelIndex &parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex &index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

private:
    std::vector<QuickPart> m_parts;
};

} // namespace holdfast
