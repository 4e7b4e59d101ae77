// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QAbstractListModel>
#include <QtQml/qqmlregistration.h>
#include <vector>

namespace holdfast
{

/// Named values to fill in, under headings: what goes on a paper, or the parts of a label stock.
class FieldList : public QAbstractListModel
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")

public:
    using QAbstractListModel::QAbstractListModel;
    enum class Role { Part = Qt::UserRole, Label, Value, Hint, Many };
    struct Field {
        QString part, label, value, hint;
        bool many = false; ///< a list of ids, scanned one after the other
    };

    /// Other fields: what is being typed in is gone.
    void reset(std::vector<Field> fields);
    /// The same fields with other values; `typed` is the row that a person types in, which is left alone.
    void update(const std::vector<Field> &fields, int typed);

    [[nodiscard]] int rowCount(const QModelIndex &parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex &index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

private:
    std::vector<Field> m_fields;
};

} // namespace holdfast
