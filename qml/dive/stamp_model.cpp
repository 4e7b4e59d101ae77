// SPDX-License-Identifier: GPL-3.0-or-later
#include "stamp_model.h"

#include <QJsonDocument>
#include <QJsonObject>
#include <algorithm>

namespace holdfast
{

namespace
{

QString valueOf(const QJsonObject &seen, const char *key, const QString &pattern)
{
    const QString value = seen.value(QLatin1String(key)).toString();
    const QString old = seen.value(QStringLiteral("old %1").arg(QLatin1String(key))).toString();
    if (value.isEmpty())
        return {};
    return old.isEmpty() ? pattern.arg(value) : StampModel::tr("%1 (%2)").arg(pattern.arg(value), old);
}

QString seenText(const QJsonObject &seen)
{
    const QString radius = valueOf(seen, "uncertainty95_m", StampModel::tr(" ±%1 m"));
    QString where =
        valueOf(seen, "position", QStringLiteral("%1") + radius + StampModel::tr(", provisional"));
    if (where.isEmpty())
        where = StampModel::tr("no live position");
    QStringList water{valueOf(seen, "temperature_degC", StampModel::tr("%1 °C")),
                      valueOf(seen, "practical_salinity", StampModel::tr("salinity %1")),
                      valueOf(seen, "oxygen_umol_kg", StampModel::tr("%1 µmol/kg"))};
    water.removeAll(QString());
    if (water.isEmpty())
        water << StampModel::tr("no live water values");
    return (QStringList{where} + water).join(QStringLiteral(" · "));
}

StampModel::Row rowOf(qint64 timeUs, const QString &uuid, const QJsonObject &seen, const QString &by)
{
    return {timeUs, uuid, valueOf(seen, "depth_m", StampModel::tr("%1 m")), seenText(seen), by};
}

} // namespace

void StampModel::insert(const Row &row)
{
    const auto place = std::lower_bound(m_rows.begin(), m_rows.end(), row.timeUs,
                                        [](const Row &r, qint64 t) { return r.timeUs < t; });
    const int at = static_cast<int>(place - m_rows.begin());
    beginInsertRows({}, at, at);
    m_rows.insert(place, row);
    endInsertRows();
    renumber(at + 1);
    emit countChanged();
}

void StampModel::renumber(int first)
{
    if (first < count())
        emit dataChanged(index(first), index(count() - 1), {static_cast<int>(Role::Digit)});
}

void StampModel::addCaught(qint64 timeUs, const QJsonObject &seen, const QString &by)
{
    insert(rowOf(timeUs, {}, seen, by));
}

void StampModel::setSaved(qint64 timeUs, const QString &uuid)
{
    for (std::size_t i = 0; i < m_rows.size(); ++i) {
        if (m_rows[i].timeUs != timeUs || m_rows[i].uuid == uuid)
            continue;
        m_rows[i].uuid = uuid;
        emit dataChanged(index(static_cast<int>(i)), index(static_cast<int>(i)));
        return;
    }
}

void StampModel::drop(qint64 timeUs)
{
    const auto found =
        std::find_if(m_rows.begin(), m_rows.end(), [timeUs](const Row &r) { return r.timeUs == timeUs; });
    if (found == m_rows.end())
        return;
    const int at = static_cast<int>(found - m_rows.begin());
    beginRemoveRows({}, at, at);
    m_rows.erase(found);
    endRemoveRows();
    renumber(at);
    emit countChanged();
}

void StampModel::update(const std::vector<StampInfo> &stamps)
{
    std::vector<Row> waiting;
    for (const StampInfo &stamp : stamps) {
        if (stamp.state != QLatin1String("waiting"))
            continue;
        const QJsonObject seen = QJsonDocument::fromJson(stamp.seen.toUtf8()).object();
        waiting.push_back(rowOf(microsecondsOf(stamp.time), stamp.uuid, seen, stamp.by));
    }
    for (int i = count() - 1; i >= 0; --i) {
        const Row &mine = m_rows[static_cast<std::size_t>(i)];
        const bool stays =
            mine.uuid.isEmpty() ||
            std::any_of(waiting.begin(), waiting.end(), [&](const Row &w) { return w.uuid == mine.uuid; });
        if (!stays)
            drop(mine.timeUs);
    }
    for (const Row &row : waiting) {
        const bool known = std::any_of(m_rows.begin(), m_rows.end(),
                                       [&](const Row &mine) { return mine.timeUs == row.timeUs; });
        if (known)
            setSaved(row.timeUs, row.uuid);
        else
            insert(row);
    }
}

int StampModel::rowCount(const QModelIndex &parent) const
{
    return parent.isValid() ? 0 : count();
}

QVariant StampModel::data(const QModelIndex &index, int role) const
{
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const Row &row = m_rows[static_cast<std::size_t>(index.row())];
    switch (static_cast<Role>(role)) {
    case Role::ClockText:
        return toIso(utcFromMicroseconds(row.timeUs)).mid(11, 12);
    case Role::DepthText:
        return row.depth;
    case Role::SeenText:
        return row.seen;
    case Role::LifeWord:
        return row.uuid.isEmpty() ? tr("caught") : tr("saved");
    case Role::Saved:
        return !row.uuid.isEmpty();
    case Role::Digit:
        return index.row() < 9 ? QString::number(index.row() + 1) : QString();
    case Role::By:
        return row.by;
    }
    return {};
}

QHash<int, QByteArray> StampModel::roleNames() const
{
    return {{static_cast<int>(Role::ClockText), "clockText"},
            {static_cast<int>(Role::DepthText), "depthText"},
            {static_cast<int>(Role::SeenText), "seenText"},
            {static_cast<int>(Role::LifeWord), "lifeWord"},
            {static_cast<int>(Role::Saved), "saved"},
            {static_cast<int>(Role::Digit), "digit"},
            {static_cast<int>(Role::By), "by"}};
}

} // namespace holdfast
