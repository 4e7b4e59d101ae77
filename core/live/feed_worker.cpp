// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/feed_worker.h"

#include "water/depth.h"
#include "water/salinity.h"

#include <cmath>

namespace holdfast
{

namespace
{

constexpr std::int64_t depthStepUs = 2'000'000;
constexpr double ctdDepthLastsS = 10; ///< then the CTD counts as silent for the depth picture
constexpr int giveMs = 100;
constexpr int givesPerHandOn = 10; ///< received lines are on disk a second after they came, and a bit
constexpr double latitudeWithoutFixDeg = 45; ///< 0.3 % of depth at most from pole to equator

std::optional<double> known(double value)
{
    return std::isnan(value) ? std::optional<double>() : value;
}

double lastOf(const std::vector<double> &column)
{
    return column.empty() ? missingValue : column.back();
}

} // namespace

FeedWorker::FeedWorker(HostClock host) : m_host(std::move(host))
{
    m_giving.setInterval(giveMs);
    m_giving.setParent(this);
    connect(&m_giving, &QTimer::timeout, this, &FeedWorker::give);
    restart({}, 0);
}

std::vector<Recording> FeedWorker::restart(ShipClock clock, int run, LineRecorder::Sink sink)
{
    m_giving.stop();
    for (const auto &feed : m_feeds)
        feed->source().finish();
    m_feeds.clear();
    std::vector<Recording> begun;
    if (m_recorder)
        begun = m_recorder->end();
    m_recorder.reset();
    if (sink)
        m_recorder.emplace(std::move(sink));
    m_clock = clock;
    m_state = {};
    m_state.run = run;
    m_lastDepthUs = 0;
    m_ctdDepthTime.reset();
    m_gps = {};
    m_steps = {};
    m_track.reset();
    if (auto track = LiveTrack::start()) // the default options are within their ranges
        m_track.emplace(std::move(*track));
    return begun;
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
        use(records, feed.plan().name);
}

void FeedWorker::use(const NewRecords &records, const QString &feed)
{
    for (const PositionRecord &position : records.positions) {
        if (m_track)
            m_state.fix = m_track->add(position);
        m_state.fixFrom = feed;
        if (position.headingDeg)
            m_state.headingDeg = LiveValue{position.time, *position.headingDeg, feed};
        // Pressure is the better depth; when the CTD has fallen silent, the position log's own goes on.
        const bool ctdSpeaks =
            m_ctdDepthTime && std::abs(secondsBetween(*m_ctdDepthTime, position.time)) < ctdDepthLastsS;
        if (position.depthM && !ctdSpeaks)
            addDepth(position.time, *position.depthM);
    }
    for (const VelocityRecord &velocity : records.velocities) {
        if (velocity.altitudeM)
            m_state.altitudeM = LiveValue{velocity.time, *velocity.altitudeM, feed};
        if (velocity.headingDeg)
            m_state.headingDeg = LiveValue{velocity.time, *velocity.headingDeg, feed};
    }
    if (records.ctd.size() > 0)
        useScan(records.ctd, feed);
}

void FeedWorker::useScan(const CtdColumns &ctd, const QString &feed)
{
    LiveWater water;
    water.time = utcFromMicroseconds(ctd.timeUs.back());
    const double conductivity = lastOf(ctd.conductivityMsCm);
    const double temperature = lastOf(ctd.temperatureDegC);
    const double pressure = lastOf(ctd.pressureDbar);
    water.temperatureDegC = known(temperature);
    water.oxygenUmolKg = known(lastOf(ctd.oxygenUmolKg));
    water.pressureDbar = known(pressure);
    water.practicalSalinity = known(practicalSalinity(conductivity, temperature, pressure));
    const double latitude =
        m_state.fix ? m_state.fix->latitudeDeg.value_or(latitudeWithoutFixDeg) : latitudeWithoutFixDeg;
    water.depthM = known(depthTeos10(pressure, latitude));
    if (water.depthM) {
        m_ctdDepthTime = water.time;
        addDepth(water.time, *water.depthM);
    }
    m_state.water = water;
    m_state.waterFrom = feed;
}

void FeedWorker::addDepth(UtcTime time, double depthM)
{
    if (microsecondsOf(time) - m_lastDepthUs < depthStepUs)
        return;
    m_lastDepthUs = microsecondsOf(time);
    m_state.newDepths.push_back({m_lastDepthUs, static_cast<float>(depthM)});
}

void FeedWorker::give()
{
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
    m_state.gpsFrom = QStringLiteral("%1 of %2").arg(QString::fromLatin1(m_gps.sentence()), m_gpsFeed);
    emit stateChanged(std::make_shared<const LiveState>(m_state));
    m_state.newDepths.clear();
}

} // namespace holdfast
