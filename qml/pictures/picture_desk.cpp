// SPDX-License-Identifier: GPL-3.0-or-later
#include "picture_desk.h"

#include "live/recorded_course.h"
#include "store/sql.h"

#include <algorithm>

namespace holdfast
{

namespace
{

QString shortNumber(const QString &id)
{
    return id.mid(id.lastIndexOf(QLatin1Char('-')) + 1);
}

/// Samples and stamps without their positions.
std::vector<PictureDesk::Sign> signsOf(const Snapshot &s)
{
    std::vector<PictureDesk::Sign> signs;
    for (const SampleInfo &sample : s.samples) {
        if (sample.momentKnown)
            signs.push_back({sample.time, shortNumber(sample.id), sample.state, {}, {}, {}});
    }
    for (const StampInfo &stamp : s.stamps) {
        if (stamp.state != QLatin1String("sample"))
            signs.push_back({stamp.time, {}, stamp.state, {}, {}, {}});
    }
    return signs;
}

} // namespace

/// Reads courses on a thread of its own with a read-only connection, and keeps the last ones for the next
/// signs.
class PictureDesk::Reader
{
public:
    using Logs = std::shared_ptr<const DiveCourses>;

    Reader()
    {
        m_thread.setObjectName(QStringLiteral("pictures"));
        m_onThread.moveToThread(&m_thread);
        m_thread.start();
    }
    ~Reader()
    {
        m_stop.request_stop();
        QMetaObject::invokeMethod(
            &m_onThread, [this] { m_db.reset(); }, Qt::BlockingQueuedConnection);
        m_thread.quit();
        m_thread.wait();
    }
    /// From now on everything is of another file or dive; what is being read is given up.
    void turnTo(const QString &path, int dive)
    {
        m_stop.request_stop();
        m_stop = {};
        QMetaObject::invokeMethod(&m_onThread, [this, path, dive] {
            if (m_path != path)
                m_db.reset();
            m_path = path;
            m_dive = dive;
            m_recorded = std::make_unique<RecordedCourse>(dive);
            m_logs.reset();
        });
    }
    void readLogs(std::vector<Sign> signs, std::function<void(Result<Logs>, std::vector<Sign>)> give)
    {
        QMetaObject::invokeMethod(&m_onThread,
                                  [this, signs = std::move(signs), give = std::move(give)]() mutable {
                                      if (auto done = fetchLogs(); !done)
                                          return give(done.error(), std::move(signs));
                                      for (Sign &sign : signs) {
                                          const NavFix fix = m_logs->fixes->at(sign.time);
                                          sign.latitudeDeg = fix.latitudeDeg;
                                          sign.longitudeDeg = fix.longitudeDeg;
                                          sign.uncertainty95M = fix.uncertainty95M;
                                      }
                                      give(m_logs, std::move(signs));
                                  });
    }
    /// What has been recorded since it was last asked.
    void readRecorded(std::function<void(Result<LiveCourse>)> give)
    {
        QMetaObject::invokeMethod(&m_onThread, [this, stop = m_stop.get_token(), give = std::move(give)] {
            if (auto opened = open(); !opened)
                return give(opened.error());
            auto news = m_recorded->readOn(*m_db, stop);
            if (const Done whole = takeReadFault(); !whole)
                return give(whole.error());
            give(std::move(news));
        });
    }

private:
    Done open()
    {
        if (m_db)
            return {};
        auto opened = Database::open(m_path, Database::Access::ReadOnly);
        if (!opened)
            return opened.error();
        m_db = std::make_unique<Database>(std::move(*opened));
        return {};
    }
    Done fetchLogs()
    {
        if (auto opened = open(); !opened)
            return opened;
        const auto key = whatCoursesDependOn(*m_db, m_dive);
        if (!key)
            return key.error();
        if (m_logs && *key == m_key)
            return {};
        auto courses = diveCourses(*m_db, m_dive, columns);
        if (const Done whole = takeReadFault(); !whole)
            return whole;
        if (!courses)
            return courses.error();
        m_logs = std::make_shared<const DiveCourses>(std::move(*courses));
        m_key = *key;
        return {};
    }

