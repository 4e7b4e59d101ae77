// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed_desk.h"

#include "base/ids.h"
#include "dive/running_dive.h"
#include "dive_logs.h"
#include "live/replay_source.h"
#include "live/sources.h"

#include <QFileInfo>
#include <algorithm>

namespace holdfast
{

namespace
{

const QString lockTopic = QStringLiteral("feeds lock");

/// What live feeds are opened for: when it changes they are opened anew.
QString followedBy(const QString &path, const Snapshot &snapshot)
{
    QStringList words{path, QString::number(runningDive(snapshot.dives))};
    for (const FeedSetup &feed : snapshot.feeds)
        words << feed.name << feed.address.text() << feed.profile << QString::number(feed.silentAfterMs);
    return words.join(u'\n');
}

const QString stoppedByPerson = QStringLiteral("stopped");

} // namespace

FeedDesk::FeedDesk(Desk &desk, QObject *parent)
    : QObject(parent), m_desk(&desk), m_alarms(desk.notices()), m_worker(std::make_unique<FeedWorker>()),
      m_state(std::make_shared<const LiveState>()), m_taking(desk)
{
    qRegisterMetaType<LiveStatePtr>();
    m_thread.setObjectName(QStringLiteral("feeds"));
    m_worker->moveToThread(&m_thread);
    connect(m_worker.get(), &FeedWorker::stateChanged, this, &FeedDesk::receive);
    connect(m_desk, &Desk::refreshed, this, &FeedDesk::followFile);
    connect(m_desk, &Desk::leaving, this, [this] {
        begin({});
        giveLockBack();
    });
    connect(&m_taking, &LineTaking::progressed, this, &FeedDesk::takingInChanged);
    connect(&m_taking, &LineTaking::ended, this, &FeedDesk::tellTaken);
    m_thread.start();
    m_tick.setInterval(100);
    connect(&m_tick, &QTimer::timeout, this, &FeedDesk::tick);
    m_tick.start();
}

FeedDesk::~FeedDesk()
{
    m_ending = true;
    begin({}); // sources and timers must go on the thread they live on
    m_thread.quit();
    m_thread.wait();
}

Act FeedDesk::actOfProgram() const
{
    Act act = m_desk->act();
    if (act.person.isEmpty())
        act.person = tr("program at station %1").arg(m_desk->stationName());
    return act;
}

void FeedDesk::begin(ShipClock clock, LineRecorder::Sink sink)
{
    m_clock = clock;
    m_state = std::make_shared<const LiveState>();
    m_alarms.forget();
    FeedWorker *worker = m_worker.get();
    const int run = ++m_run;
    EndedRecordings ended;
    QMetaObject::invokeMethod(
        worker, [&] { ended = worker->restart(clock, run, std::move(sink)); }, Qt::BlockingQueuedConnection);
    save(ended);
    m_recordedDive = 0;
    m_followed.clear();
    emit began(clock.isReplay());
}

void FeedDesk::save(const EndedRecordings &ended)
{
    if (ended.begun.empty())
        return;
    const Patience patience = m_ending ? Patience::Long : Patience::Usual;
    m_desk->writeUntilDone(
        tr("Saving the last lines of the feeds"),
        [act = actOfProgram(), ended, patience, lock = m_lock](CruiseFile &file) -> Done {
            if (ended.last && ended.last->outcome() != LineBatch::Outcome::Saved) {
                if (auto stored = ended.last->store(file, patience); !stored)
                    return stored;
            }
            for (const Recording &recording : ended.begun) {
                if (auto closed = closeRecording(file, act, recording.uuid, QStringLiteral("closed"));
                    !closed)
                    return closed;
            }
            return {};
        },
        {});
}

void FeedDesk::giveLockBack()
{
    m_givenBack = m_lock;
    m_lock.reset();
}

void FeedDesk::add(FeedPlan plan, LineSource *source)
{
    source->moveToThread(&m_thread);
    FeedWorker *worker = m_worker.get();
    QMetaObject::invokeMethod(worker,
                              [worker, plan = std::move(plan), source] { worker->add(plan, source); });
}

bool FeedDesk::holdLock()
{
    const QString path = m_desk->path() + QStringLiteral(".feeds");
    if (!m_lock)
        m_lock = m_givenBack.lock();
    if (m_lock && m_lock->isLocked() && m_lock->fileName() == path)
        return true;
    m_lock = std::make_shared<QLockFile>(path);
    m_lock->setStaleLockTime(std::chrono::milliseconds(0)); // only a program that is gone gives it up
    return m_lock->tryLock();
}

LineRecorder::Sink FeedDesk::sinkOf(const QString &path)
{
    return [desk = m_desk, path](const LineBatchPtr &batch) {
        desk->writeQuietly([batch, path](CruiseFile &file) -> Done {
            if (file.db().path() == path)
                return batch->store(file);
            batch->refuse(fail(ErrorKind::Internal, QStringLiteral("another cruise file is open")));
            return batch->error();
        });
    };
}

void FeedDesk::followFile()
{
    const SnapshotPtr s = m_desk->snapshot();
    if (replaying() || !s || m_desk->onlyReads())
        return; // a window that only reads records nothing and leaves the feeds to the one that does
    const bool nothing = s->feeds.empty() && m_followed.isEmpty();
    if (nothing || m_followed == stoppedByPerson || m_followed == followedBy(m_desk->path(), *s))
        return;
    openLive();
}

void FeedDesk::openLive()
{
    const SnapshotPtr s = m_desk->snapshot();
    if (!s || m_desk->refusesToWrite(tr("Opening the feeds"), {}))
        return;
    begin({});
    if (s->feeds.empty())
        return giveLockBack();
    if (!holdLock()) {
        m_lock.reset();
        m_followed = followedBy(m_desk->path(), *s);
        m_desk->notices().say(
            lockTopic, Notices::Weight::Care,
            tr("Another window has the feeds of this file and records them; this one shows no "
               "live values. Close the other one, then open the feeds here."),
            tr("F4, then O"));
        return;
    }
    m_desk->notices().settle(lockTopic);
    const int dive = runningDive(s->dives);
    // What a program left open when it was ended is closed before anything new comes behind it.
    m_desk->writeQuietly([act = actOfProgram()](CruiseFile &file) -> Done {
        const auto closed = closeLeftOpen(file, act);
        return closed ? Done() : Done(closed.error());
    });
    begin({}, dive > 0 ? sinkOf(m_desk->path()) : LineRecorder::Sink());
    m_recordedDive = dive;
    m_followed = followedBy(m_desk->path(), *s);
    for (const FeedSetup &feed : s->feeds)
        openOne(feed);
}

void FeedDesk::openOne(const FeedSetup &feed)
{
    const QString topic = QStringLiteral("feed setup %1").arg(feed.name);
    const auto profile = feedProfile(feed.profile);
    auto source = profile ? makeSource(feed.address, *profile, QFileInfo(m_desk->path()).absolutePath())
                          : Result<std::unique_ptr<LineSource>>(profile.error());
    if (!source) {
        m_desk->notices().say(topic, Notices::Weight::Care,
                              QStringLiteral("%1: %2").arg(feed.name, source.error().sentence),
                              tr("F4 feeds"));
        return;
    }
    m_desk->notices().settle(topic);
    FeedPlan plan{m_nextId++, feed.name, *profile, static_cast<double>(feed.silentAfterMs) / 1000, {}};
    if (m_recordedDive > 0)
        plan.recording =
            Recording{newUuid(),    m_recordedDive, m_desk->stationName(), feed.name, feed.address.recorded(),
                      feed.profile, profile->json,  m_desk->act().now};
    add(std::move(plan), source->release());
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
    if (m_recordedDive > 0)
        return refuse(tr("The live feeds are being recorded into dive %1: a replay would end that. Stop them "
                         "first (F4, then S twice).")
                          .arg(m_recordedDive));
    std::optional<UtcTime> start = parseIsoUtc(from.toStdString());
    if (!from.isEmpty() && !start)
        return refuse(tr("\"%1\" is no time; write it as 2026-03-12T14:22:07Z.").arg(from));
    const std::vector<DiveLog> logs = findDiveLogs(*s, m_desk->path());
    if (logs.empty())
        return refuse(tr("No log of %1 was found beside the cruise file or in its folder \"logs\".")
                          .arg(m_desk->diveName()));
    m_desk->notices().settle(topic);
    if (!start && s->dive->launched)
        start = *s->dive->launched + std::chrono::minutes(1);
    std::optional<UtcTime> first;
    for (const DiveLog &log : logs) {
        if (log.first && (!first || *log.first < *first))
            first = log.first;
    }
    const ShipClock clock =
        ShipClock::replaying(start.value_or(first.value_or(UtcTime{})), std::clamp(speed, 1.0, 100.0));
    begin(clock);
    giveLockBack();
    for (const DiveLog &log : logs)
        add({m_nextId++, feedNameOf(log.profile.kind), log.profile, {}, {}},
            new ReplaySource(log.path, log.profile, clock));
}

void FeedDesk::stopAll()
{
    const QString topic = QStringLiteral("feeds stop");
    const auto now = HostClock::Steady::now();
    if (m_recordedDive > 0 && !(m_stopAsked && now - *m_stopAsked < std::chrono::seconds(10))) {
        m_stopAsked = now;
        m_desk->notices().say(
            topic, Notices::Weight::Care,
            tr("Stopping the feeds ends their recording into dive %1. Press S again to stop them.")
                .arg(m_recordedDive),
            tr("F4, then S"));
        return;
    }
    m_stopAsked.reset();
    m_desk->notices().settle(topic);
    begin({});
    giveLockBack();
    m_followed = stoppedByPerson; // not opened again by itself
}

QString FeedDesk::setFeedLine(const QString &line)
{
    QString rest = line.trimmed();
    FeedSetup feed;
    const bool quoted = rest.startsWith(u'"');
    const qsizetype end = rest.indexOf(quoted ? u'"' : u' ', 1);
    const QStringList words =
        rest.sliced(std::max<qsizetype>(end, 0)).remove(u'"').split(u' ', Qt::SkipEmptyParts);
    if (end < 1 || words.size() != 2)
        return tr("Write a name, an address and a profile: CTD udp://0.0.0.0:47002 ctd-csv");
    feed.name = rest.mid(quoted ? 1 : 0, end - (quoted ? 1 : 0));
    const auto address = parseFeedAddress(words.at(0));
    if (!address)
        return address.error().sentence;
    if (const auto profile = feedProfile(words.at(1)); !profile)
        return profile.error().sentence;
    feed.address = *address;
    feed.profile = words.at(1);
    m_desk->write(tr("Setting feed %1").arg(feed.name),
                  [feed, act = m_desk->act()](CruiseFile &file) { return setFeed(file, act, feed); });
    return {};
}

void FeedDesk::removeFeed(const QString &name)
{
    m_desk->write(tr("Removing feed %1").arg(name), [name, act = m_desk->act()](CruiseFile &file) {
        return holdfast::removeFeed(file, act, name);
    });
}

void FeedDesk::takeInLines()
{
    if (m_taking.running())
        return m_taking.stop();
    if (m_desk->dive() == 0 || m_desk->refusesToWrite(tr("Taking in the recorded lines"), {}))
        return;
    m_taking.start(m_desk->dive());
}

void FeedDesk::tellTaken(const QStringList &told)
{
    m_desk->notices().say(
        QStringLiteral("take in"), Notices::Weight::Note,
        told.isEmpty() ? tr("No lines of live feeds were recorded on this dive.")
                       : tr("Taken in from the recorded lines: %1.").arg(told.join(QStringLiteral("; "))));
}

void FeedDesk::receive(const LiveStatePtr &state)
{
    if (state->run != m_run)
        return;
    m_state = state;
    if (!state->news.empty())
        emit courseGrew(state->news);
}

void FeedDesk::tick()
{
    m_list.update(m_state->feeds);
    m_alarms.look(*m_state);
    emit ticked();
}

QJsonObject FeedDesk::seen(UtcTime at) const
{
    QJsonObject seen = readings().seen(at);
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

QString FeedDesk::feedsLine() const
{
    if (m_state->feeds.empty())
        return tr("no feeds");
    const auto alive = std::count_if(m_state->feeds.begin(), m_state->feeds.end(),
                                     [](const FeedState &feed) { return feed.isAlive(); });
    const auto all = static_cast<std::ptrdiff_t>(m_state->feeds.size());
    return alive == all ? all == 1 ? tr("1 feed alive") : tr("%1 feeds alive").arg(all)
                        : tr("%1 of %2 feeds alive").arg(alive).arg(all);
}

QString FeedDesk::clocksLine() const
{
    if (replaying())
        return tr("The clock shows the logs' time.");
    if (!m_state->hostMinusGpsS)
        return tr("No feed tells GPS time (ZDA, RMC or GGA); this computer's clock is taken as it is.");
    if (m_state->hostMinusGps)
        return tr("This computer's clock less GPS time: %1 ±%2 s (%3)")
            .arg(FeedList::signedSeconds(m_state->hostMinusGps->seconds))
            .arg(std::max(m_state->hostMinusGps->uncertainty95S, 0.01), 0, 'f', 2)
            .arg(m_state->gpsFrom);
    return tr("This computer's clock less GPS time: %1 s (%2)")
        .arg(FeedList::signedSeconds(*m_state->hostMinusGpsS), m_state->gpsFrom);
}

QString FeedDesk::recordLine() const
{
    if (m_recordedDive > 0)
        return tr("Every line is recorded into dive %1 as it comes, on disk within about a second.")
            .arg(m_recordedDive);
    return m_state->feeds.empty() ? QString()
           : replaying()          ? tr("A replay is not recorded.")
                                  : tr("Nothing is recorded: every dive of this file is closed.");
}

} // namespace holdfast
