// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed_worker.h"

#include "water/depth.h"
#include "water/salinity.h"

#include <algorithm>
#include <cmath>

namespace holdfast
{

namespace
{

constexpr std::int64_t depthStepUs = 2'000'000;
constexpr std::size_t rateLines = 64;
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

FeedWorker::FeedWorker()
{
    m_giving.setInterval(100);
    m_giving.setParent(this);
    connect(&m_giving, &QTimer::timeout, this, &FeedWorker::give);
    restart({}, 0);
}

void FeedWorker::restart(ShipClock clock, int run)
{
    m_giving.stop();
    m_feeds.clear();
    m_clock = clock;
    m_state = {};
    m_state.run = run;
    m_lastDepthUs = 0;
    m_depthFromCtd = false;
    m_track.reset();
    if (auto track = LiveTrack::start()) // the default options are within their ranges
        m_track.emplace(std::move(*track));
}

void FeedWorker::add(int id, const QString &name, const FeedProfile &profile, LineSource *source)
{
    auto feed = std::make_unique<Feed>(
        Feed{{}, LineParser(profile, m_clock.now()), {}, std::unique_ptr<LineSource>(source), {}});
    feed->state.id = id;
    feed->state.name = name;
    feed->state.profile = profile.name;
    feed->state.source = source->describe();
    Feed *f = feed.get();
    connect(source, &LineSource::lineReceived, this,
            [this, f](const QByteArray &line, qint64 receivedUs) { takeLine(*f, line, receivedUs); });
    connect(source, &LineSource::troubled, this, [f](const QString &said) { f->state.trouble = said; });
    connect(source, &LineSource::ended, this, [f] { f->state.ended = true; });
    m_feeds.push_back(std::move(feed));
    if (auto started = source->start(); !started)
        f->state.trouble = started.error().sentence;
    if (!m_giving.isActive())
        m_giving.start();
}

void FeedWorker::remove(int id)
{
    std::erase_if(m_feeds, [id](const auto &feed) { return feed->state.id == id; });
    give();
}

void FeedWorker::takeLine(Feed &feed, const QByteArray &line, qint64 receivedUs)
{
    FeedState &s = feed.state;
    ++s.lines;
    s.lastReceived = utcFromMicroseconds(receivedUs);
    feed.recent.push_back(receivedUs);
    if (feed.recent.size() > rateLines)
        feed.recent.erase(feed.recent.begin());
    const auto read = feed.parser.push({line.constData(), static_cast<std::size_t>(line.size())});
    if (!read) {
        s.trouble = read.error().sentence;
        ++s.badLines;
        return;
    }
    s.badLines = feed.parser.report().rejected;
    const NewRecords records = feed.taker.take(feed.parser);
    if (const auto time = records.lastTime()) {
        if (s.lastRecord && *time > *s.lastRecord) {
            const double step = secondsBetween(*s.lastRecord, *time);
            s.periodS = s.periodS > 0 ? 0.9 * s.periodS + 0.1 * step : step;
        }
        s.lastRecord = time;
        ++s.records;
    }
    use(records);
}

void FeedWorker::use(const NewRecords &records)
{
    for (const PositionRecord &position : records.positions) {
        if (m_track)
            m_state.fix = m_track->add(position);
        if (position.headingDeg)
            m_state.headingDeg = position.headingDeg;
        if (position.depthM && !m_depthFromCtd)
            addDepth(position.time, *position.depthM);
    }
    for (const VelocityRecord &velocity : records.velocities) {
        if (velocity.altitudeM)
            m_state.altitudeM = velocity.altitudeM;
        if (velocity.headingDeg)
            m_state.headingDeg = velocity.headingDeg;
    }
    if (records.ctd.size() > 0)
        useScan(records.ctd);
}

void FeedWorker::useScan(const CtdColumns &ctd)
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
        m_depthFromCtd = true;
        addDepth(water.time, *water.depthM);
    }
    m_state.water = water;
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
        FeedState s = feed->state;
        if (feed->recent.size() > 1 && feed->recent.back() > feed->recent.front())
            s.linesPerSecond = static_cast<double>(feed->recent.size() - 1) * 1e6 /
                               static_cast<double>(feed->recent.back() - feed->recent.front());
        m_state.feeds.push_back(std::move(s));
    }
    emit stateChanged(std::make_shared<const LiveState>(m_state));
    m_state.newDepths.clear();
}

} // namespace holdfast
