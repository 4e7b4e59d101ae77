// SPDX-License-Identifier: GPL-3.0-or-later
#include "part_model.h"

namespace holdfast
{

void PartModel::update(const std::vector<QuickPart> &parts)
{
    const auto had = static_cast<int>(m_parts.size());
    const auto has = static_cast<int>(parts.size());
    if (has < had) {
        beginRemoveRows({}, has, had - 1);
        m_parts.resize(parts.size());
        endRemoveRows();
    } else if (has > had) {
        beginInsertRows({}, had, has - 1);
        m_parts.resize(parts.size());
        endInsertRows();
    }
    m_parts = parts;
    if (has > 0)
        emit dataChanged(index(0), index(has - 1));
}

int PartModel::rowCount(const QModelIndex &parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_parts.size());
}

QVariant PartModel::data(const QModelIndex &index, int role) const
{
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const QuickPart &part = m_parts[static_cast<std::size_t>(index.row())];
    switch (static_cast<Role>(role)) {
    case Role::Word:
        return partWord(part.means);
    case Role::Words:
        return part.text;
    }
    return {};
}

QHash<int, QByteArray> PartModel::roleNames() const
{
    return {{static_cast<int>(Role::Word), "word"}, {static_cast<int>(Role::Words), "words"}};
}

} // namespace holdfast
