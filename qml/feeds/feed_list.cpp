// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed_list.h"

#include "reading.h"

#include <algorithm>
#include <cmath>

namespace holdfast
{

QString FeedList::stateWord(const FeedState &feed)
{
    if (feed.ended)
        return tr("ended");
    if (feed.isSilent())
        return feed.goodAgeS    ? tr("silent for %1").arg(spanText(*feed.goodAgeS))
               : feed.lines > 0 ? tr("gives no usable line since %1").arg(spanText(feed.openS))
                                : tr("says nothing since it was opened %1 ago").arg(spanText(feed.openS));
    if (!feed.goodAgeS)
        return feed.lines > 0 ? tr("no usable line yet") : tr("waiting for its first line");
    return tr("alive, %1 lines/s").arg(std::round(feed.linesPerSecond * 10) / 10);
}

QString FeedList::signedSeconds(double seconds)
{
    const QString text = numberText(seconds, std::abs(seconds) < 10 ? 2 : 0);
    return seconds > 0 ? QLatin1Char('+') + text : text;
}

QString FeedList::nameAt(int row) const
{
    return row >= 0 && row < rowCount() ? m_feeds[static_cast<std::size_t>(row)].name : QString();
}

void FeedList::update(const std::vector<FeedState> &feeds)
{
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
        return stateWord(feed);
    case Role::Trouble:
        return feed.trouble;
    case Role::Counts:
        return feed.recorded
                   ? tr("%1 lines, %2 bad, %3 on disk").arg(feed.lines).arg(feed.badLines).arg(feed.durable)
                   : tr("%1 lines, %2 bad").arg(feed.lines).arg(feed.badLines);
    case Role::Clock:
        return feed.offset ? tr("its times less this computer's clock: %1 ±%2 s")
                                 .arg(signedSeconds(feed.offset->seconds))
                                 .arg(std::max(feed.offset->uncertainty95S, 0.01), 0, 'f', 2)
               : feed.offsetS
                   ? tr("its times less this computer's clock: %1 s").arg(signedSeconds(*feed.offsetS))
                   : QString();
    case Role::Alive:
        return feed.isAlive();
    }
    return {};
}

QHash<int, QByteArray> FeedList::roleNames() const
{
    return {{static_cast<int>(Role::Name), "name"},       {static_cast<int>(Role::Source), "source"},
            {static_cast<int>(Role::Profile), "profile"}, {static_cast<int>(Role::StateWord), "stateWord"},
            {static_cast<int>(Role::Trouble), "trouble"}, {static_cast<int>(Role::Counts), "counts"},
            {static_cast<int>(Role::Clock), "clock"},     {static_cast<int>(Role::Alive), "alive"}};
}

} // namespace holdfast
