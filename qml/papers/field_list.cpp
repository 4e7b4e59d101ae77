// SPDX-License-Identifier: GPL-3.0-or-later
#include "field_list.h"

namespace holdfast
{

void FieldList::reset(std::vector<Field> fields)
{
    beginResetModel();
    m_fields = std::move(fields);
    endResetModel();
}

void FieldList::update(const std::vector<Field> &fields, int typed)
{
    if (fields.size() != m_fields.size()) {
        reset(fields);
        return;
    }
    for (std::size_t i = 0; i < fields.size(); ++i) {
        const int row = static_cast<int>(i);
        const bool same = fields[i].value == m_fields[i].value && fields[i].part == m_fields[i].part;
        m_fields[i] = fields[i];
        if (!same && row != typed)
            emit dataChanged(index(row), index(row));
    }
}

int FieldList::rowCount(const QModelIndex &parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_fields.size());
}

QVariant FieldList::data(const QModelIndex &index, int role) const
{
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const Field &field = m_fields[static_cast<std::size_t>(index.row())];
    switch (static_cast<Role>(role)) {
    case Role::Part: // a heading above the first of its fields
        return index.row() > 0 && m_fields[static_cast<std::size_t>(index.row() - 1)].part == field.part
                   ? QString()
                   : field.part;
    case Role::Label:
        return field.label;
    case Role::Value:
        return field.value;
    case Role::Hint:
        return field.hint;
    case Role::Many:
        return field.many;
    }
    return {};
}

QHash<int, QByteArray> FieldList::roleNames() const
{
    return {{static_cast<int>(Role::Part), "part"},
            {static_cast<int>(Role::Label), "label"},
            {static_cast<int>(Role::Value), "value"},
            {static_cast<int>(Role::Hint), "hint"},
            {static_cast<int>(Role::Many), "many"}};
}

} // namespace holdfast
