// SPDX-License-Identifier: GPL-3.0-or-later
#include "watch_list.h"

#include "print/time_chart.h"
#include "sample_model.h"

#include <QMap>
#include <algorithm>
#include <cmath>

namespace holdfast
{

WatchList::WatchList(Desk &desk, PictureDesk &pictures, QObject *parent)
    : QObject(parent), m_desk(&desk), m_pictures(&pictures)
{
    connect(m_desk, &Desk::refreshed, this, &WatchList::changed);
    connect(m_pictures, &PictureDesk::changed, this, &WatchList::changed);
}

QString WatchList::answer() const
{
    const SnapshotPtr s = m_desk->snapshot();
    if (!s || !s->dive)
        return tr("no dive is open");
    QMap<QString, int> kinds;
    int held = 0;
    for (const SampleInfo &sample : s->samples) {
        if (sample.state != QLatin1String("held"))
            continue;
        ++held;
        ++kinds[sample.kind];
    }
    std::vector<std::pair<int, QString>> most;
    for (auto it = kinds.begin(); it != kinds.end(); ++it)
        most.emplace_back(-it.value(), it.key());
    std::sort(most.begin(), most.end());
    QStringList words;
    for (std::size_t i = 0; i < std::min<std::size_t>(5, most.size()); ++i)
        words << tr("%1 %2").arg(most[i].second).arg(-most[i].first);
    if (most.size() > 5)
        words << tr("%1 other kinds").arg(most.size() - 5);
    const auto waiting = std::count_if(s->stamps.begin(), s->stamps.end(), [](const StampInfo &i) {
        return i.state == QLatin1String("waiting");
    });
    QString text = held == 0   ? tr("nothing yet")
                   : held == 1 ? tr("1 sample: %1").arg(words.join(QStringLiteral(", ")))
                               : tr("%1 samples: %2").arg(held).arg(words.join(QStringLiteral(", ")));
    if (waiting > 0)
        text += waiting == 1 ? tr("; 1 stamp waits") : tr("; %1 stamps wait").arg(waiting);
    return text;
}

QStringList WatchList::lines() const
{
    const SnapshotPtr s = m_desk->snapshot();
    QStringList lines;
    if (!s || !s->dive)
        return lines;
    const auto depth = m_pictures->depth();
    for (const SampleModel::Row &row : SampleModel::rowsOf(*s)) {
        QStringList words{row.number.isEmpty() ? QStringLiteral("—") : row.number,
                          clockText(utcFromMicroseconds(row.timeUs)).left(5),
                          row.slot.isEmpty() ? QStringLiteral("—") : row.slot};
        for (const PictureDesk::Sign &sign : m_pictures->signs()) {
            if (sign.label.isEmpty() || sign.label != row.number || !sign.latitudeDeg || !sign.longitudeDeg)
                continue;
            words << shownLatitude(*sign.latitudeDeg) + QLatin1Char(' ') + shownLongitude(*sign.longitudeDeg);
            if (sign.uncertainty95M)
                words << QStringLiteral("±%1 m").arg(numberText(*sign.uncertainty95M, 0));
        }
        if (const double at = valueAt(depth, utcFromMicroseconds(row.timeUs)); std::isfinite(at))
            words << numberText(at, 0) + QStringLiteral(" m deep");
        if (row.state != QLatin1String("held"))
            words << QStringLiteral("✕ ") + row.state;
        lines << (words << row.words).join(QStringLiteral("   ")); // what may be long comes last
    }
    return lines;
}

} // namespace holdfast
