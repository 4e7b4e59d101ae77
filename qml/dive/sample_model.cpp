// SPDX-License-Identifier: GPL-3.0-or-later
#include "sample_model.h"

#include <algorithm>

namespace holdfast
{

namespace
{

QString wordsOf(const SampleInfo &sample)
{
    QString words = sample.kind;
    if (sample.count > 1)
        words += QStringLiteral(" × %1").arg(sample.count);
    if (!sample.description.isEmpty())
        words += QStringLiteral(", ") + sample.description;
    return words;
}

} // namespace

std::vector<SampleModel::Row> SampleModel::rowsOf(const Snapshot &snapshot)
{
    std::vector<Row> rows;
    for (const SampleInfo &sample : snapshot.samples)
        rows.push_back({microsecondsOf(sample.time), sample.uuid, sample.id,
                        sample.id.mid(sample.id.lastIndexOf(QLatin1Char('-')) + 1), sample.slot,
                        wordsOf(sample), sample.state, sample.warnings.join(QStringLiteral(" "))});
    for (const StampInfo &stamp : snapshot.stamps) {
        if (stamp.state == QLatin1String("failed") || stamp.state == QLatin1String("set aside"))
            rows.push_back(
                {microsecondsOf(stamp.time), stamp.uuid, {}, {}, {}, stamp.reason, stamp.state, {}});
    }
    std::sort(rows.begin(), rows.end(), [](const Row &a, const Row &b) {
        return a.timeUs != b.timeUs ? a.timeUs > b.timeUs : a.id > b.id;
    });
    return rows;
}

void SampleModel::update(const Snapshot &snapshot)
{
    const std::vector<Row> fresh = rowsOf(snapshot);
    const auto holds = [](const std::vector<Row> &rows, const Row &row) {
        return std::any_of(rows.begin(), rows.end(), [&](const Row &r) { return r.uuid == row.uuid; });
    };
    for (int i = count() - 1; i >= 0; --i) {
        if (holds(fresh, m_rows[static_cast<std::size_t>(i)]))
            continue;
        beginRemoveRows({}, i, i);
        m_rows.erase(m_rows.begin() + i);
        endRemoveRows();
    }
    // What is left keeps its order, as a time never changes: new rows fall between, others may differ.
    for (int i = 0; i < static_cast<int>(fresh.size()); ++i) {
        const Row &row = fresh[static_cast<std::size_t>(i)];
        if (i < count() && m_rows[static_cast<std::size_t>(i)].uuid == row.uuid) {
            if (m_rows[static_cast<std::size_t>(i)] != row) {
                m_rows[static_cast<std::size_t>(i)] = row;
                emit dataChanged(index(i), index(i));
            }
            continue;
        }
        beginInsertRows({}, i, i);
        m_rows.insert(m_rows.begin() + i, row);
        endInsertRows();
    }
    emit countChanged();
}

int SampleModel::rowCount(const QModelIndex &parent) const
{
    return parent.isValid() ? 0 : count();
}

QVariant SampleModel::data(const QModelIndex &index, int role) const
{
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const Row &row = m_rows[static_cast<std::size_t>(index.row())];
    const QString none = QStringLiteral("—");
    switch (static_cast<Role>(role)) {
    case Role::Number:
        return row.number.isEmpty() ? none : row.number;
    case Role::ClockText:
        return clockText(utcFromMicroseconds(row.timeUs)).left(5);
    case Role::SlotCode:
        return row.slot.isEmpty() ? none : row.slot;
    case Role::Words:
        return row.words;
    case Role::StateWord:
        return row.state;
    case Role::Stands:
        return row.state == QLatin1String("held");
    case Role::Id:
        return row.id;
    case Role::Warning:
        return row.warning;
    }
    return {};
}

QHash<int, QByteArray> SampleModel::roleNames() const
{
    return {
        {static_cast<int>(Role::Number), "number"},       {static_cast<int>(Role::ClockText), "clockText"},
        {static_cast<int>(Role::SlotCode), "slotCode"},   {static_cast<int>(Role::Words), "words"},
        {static_cast<int>(Role::StateWord), "stateWord"}, {static_cast<int>(Role::Stands), "stands"},
        {static_cast<int>(Role::Id), "sampleId"},         {static_cast<int>(Role::Warning), "warning"}};
}

} // namespace holdfast
