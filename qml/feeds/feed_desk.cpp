// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed_desk.h"

#include "base/template_folder.h"
#include "replay_source.h"

#include <QDir>
#include <QFileInfo>
#include <algorithm>
#include <cmath>

namespace holdfast
{

namespace
{

QString feedName(FeedKind kind)
{
    switch (kind) {
    case FeedKind::Ctd:
        return QStringLiteral("CTD");
    case FeedKind::Velocity:
        return QStringLiteral("Doppler log");
    case FeedKind::Acoustic:
        return QStringLiteral("acoustic");
    case FeedKind::Nmea:
    case FeedKind::Position:
        break;
    }
    return QStringLiteral("position");
}

Result<FeedProfile> profileNamed(const QString &name)
{
    const auto folder = templateFolder();
    if (!folder)
        return folder.error();
    return loadFeedProfile(name, {*folder + QStringLiteral("/feeds")});
}

} // namespace

FeedDesk::FeedDesk(Desk &desk, QObject *parent)
    : QObject(parent), m_desk(&desk), m_worker(std::make_unique<FeedWorker>()),
      m_state(std::make_shared<const LiveState>())
{
    qRegisterMetaType<LiveStatePtr>();
    m_thread.setObjectName(QStringLiteral("feeds"));
    m_worker->moveToThread(&m_thread);
    connect(m_worker.get(), &FeedWorker::stateChanged, this, &FeedDesk::receive);
    m_thread.start();
    m_tick.setInterval(100);
    connect(&m_tick, &QTimer::timeout, this, &FeedDesk::tick);
    m_tick.start();
}

FeedDesk::~FeedDesk()
{
    // Sources and timers must go on the thread they live on.
    QMetaObject::invokeMethod(
        m_worker.get(), [this] { m_worker->restart({}, 0); }, Qt::BlockingQueuedConnection);
    m_thread.quit();
    m_thread.wait();
}

void FeedDesk::begin(ShipClock clock)
{
    m_clock = clock;
    m_state = std::make_shared<const LiveState>();
    m_depths.clear();
    emit depthsChanged();
    FeedWorker *worker = m_worker.get();
    const int run = ++m_run;
    QMetaObject::invokeMethod(worker, [worker, clock, run] { worker->restart(clock, run); });
}

void FeedDesk::add(const QString &name, const FeedProfile &profile, LineSource *source)
{
    source->moveToThread(&m_thread);
    FeedWorker *worker = m_worker.get();
    const int id = m_nextId++;
    QMetaObject::invokeMethod(
        worker, [worker, id, name, profile, source] { worker->add(id, name, profile, source); });
}

QString FeedDesk::findLog(const QString &fileName) const
{
    const QDir folder = QFileInfo(m_desk->path()).absoluteDir();
    for (const QString &place : {QStringLiteral("."), QStringLiteral("logs")}) {
        const QString path = folder.filePath(place + QLatin1Char('/') + fileName);
        if (QFileInfo::exists(path))
            return QDir::cleanPath(path);
    }
    return {};
}

std::vector<FeedDesk::Log> FeedDesk::findLogs() const
{
    std::vector<Log> logs;
    for (const IntakeInfo &intake : m_desk->snapshot()->intakes) {
        const QString path = findLog(intake.fileName);
        const auto profile = profileNamed(intake.profile);
        if (!profile || path.isEmpty())
            continue;
        // The live track is the vehicle's: what the ship's logs say of it is worked out after the dive.
        if (!profile->ofShip && profile->kind != FeedKind::Acoustic)
            logs.push_back({path, *profile, intake.first});
    }
    if (!logs.empty())
        return logs;
    const QDir folder(QFileInfo(m_desk->path()).absoluteDir().filePath(QStringLiteral("logs")));
    const QString name = QStringLiteral("*dive-%1-*").arg(m_desk->dive());
    for (const QFileInfo &file : folder.entryInfoList({name}, QDir::Files, QDir::Name)) {
        for (const char *tried : {"position-csv", "ctd-csv", "dvl-csv", "nmea"}) {
            const auto profile = profileNamed(QString::fromLatin1(tried));
            if (!profile)
                continue;
            if (const auto first = ReplaySource::firstTime(file.filePath(), *profile)) {
                logs.push_back({file.filePath(), *profile, *first});
                break;
            }
        }
    }
    return logs;
}

void FeedDesk::replayDive(double speed, const QString &from)
{
    const SnapshotPtr s = m_desk->snapshot();
    const QString topic = QStringLiteral("replay");
    const auto refuse = [this, &topic](const QString &sentence) {
        m_desk->notices().say(topic, Notices::Weight::Care, sentence);
    };
    if (!s || !s->dive)
        return refuse(tr("There is no dive to replay: open a cruise first."));
    const std::vector<Log> logs = findLogs();
    std::optional<UtcTime> start = parseIsoUtc(from.toStdString());
    if (!from.isEmpty() && !start)
        return refuse(tr("\"%1\" is no time; write it as 2026-03-12T14:22:07Z.").arg(from));
    if (!start && s->dive->launched)
        start = *s->dive->launched + std::chrono::minutes(1);
    std::optional<UtcTime> first;
    for (const Log &log : logs) {
        if (log.first && (!first || *log.first < *first))
            first = log.first;
    }
    if (logs.empty())
        return refuse(tr("No log of %1 was found beside the cruise file or in its folder \"logs\".")
                          .arg(m_desk->diveName()));
    m_desk->notices().settle(topic);
    const ShipClock clock =
        ShipClock::replaying(start.value_or(first.value_or(UtcTime{})), std::clamp(speed, 1.0, 100.0));
    begin(clock);
    for (const Log &log : logs)
        add(feedName(log.profile.kind), log.profile, new ReplaySource(log.path, log.profile, clock));
}

void FeedDesk::stopAll()
{
    begin({});
}

void FeedDesk::receive(const LiveStatePtr &state)
{
    if (state->run != m_run)
        return;
    m_state = state;
    if (state->newDepths.empty())
        return;
    m_depths.insert(m_depths.end(), state->newDepths.begin(), state->newDepths.end());
    emit depthsChanged();
}

void FeedDesk::tick()
{
    const UtcTime at = now();
    m_list.update(m_state->feeds, at, m_clock.speed());
    for (const FeedState &feed : m_state->feeds) {
        const QString topic = QStringLiteral("feed %1").arg(feed.id);
        if (!feed.trouble.isEmpty())
            m_desk->notices().say(topic, Notices::Weight::Care,
                                  QStringLiteral("%1: %2").arg(feed.name, feed.trouble), tr("F4 feeds"));
        else if (FeedList::isSilent(feed, at, m_clock.speed()))
            m_desk->notices().say(
                topic, Notices::Weight::Care,
                QStringLiteral("%1 %2").arg(feed.name, FeedList::stateWord(feed, at, m_clock.speed())),
                tr("F4 feeds"));
        else
            m_desk->notices().settle(topic);
    }
    emit ticked();
}

QJsonObject FeedDesk::seen(UtcTime at) const
{
    QJsonObject seen;
    const auto put = [&seen](const char *key, const Reading &reading) {
        if (reading.there)
            seen.insert(QLatin1String(key), reading.value);
    };
    put("depth_m", depth());
    put("position", position());
    put("temperature_degC", temperature());
    put("practical_salinity", salinity());
    put("oxygen_umol_kg", oxygen());
    put("heading_deg", heading());
    if (m_state->fix && m_state->fix->uncertainty95M)
        seen.insert(QStringLiteral("uncertainty95_m"), numberText(*m_state->fix->uncertainty95M, 1));
    for (const FeedState &feed : m_state->feeds) {
        if (feed.lastRecord)
            seen.insert(QStringLiteral("age_s %1").arg(feed.name),
                        QString::number(secondsBetween(*feed.lastRecord, at), 'f', 1));
    }
    if (m_clock.isReplay())
        seen.insert(QStringLiteral("clock"), replayText());
    return seen;
}

std::optional<double> FeedDesk::depthNow() const
{
    if (m_state->water && m_state->water->depthM)
        return m_state->water->depthM;
    return m_state->fix ? m_state->fix->depthM : std::nullopt;
}

QString FeedDesk::clockText() const
{
    return toIso(now()).mid(11, 10); // hh:mm:ss.s
}

QString FeedDesk::replayText() const
{
    return replaying() ? tr("replay %1 ×").arg(m_clock.speed()) : QString();
}

void FeedDesk::age(Reading &reading, UtcTime time, const QString &feed) const
{
    const double old = secondsBetween(time, now());
    double period = 1;
    for (const FeedState &f : m_state->feeds) {
        if (f.name == feed)
            period = std::max(period, f.periodS);
    }
    // At 100 times the speed a tenth of a second of ours is ten of the log's.
    const double allowed = std::max(2 * period, 0.3 * m_clock.speed());
    reading.old = old > std::max(allowed, 10.0 * m_clock.speed());
    reading.note = old > allowed ? tr("%1, %2 old").arg(feed, spanText(old)) : feed;
}

Reading FeedDesk::waterReading(std::optional<double> LiveWater::*member, int decimals,
                               const QString &unit) const
{
    Reading r;
    r.unit = unit;
    if (!m_state->water || !((*m_state->water).*member))
        return r;
    r.there = true;
    r.value = numberText(*((*m_state->water).*member), decimals);
    age(r, m_state->water->time, QStringLiteral("CTD"));
    return r;
}

Reading FeedDesk::temperature() const
{
    return waterReading(&LiveWater::temperatureDegC, 3, QStringLiteral("°C"));
}

Reading FeedDesk::salinity() const
{
    return waterReading(&LiveWater::practicalSalinity, 3, {});
}

Reading FeedDesk::oxygen() const
{
    return waterReading(&LiveWater::oxygenUmolKg, 1, QStringLiteral("µmol/kg"));
}

Reading FeedDesk::depth() const
{
    if (m_state->water && m_state->water->depthM)
        return waterReading(&LiveWater::depthM, 1, QStringLiteral("m"));
    Reading r;
    r.unit = QStringLiteral("m");
    if (m_state->fix && m_state->fix->depthM) {
        r.there = true;
        r.value = numberText(*m_state->fix->depthM, 1);
        age(r, m_state->fix->time, QStringLiteral("position"));
    }
    return r;
}

Reading FeedDesk::position() const
{
    Reading r;
    if (!m_state->fix || !m_state->fix->latitudeDeg || !m_state->fix->longitudeDeg)
        return r;
    const NavFix &fix = *m_state->fix;
    r.there = true;
    r.value = shownLatitude(*fix.latitudeDeg) + QStringLiteral("  ") + shownLongitude(*fix.longitudeDeg);
    if (fix.uncertainty95M)
        r.unit =
            QStringLiteral("±%1 m").arg(numberText(*fix.uncertainty95M, *fix.uncertainty95M < 10 ? 1 : 0));
    age(r, fix.time, QStringLiteral("position"));
    r.note.remove(QStringLiteral("position, ")).remove(QStringLiteral("position"));
    return r;
}

Reading FeedDesk::heading() const
{
    Reading r;
    r.unit = QStringLiteral("°");
    if (m_state->headingDeg) {
        r.there = true;
        const int whole = static_cast<int>(std::lround(*m_state->headingDeg)) % 360;
        r.value = QStringLiteral("%1").arg(whole, 3, 10, QLatin1Char('0'));
    }
    return r;
}

Reading FeedDesk::altitude() const
{
    Reading r;
    r.unit = QStringLiteral("m");
    if (m_state->altitudeM) {
        r.there = true;
        r.value = numberText(*m_state->altitudeM, 1);
    }
    return r;
}

QString FeedDesk::feedsLine() const
{
    if (m_state->feeds.empty())
        return tr("no feeds");
    const UtcTime at = now();
    int alive = 0;
    for (const FeedState &feed : m_state->feeds)
        alive += feed.trouble.isEmpty() && feed.lastRecord &&
                 !FeedList::isSilent(feed, at, m_clock.speed()) && !feed.ended;
    const int all = static_cast<int>(m_state->feeds.size());
    return alive == all ? all == 1 ? tr("1 feed alive") : tr("%1 feeds alive").arg(all)
                        : tr("%1 of %2 feeds alive").arg(alive).arg(all);
}

} // namespace holdfast
