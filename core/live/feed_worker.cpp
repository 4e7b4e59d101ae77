// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/feed_worker.h"

namespace holdfast
{

namespace
{

constexpr int giveMs = 100;
constexpr int givesPerHandOn = 10; ///< received lines are on disk a second after they came, and a bit

} // namespace

FeedWorker::FeedWorker(HostClock host) : m_host(std::move(host))
{
    m_giving.setInterval(giveMs);
    m_giving.setParent(this);
    connect(&m_giving, &QTimer::timeout, this, &FeedWorker::give);
    (void)restart({}, 0); // nothing was going on
}

EndedRecordings FeedWorker::restart(ShipClock clock, int run, LineRecorder::Sink sink)
{
    m_giving.stop();
    for (const auto &feed : m_feeds)
        feed->source().finish();
    m_feeds.clear();
    EndedRecordings ended;
    if (m_recorder)
        ended = m_recorder->end();
    m_recorder.reset();
    if (sink)
        m_recorder.emplace(std::move(sink));
    m_clock = clock;
    m_state = {};
    m_state.run = run;
    m_gps = {};
    m_steps = {};
    m_values = {};
    return ended;
}

void FeedWorker::add(FeedPlan plan, LineSource *source)
{
    if (m_recorder && plan.recording)
        m_recorder->begin(plan.id, *plan.recording, plan.profile.delimiter);
    m_feeds.push_back(std::make_unique<LiveFeed>(std::move(plan), std::unique_ptr<LineSource>(source), m_host,
                                                 m_clock.isReplay() ? m_clock.now() : m_host.utc()));
    LiveFeed *feed = m_feeds.back().get();
    connect(source, &LineSource::lineReceived, this,
            [this, feed](const QByteArray &line, qint64 receivedUs) { takeLine(*feed, line, receivedUs); });
    connect(source, &LineSource::troubled, this, [feed](const QString &said) { feed->setLinkTrouble(said); });
    connect(source, &LineSource::ended, this, [feed] { feed->setEnded(); });
    if (auto started = source->start(); !started)
        feed->setLinkTrouble(started.error().sentence);
    if (!m_giving.isActive())
        m_giving.start();
}

void FeedWorker::takeLine(LiveFeed &feed, const QByteArray &line, qint64 receivedUs)
{
    if (m_recorder && feed.plan().recording)
        m_recorder->add(feed.plan().id, receivedUs, line);
    const UtcTime received = utcFromMicroseconds(receivedUs);
    if (!m_clock.isReplay() && feed.plan().profile.kind == FeedKind::Nmea) {
        const char *before = m_gps.sentence();
        m_gps.look({line.constData(), static_cast<std::size_t>(line.size())}, received, m_host.steady());
        if (before != m_gps.sentence() || m_gpsFeed.isEmpty())
            m_gpsFeed = feed.plan().name;
    }
    const NewRecords records = feed.read(line, received);
    // A ship's feed is recorded and watched, but its place is not the vehicle's.
    if (!feed.plan().profile.ofShip)
        m_values.take(records, feed.plan().name);
}

void FeedWorker::give()
{
    static_cast<NewestValues &>(m_state) = m_values.newest();
    m_state.news = m_values.takeCourse();
    m_state.feeds.clear();
    for (const auto &feed : m_feeds) {
        m_state.feeds.push_back(feed->state());
        if (m_recorder)
            m_state.feeds.back().durable = m_recorder->count(feed->plan().id).durable;
    }
    if (m_recorder) {
        m_recorder->look();
        if (++m_given % givesPerHandOn == 0)
            m_recorder->handOn();
        m_state.recordTrouble = m_recorder->trouble();
        m_state.linesLost = m_recorder->lost();
    }
    const auto steady = m_host.steady();
    if (const auto step = m_steps.look(m_host.utc(), steady)) {
        ++m_state.steps;
        m_state.step = step;
    }
    m_state.hostMinusGpsS = m_gps.hostMinusGpsS(steady);
    m_state.hostMinusGps = m_gps.hostMinusGps(steady);
    m_state.gpsFrom = QStringLiteral("%1 of %2").arg(QString::fromLatin1(m_gps.sentence()), m_gpsFeed);
    emit stateChanged(std::make_shared<const LiveState>(m_state));
}

} // namespace holdfast
