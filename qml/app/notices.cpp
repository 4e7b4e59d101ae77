// SPDX-License-Identifier: GPL-3.0-or-later
#include "notices.h"

#include <algorithm>

namespace holdfast
{

void Notices::say(const QString &topic, Weight weight, const QString &sentence, const QString &key)
{
    const auto old =
        std::find_if(m_all.begin(), m_all.end(), [&](const Notice &n) { return n.topic == topic; });
    if (old != m_all.end() && old->weight == weight) {
        if (old->sentence == sentence && old->key == key)
            return;
        old->sentence = sentence;
        old->key = key;
        const int row = static_cast<int>(old - m_all.begin());
        if (row < m_shown)
            emit dataChanged(index(row), index(row));
        return;
    }
    if (old != m_all.end())
        remove(static_cast<std::size_t>(old - m_all.begin()));

    const auto place =
        std::find_if(m_all.begin(), m_all.end(), [weight](const Notice &n) { return n.weight <= weight; });
    const int row = static_cast<int>(place - m_all.begin());
    const Notice notice{topic, weight, sentence, key};
    if (row >= mostShown) {
        m_all.insert(m_all.begin() + row, notice);
    } else {
        if (m_shown == mostShown) { // the last one goes out of sight, into the count
            beginRemoveRows({}, mostShown - 1, mostShown - 1);
            --m_shown;
            endRemoveRows();
        }
        beginInsertRows({}, row, row);
        m_all.insert(m_all.begin() + row, notice);
        ++m_shown;
        endInsertRows();
    }
    emit changed();
}

void Notices::remove(std::size_t i)
{
    const int row = static_cast<int>(i);
    if (row >= m_shown) {
        m_all.erase(m_all.begin() + row);
        return;
    }
    beginRemoveRows({}, row, row);
    m_all.erase(m_all.begin() + row);
    --m_shown;
    endRemoveRows();
    if (m_shown < std::min(total(), mostShown)) { // the next of the count comes into sight
        beginInsertRows({}, m_shown, m_shown);
        ++m_shown;
        endInsertRows();
    }
}

void Notices::settle(const QString &topic)
{
    const auto old =
        std::find_if(m_all.begin(), m_all.end(), [&](const Notice &n) { return n.topic == topic; });
    if (old == m_all.end())
        return;
    remove(static_cast<std::size_t>(old - m_all.begin()));
    emit changed();
}

void Notices::putAway()
{
    if (m_all.empty())
        return;
    remove(0);
    emit changed();
}

int Notices::more() const
{
    return total() - m_shown;
}

int Notices::rowCount(const QModelIndex &parent) const
{
    return parent.isValid() ? 0 : m_shown;
}

QVariant Notices::data(const QModelIndex &index, int role) const
{
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const Notice &n = m_all[static_cast<std::size_t>(index.row())];
    switch (static_cast<Role>(role)) {
    case Role::Sentence:
        return n.sentence;
    case Role::Key:
        return n.key;
    case Role::WeightWord:
        return n.weight == Weight::Problem ? tr("Problem")
               : n.weight == Weight::Care  ? tr("Look")
                                           : tr("Note");
    case Role::WeightNumber:
        return static_cast<int>(n.weight);
    }
    return {};
}

QHash<int, QByteArray> Notices::roleNames() const
{
    return {{static_cast<int>(Role::Sentence), "sentence"},
            {static_cast<int>(Role::Key), "key"},
            {static_cast<int>(Role::WeightWord), "weightWord"},
            {static_cast<int>(Role::WeightNumber), "weightNumber"}};
}

} // namespace holdfast
