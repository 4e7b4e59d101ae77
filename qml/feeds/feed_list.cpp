// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed_list.h"

#include "reading.h"

#include <algorithm>
#include <cmath>

namespace holdfast
{

bool FeedList::isSilent(const FeedState &feed, UtcTime now, double speed)
{
    if (feed.ended || !feed.lastRecord)
        return false;
    return secondsBetween(*feed.lastRecord, now) > std::max(10.0 * speed, 5 * feed.periodS);
}

QString FeedList::stateWord(const FeedState &feed, UtcTime now, double speed)
{
    if (feed.ended)
        return tr("ended");
    if (!feed.lastRecord)
        return feed.lines > 0 ? tr("no usable line yet") : tr("waiting for its first line");
    if (isSilent(feed, now, speed))
        return tr("silent for %1").arg(spanText(secondsBetween(*feed.lastRecord, now)));
    return tr("alive, %1 lines/s").arg(std::round(feed.linesPerSecond * 10) / 10);
}

void FeedList::update(const std::vector<FeedState> &feeds, UtcTime now, double speed)
{
    m_now = now;
    m_speed = speed;
    const auto rows = static_cast<int>(m_feeds.size());
    const auto wanted = static_cast<int>(feeds.size());
    const auto sameFeed = [](const FeedState &a, const FeedState &b) { return a.id == b.id; };
    if (rows != wanted || !std::equal(m_feeds.begin(), m_feeds.end(), feeds.begin(), sameFeed)) {
        beginResetModel(); // a feed came or went: rare, and no row keeps a focus
        m_feeds = feeds;
        endResetModel();
        return;
    }
    m_feeds = feeds;
    if (rows > 0)
        emit dataChanged(index(0), index(rows - 1));
}

int FeedList::rowCount(const QModelIndex &parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_feeds.size());
}

QVariant FeedList::data(const QModelIndex &index, int role) const
{
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const FeedState &feed = m_feeds[static_cast<std::size_t>(index.row())];
    switch (static_cast<Role>(role)) {
    case Role::Name:
        return feed.name;
    case Role::Source:
        return feed.source;
    case Role::Profile:
        return feed.profile;
    case Role::StateWord:
        return stateWord(feed, m_now, m_speed);
    case Role::Trouble:
        return feed.trouble;
    case Role::Counts:
        return tr("%1 lines, %2 bad").arg(feed.lines).arg(feed.badLines);
    case Role::Alive:
        return feed.trouble.isEmpty() && feed.lastRecord && !isSilent(feed, m_now, m_speed) && !feed.ended;
    }
    return {};
}

QHash<int, QByteArray> FeedList::roleNames() const
{
    return {{static_cast<int>(Role::Name), "name"},       {static_cast<int>(Role::Source), "source"},
            {static_cast<int>(Role::Profile), "profile"}, {static_cast<int>(Role::StateWord), "stateWord"},
            {static_cast<int>(Role::Trouble), "trouble"}, {static_cast<int>(Role::Counts), "counts"},
            {static_cast<int>(Role::Alive), "alive"}};
}

} // namespace holdfast
