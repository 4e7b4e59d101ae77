// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/replay_source.h"

#include <QFileInfo>

namespace holdfast
{

namespace
{

constexpr int tickMs = 15;
constexpr int linesPerTick = 20000; ///< then the event loop gets its turn

std::string_view viewOf(const QByteArray &line)
{
    return {line.constData(), static_cast<std::size_t>(line.size())};
}

Done openLog(QFile &file)
{
    if (!QFileInfo::exists(file.fileName()))
        return fail(ErrorKind::NotFound, QStringLiteral("There is no file %1.").arg(file.fileName()));
    if (!file.open(QIODevice::ReadOnly))
        return fail(ErrorKind::Unreadable,
                    QStringLiteral("%1 can't be read: %2.").arg(file.fileName(), file.errorString()));
    return {};
}

} // namespace

ReplaySource::ReplaySource(QString path, const FeedProfile &profile, ShipClock clock,
                           std::optional<HostClock> host, QObject *parent)
    : LineSource(parent), m_path(std::move(path)), m_profile(profile), m_clock(clock),
      m_host(std::move(host)), m_start(clock.start()), m_timing(profile), m_file(m_path)
{
    m_timer.setInterval(tickMs);
    m_timer.setTimerType(Qt::PreciseTimer);
    m_timer.setParent(this); // so that it moves to the feeds' thread with the source
    connect(&m_timer, &QTimer::timeout, this, &ReplaySource::advance);
}

Done ReplaySource::start()
{
    if (auto opened = openLog(m_file); !opened)
        return opened;
    m_timer.start();
    return {};
}

QString ReplaySource::describe() const
{
    return QStringLiteral("replay of %1, %2 ×").arg(QFileInfo(m_path).fileName()).arg(m_clock.speed());
}

std::optional<UtcTime> ReplaySource::timeOf(const QByteArray &line)
{
    if (auto read = m_timing.push(viewOf(line)); !read) {
        m_timer.stop();
        emit troubled(read.error().sentence);
        return {};
    }
    return m_taker.take(m_timing).lastTime();
}

void ReplaySource::advance()
{
    const UtcTime now = m_clock.now();
    for (int i = 0; i < linesPerTick; ++i) {
        if (!m_haveNext) {
            if (m_file.atEnd()) {
                m_timer.stop();
                emit ended();
                return;
            }
            m_next = m_file.readLine().trimmed();
            m_nextTime = timeOf(m_next);
            m_haveNext = true;
        }
        if (m_nextTime && *m_nextTime > now)
            return; // its time has not come
        m_haveNext = false;
        const bool opening = !m_timeSeen && !m_nextTime; // header and comments: the feed needs them
        if (m_nextTime) {
            m_timeSeen = true;
            m_begun = *m_nextTime >= m_start;
        }
        if (!opening && !m_begun)
            continue; // before the part that is replayed
        emit lineReceived(m_next, microsecondsOf(m_host ? m_host->utc() : m_nextTime.value_or(now)));
    }
}

Result<UtcTime> ReplaySource::firstTime(const QString &path, const FeedProfile &profile)
{
    QFile file(path);
    if (auto opened = openLog(file); !opened)
        return opened.error();
    LineParser parser(profile);
    RecordTaker taker;
    while (!file.atEnd()) {
        const QByteArray line = file.readLine();
        if (auto read = parser.push(viewOf(line)); !read)
            return read.error().whileDoing(path);
        if (const auto time = taker.take(parser).lastTime())
            return *time;
    }
    return fail(
        ErrorKind::Malformed,
        QStringLiteral("%1: no line has a time that profile \"%2\" can read.").arg(path, profile.name));
}

} // namespace holdfast
