// SPDX-License-Identifier: GPL-3.0-or-later
#include "ready_desk.h"

namespace holdfast
{

void ReadyModel::update(std::vector<ReadyLine> lines)
{
    if (lines.size() != m_lines.size()) {
        beginResetModel();
        m_lines = std::move(lines);
        endResetModel();
        return;
    }
    for (std::size_t i = 0; i < lines.size(); ++i) {
        ReadyLine &mine = m_lines[i];
        if (mine.state == lines[i].state && mine.words == lines[i].words && mine.title == lines[i].title)
            continue;
        mine = std::move(lines[i]);
        emit dataChanged(index(static_cast<int>(i)), index(static_cast<int>(i)));
    }
}

int ReadyModel::rowCount(const QModelIndex &parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_lines.size());
}

QVariant ReadyModel::data(const QModelIndex &index, int role) const
{
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const ReadyLine &line = m_lines[static_cast<std::size_t>(index.row())];
    const bool inOrder = line.state == ReadyLine::State::InOrder;
    const bool doubt = line.state == ReadyLine::State::Doubt;
    switch (static_cast<Role>(role)) {
    case Role::Title:
        return line.title;
    case Role::Words:
        return line.words;
    case Role::Sign:
        return inOrder ? QStringLiteral("✓") : doubt ? QStringLiteral("!") : QStringLiteral("○");
    case Role::StateWord:
        return inOrder ? tr("in order") : doubt ? tr("not in order") : tr("open");
    case Role::InOrder:
        return inOrder;
    case Role::Doubt:
        return doubt;
    }
    return {};
}

QHash<int, QByteArray> ReadyModel::roleNames() const
{
    return {{static_cast<int>(Role::Title), "title"},     {static_cast<int>(Role::Words), "words"},
            {static_cast<int>(Role::Sign), "sign"},       {static_cast<int>(Role::StateWord), "stateWord"},
            {static_cast<int>(Role::InOrder), "inOrder"}, {static_cast<int>(Role::Doubt), "doubt"}};
}

} // namespace holdfast