    std::stop_source m_stop; ///< of what is asked for now
    QThread m_thread;
    QObject m_onThread;
    QString m_path; ///< touched on the thread only, as the rest
    int m_dive = 0;
    std::unique_ptr<Database> m_db;
    Logs m_logs;
    QString m_key;
    std::unique_ptr<RecordedCourse> m_recorded;
};

PictureDesk::PictureDesk(Desk &desk, FeedDesk &feeds, QObject *parent)
    : QObject(parent), m_desk(&desk), m_feeds(&feeds), m_reader(std::make_unique<Reader>())
{
    connect(m_desk, &Desk::refreshed, this, &PictureDesk::refresh);
    connect(m_feeds, &FeedDesk::began, this, [this](bool replay) {
        if (replay || m_replay) // another clock
            m_book.forgetLive();
        m_replay = replay;
    });
    connect(m_feeds, &FeedDesk::courseGrew, this, [this](const LiveCourse &news) {
        if (!m_replay && m_feeds->recordedDive() != 0 && !feedsAreOfTheDive())
            return; // another dive is shown
        m_book.addLive(news);
        m_grew = true;
    });
    m_second.setInterval(1000);
    connect(&m_second, &QTimer::timeout, this, &PictureDesk::everySecond);
    m_second.start();
}

PictureDesk::~PictureDesk() = default;

bool PictureDesk::feedsAreOfTheDive() const
{
    return m_feeds->recordedDive() == m_desk->dive();
}

void PictureDesk::begin(const QString &place)
{
    m_place = place;
    m_key.clear();
    m_book.forget();
    m_signs.clear();
    ++m_bookNumber;
    m_readingRecorded = false;
    m_note = tr("reading what the file holds of this dive");
    m_reader->turnTo(m_desk->path(), m_desk->dive());
    emit changed();
}

void PictureDesk::refresh()
{
    const SnapshotPtr s = m_desk->snapshot();
    if (!s || !s->dive)
        return;
    const QString place = QStringLiteral("%1|%2").arg(m_desk->path()).arg(m_desk->dive());
    const bool other = place != m_place;
    if (other)
        begin(place);
    const quint64 turn = ++m_turn;
    m_reader->readLogs(signsOf(*s), [this, turn](const auto &logs, std::vector<Sign> signs) {
        QMetaObject::invokeMethod(this, [this, logs, signs = std::move(signs), turn]() mutable {
            receiveLogs(logs, std::move(signs), turn);
        });
    });
    if (other)
        readRecorded();
}

void PictureDesk::receiveLogs(const Result<std::shared_ptr<const DiveCourses>> &logs, std::vector<Sign> signs,
                              quint64 turn)
{
    if (turn != m_turn)
        return;
    if (!logs) {
        m_note = logs.error().sentence;
    } else {
        m_book.setLogs(*logs);
        m_signs = std::move(signs);
        placeSigns();
        if (!m_readingRecorded)
            m_note.clear();
    }
    emit changed();
}

void PictureDesk::readRecorded()
{
    if (m_readingRecorded)
        return;
    m_readingRecorded = true;
    m_reader->readRecorded([this, book = m_bookNumber](const Result<LiveCourse> &news) {
        QMetaObject::invokeMethod(this, [this, news, book] { receiveRecorded(news, book); });
    });
}

void PictureDesk::receiveRecorded(const Result<LiveCourse> &news, int book)
{
    if (book != m_bookNumber)
        return;
    m_readingRecorded = false;
    const QString before = std::exchange(m_note, news ? QString() : news.error().sentence);
    if (news)
        m_book.addRecorded(*news);
    if (m_note == before && (!news || news->empty()))
        return;
    placeSigns();
    emit changed();
}

/// Where the logs give a sign no place, what the feeds said does.
void PictureDesk::placeSigns()
{
    for (Sign &sign : m_signs) {
        if (sign.latitudeDeg)
            continue;
        if (const auto place = m_book.placeAt(sign.time)) {
            sign.latitudeDeg = place->latitudeDeg;
            sign.longitudeDeg = place->longitudeDeg;
            sign.uncertainty95M = place->uncertainty95M;
        }
    }
}

void PictureDesk::everySecond()
{
    if (std::exchange(m_grew, false)) {
        placeSigns();
        emit changed();
    }
    // Another window may be the one that records.
    if (!m_place.isEmpty() && !m_replay && !feedsAreOfTheDive())
        readRecorded();
}

QString PictureDesk::titleOf(CourseBook::Which which)
{
    switch (which) {
    case CourseBook::Depth:
        return tr("Depth (m) over UTC");
    case CourseBook::Temperature:
        return tr("Temperature (°C)");
    case CourseBook::Salinity:
        return tr("Practical salinity");
    case CourseBook::Oxygen:
        break;
    }
    return tr("Oxygen (µmol/kg)");
}

TrackMapContent PictureDesk::track() const
{
    TrackMapContent map;
    const UtcTime now = m_feeds->now();
    map.track = m_book.track(now);
    if (!map.track.empty() && map.track.back().provisional)
        map.endWord = tr("last");
    for (const Sign &sign : m_signs) {
        if (sign.latitudeDeg && sign.longitudeDeg && sign.time <= now)
            map.samples.push_back({sign.label, *sign.latitudeDeg, *sign.longitudeDeg, sign.uncertainty95M});
    }
    return map;
}

UtcTime PictureDesk::from() const
{
    const SnapshotPtr s = m_desk->snapshot();
    const UtcTime now = m_feeds->now();
    std::optional<UtcTime> first = m_book.first();
    if (first && *first >= now)
        first.reset();
    if (s && s->dive && s->dive->launched && *s->dive->launched <= now)
        first = first ? std::max(*first, *s->dive->launched) : *s->dive->launched;
    return first.value_or(now);
}

UtcTime PictureDesk::to() const
{
    const UtcTime now = m_feeds->now();
    UtcTime last = m_book.last(now).value_or(from() + std::chrono::seconds(1));
    for (const Sign &sign : m_signs) {
        if (sign.time <= now)
            last = std::max(last, sign.time);
    }
    return std::max(last, from() + std::chrono::seconds(1));
}

} // namespace holdfast
