// SPDX-License-Identifier: GPL-3.0-or-later
#include "picture_desk.h"

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

/// What the courses depend on: the dive and its logs.
QString keyOf(const Desk &desk, const Snapshot &s)
{
    QString key = QStringLiteral("%1|%2").arg(desk.path()).arg(desk.dive());
    for (const IntakeInfo &intake : s.intakes)
        key += QLatin1Char('|') + intake.uuid + (intake.replaced ? QStringLiteral("-") : QString());
    return key;
}

} // namespace

/// Reads courses on a thread of its own with a read-only connection, and keeps the last ones for the next
/// signs.
class PictureDesk::Reader
{
public:
    Reader()
    {
        m_thread.setObjectName(QStringLiteral("pictures"));
        m_onThread.moveToThread(&m_thread);
        m_thread.start();
    }
    ~Reader()
    {
        QMetaObject::invokeMethod(
            &m_onThread, [this] { m_db.reset(); }, Qt::BlockingQueuedConnection);
        m_thread.quit();
        m_thread.wait();
    }
    void read(const QString &path, int dive, const QString &key, std::vector<Sign> signs,
              std::function<void(Result<Read>)> give)
    {
        QMetaObject::invokeMethod(
            &m_onThread, [this, path, dive, key, signs = std::move(signs), give = std::move(give)]() mutable {
                if (auto done = readCourses(path, dive, key); !done)
                    return give(done.error());
                for (Sign &sign : signs) {
                    const NavFix fix = m_courses->fixes->at(sign.time);
                    sign.latitudeDeg = fix.latitudeDeg;
                    sign.longitudeDeg = fix.longitudeDeg;
                    sign.uncertainty95M = fix.uncertainty95M;
                }
                give(Read{m_courses, std::move(signs)});
            });
    }

private:
    Done readCourses(const QString &path, int dive, const QString &key)
    {
        if (m_courses && key == m_key)
            return {};
        if (!m_db || m_db->path() != path) {
            m_db.reset();
            auto opened = Database::open(path, Database::Access::ReadOnly);
            if (!opened)
                return opened.error();
            m_db = std::make_unique<Database>(std::move(*opened));
        }
        auto courses = diveCourses(*m_db, dive, columns);
        if (!courses)
            return courses.error();
        m_courses = std::make_shared<const DiveCourses>(std::move(*courses));
        m_key = key;
        return {};
    }

    QThread m_thread;
    QObject m_onThread;
    std::unique_ptr<Database> m_db; ///< touched on the thread only, as the rest
    std::shared_ptr<const DiveCourses> m_courses;
    QString m_key;
};

PictureDesk::PictureDesk(Desk &desk, FeedDesk &feeds, QObject *parent)
    : QObject(parent), m_desk(&desk), m_feeds(&feeds), m_reader(std::make_unique<Reader>())
{
    connect(m_desk, &Desk::refreshed, this, &PictureDesk::refresh);
    connect(m_feeds, &FeedDesk::depthsChanged, this, [this] {
        if (m_feeds->depths().size() < m_depthsSeen) { // the feeds began anew
            m_depthsSeen = 0;
            m_liveDepth.clear();
        }
    });
    m_second.setInterval(1000);
    connect(&m_second, &QTimer::timeout, this, &PictureDesk::collectLive);
    m_second.start();
}

PictureDesk::~PictureDesk() = default;

void PictureDesk::refresh()
{
    const SnapshotPtr s = m_desk->snapshot();
    if (!s || !s->dive)
        return;
    const QString key = keyOf(*m_desk, *s);
    if (key != m_key) {
        m_courses.reset();
        m_signs.clear();
        m_key = key;
        m_note = s->intakes.empty() ? QString() : tr("reading the logs of this dive from the file");
        emit changed();
    }
    const quint64 turn = ++m_turn;
    m_reader->read(m_desk->path(), m_desk->dive(), key, signsOf(*s), [this, turn](Result<Read> read) {
        QMetaObject::invokeMethod(this, [this, read = std::move(read), turn] { receive(read, turn); });
    });
}

void PictureDesk::receive(const Result<Read> &read, quint64 turn)
{
    if (turn != m_turn)
        return;
    m_note = read ? QString() : read.error().sentence;
    if (read) {
        m_courses = read->courses;
        m_signs = read->signs;
    }
    emit changed();
}

void PictureDesk::collectLive()
{
    const auto &depths = m_feeds->depths();
    if (depths.size() == m_depthsSeen)
        return;
    for (; m_depthsSeen < depths.size(); ++m_depthsSeen)
        m_liveDepth.push_back({utcFromMicroseconds(depths[m_depthsSeen].timeUs),
                               static_cast<double>(depths[m_depthsSeen].depthM)});
    emit changed();
}

std::vector<ChartPoint> PictureDesk::upToNow(const std::vector<ChartPoint> &file,
                                             const std::vector<ChartPoint> &live) const
{
    const auto before = [](const ChartPoint &p, UtcTime t) { return p.time < t; };
    std::vector<ChartPoint> shown(file.begin(),
                                  std::lower_bound(file.begin(), file.end(), m_feeds->now(), before));
    const UtcTime last = shown.empty() ? UtcTime{} : shown.back().time;
    for (const ChartPoint &p : live) {
        if (p.time > last)
            shown.push_back(p);
    }
    return shown;
}

std::vector<ChartPoint> PictureDesk::depth() const
{
    return upToNow(m_courses ? m_courses->depth : std::vector<ChartPoint>(), m_liveDepth);
}

QString PictureDesk::waterTitle(int which)
{
    return which == 0   ? tr("Temperature (°C)")
           : which == 1 ? tr("Practical salinity")
                        : tr("Oxygen (µmol/kg)");
}

std::vector<ChartPoint> PictureDesk::water(int which) const
{
    static const char *const begins[] = {"Temp", "Prac", "Oxy"};
    if (m_courses && which >= 0 && which < 3) {
        for (const WaterStrip &strip : m_courses->water) {
            if (strip.title.startsWith(QLatin1String(begins[which])))
                return upToNow(strip.points, {});
        }
    }
    return {};
}

TrackMapContent PictureDesk::track() const
{
    TrackMapContent map;
    const UtcTime now = m_feeds->now();
    if (!m_courses)
        return map;
    for (const TrackMapContent::Point &p : m_courses->track) {
        if (p.time <= now)
            map.track.push_back(p);
    }
    for (const Sign &sign : m_signs) {
        if (sign.latitudeDeg && sign.longitudeDeg && sign.time <= now)
            map.samples.push_back({sign.label, *sign.latitudeDeg, *sign.longitudeDeg, sign.uncertainty95M});
    }
    return map;
}

UtcTime PictureDesk::from() const
{
    const SnapshotPtr s = m_desk->snapshot();
    const auto shown = depth();
    std::optional<UtcTime> first = shown.empty() ? std::optional<UtcTime>() : shown.front().time;
    if (s && s->dive && s->dive->launched && *s->dive->launched <= m_feeds->now())
        first = first ? std::max(*first, *s->dive->launched) : *s->dive->launched;
    return first.value_or(m_feeds->now());
}

UtcTime PictureDesk::to() const
{
    const auto shown = depth();
    const UtcTime now = m_feeds->now();
    UtcTime last = shown.empty() ? from() + std::chrono::seconds(1) : shown.back().time;
    for (const Sign &sign : m_signs) {
        if (sign.time <= now)
            last = std::max(last, sign.time);
    }
    return std::max(last, from() + std::chrono::seconds(1));
}

} // namespace holdfast
