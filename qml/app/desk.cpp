// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk.h"

#include "store/sql.h"

#include <QFileInfo>
#include <QSettings>
#include <QTimer>
#include <algorithm>

namespace holdfast
{

namespace
{
const QString openTopic = QStringLiteral("open");
const QString watchTopic = QStringLiteral("watch");
const QString personKey = QStringLiteral("person");
const QString againTopic = QStringLiteral("write again");
constexpr int againMs = 1000;

/// What may be over in a while: a lock, a full or failing disk.
bool mayPass(ErrorKind kind)
{
    return kind == ErrorKind::Busy || kind == ErrorKind::Unwritable || kind == ErrorKind::Unreadable;
}
} // namespace

namespace
{
/// The same work, refused when by the time it runs another file has been opened: what was meant for one
/// cruise must never be written into another.
CruiseWriter::Work onlyFor(const QString &path, CruiseWriter::Work work)
{
    return [path, work = std::move(work)](CruiseFile &file) -> Done {
        if (file.db().path() == path)
            return work(file);
        return fail(ErrorKind::Refused,
                    QStringLiteral("it was meant for %1, but %2 is open now. It is not saved.")
                        .arg(QFileInfo(path).fileName(), QFileInfo(file.db().path()).fileName()));
    };
}
} // namespace

/// Reads snapshots on a thread of its own with a read-only connection.
class Desk::Reader
{
public:
    Reader()
    {
        m_thread.setObjectName(QStringLiteral("cruise reader"));
        m_onThread.moveToThread(&m_thread);
        m_thread.start();
    }
    ~Reader()
    {
        QMetaObject::invokeMethod(
            &m_onThread, [this] { m_file.reset(); }, Qt::BlockingQueuedConnection);
        m_thread.quit();
        m_thread.wait();
    }
    void read(const QString &path, int dive, std::function<void(Result<SnapshotPtr>)> give)
    {
        QMetaObject::invokeMethod(&m_onThread, [this, path, dive, give = std::move(give)] {
            if (!m_file || m_file->db().path() != path) {
                m_file.reset();
                auto opened = CruiseFile::open(path, Database::Access::ReadOnly, allVerbRules());
                if (!opened)
                    return give(opened.error());
                m_file = std::make_unique<CruiseFile>(std::move(*opened));
            }
            m_version = version();
            m_heads = heads();
            auto snapshot = readSnapshot(*m_file, dive);
            if (const Done whole = takeReadFault(); !whole)
                return give(whole.error());
            give(std::move(snapshot));
        });
    }
    /// Calls `changed` when someone has written to the ledger since the last snapshot was read. All that
    /// screens show comes from it; the lines of live feeds, which are written every second, are not in it.
    void follow(std::function<void()> changed)
    {
        QMetaObject::invokeMethod(&m_onThread, [this, changed = std::move(changed)] {
            if (!m_file || version() == m_version)
                return;
            m_version = version();
            if (heads() != m_heads)
                changed();
        });
    }

private:
    /// A number that SQLite changes when another connection has committed; -1 when it can't be read just now.
    [[nodiscard]] qint64 version() const
    {
        auto row = query(m_file->db().connection(), QStringLiteral("PRAGMA data_version"));
        return row && row->next() ? row->integer(0) : -1;
    }

    /// How far each station's chain has come; empty when it can't be read just now.
    [[nodiscard]] QStringList heads() const
    {
        QStringList all;
        auto rows = query(m_file->db().connection(),
                          QStringLiteral("SELECT station, seq FROM ledger_head ORDER BY station"));
        while (rows && rows->next())
            all << rows->text(0) << rows->text(1);
        return all;
    }

    QThread m_thread;
    QObject m_onThread;
    qint64 m_version = -1;
    QStringList m_heads;
    std::unique_ptr<CruiseFile> m_file; ///< touched on the thread only
};

Desk::Desk(Notices &notices, QObject *parent)
    : QObject(parent), m_notices(&notices), m_reader(std::make_unique<Reader>()),
      m_person(QSettings().value(personKey).toString())
{
    m_follow.setInterval(1000);
    connect(&m_follow, &QTimer::timeout, this,
            [this] { m_reader->follow([this] { QMetaObject::invokeMethod(this, [this] { refresh(); }); }); });
}

Desk::~Desk() = default;

void Desk::openFile(const QString &path, int dive)
{
    m_arrival = Arrival{path, dive, {}};
    const quint64 turn = ++m_arrivals;
    if (m_readOnly) {
        readArrival();
        return;
    }
    // The writer goes first: it upgrades a file of an earlier schema.
    m_writer.prepare(path, this, [this, turn](const Done &opened) {
        if (turn != m_arrivals)
            return; // still another one was asked for
        if (!opened)
            giveUpArrival(opened.error());
        else
            readArrival();
    });
}

void Desk::readArrival()
{
    m_reader->read(m_arrival->path, m_arrival->dive, [this, turn = m_arrivals](Result<SnapshotPtr> read) {
        QMetaObject::invokeMethod(this, [this, read = std::move(read), turn] {
            if (turn != m_arrivals)
                return;
            if (!read)
                return giveUpArrival(read.error());
            m_arrival->snapshot = *read;
            ++m_turn; // what is still being read of this one is not shown any more
            if (!m_path.isEmpty())
                emit leaving();
            arriveIfSaved();
        });
    });
}

void Desk::giveUpArrival(const Error &error)
{
    m_notices->say(openTopic, Notices::Weight::Problem, error.sentence);
    m_arrival.reset();
    if (isOpen())
        refresh(); // the reader turns back to this one, and what was ended for leaving begins again
}

void Desk::arriveIfSaved()
{
    if (!m_arrival || !m_arrival->snapshot)
        return;
    if (m_untilDone > 0) {
        if (m_tryingAgain > 0)
            m_notices->say(openTopic, Notices::Weight::Problem,
                           tr("%1 waits until what was caught for %2 is saved.")
                               .arg(QFileInfo(m_arrival->path).fileName(), QFileInfo(m_path).fileName()));
        return;
    }
    m_writer.change();
    m_notices->settle(openTopic);
    m_path = m_arrival->path;
    m_wantedDive = m_arrival->dive;
    const SnapshotPtr snapshot = std::exchange(m_arrival, std::nullopt)->snapshot;
    m_follow.start();
    show(snapshot);
    refresh(); // it may have waited for a while
}

void Desk::showDive(int number)
{
    m_wantedDive = number;
    refresh();
}

void Desk::nextDive(int step)
{
    if (!m_snapshot || m_snapshot->dives.empty())
        return;
    const auto &dives = m_snapshot->dives;
    const auto here =
        std::find_if(dives.begin(), dives.end(), [this](const DiveInfo &d) { return d.number == dive(); });
    const auto to = std::clamp<std::ptrdiff_t>((here - dives.begin()) + step, 0,
                                               static_cast<std::ptrdiff_t>(dives.size()) - 1);
    showDive(dives[static_cast<std::size_t>(to)].number);
}

int Desk::dive() const
{
    return m_snapshot && m_snapshot->dive ? m_snapshot->dive->number : 0;
}

QString Desk::diveName() const
{
    return dive() == 0 ? tr("no dive") : tr("dive %1").arg(dive(), 2, 10, QLatin1Char('0'));
}

void Desk::setPerson(const QString &person)
{
    const QString name = person.trimmed();
    if (name == m_person)
        return;
    if (auto good = checkPersonName(name); !good) {
        m_notices->say(QStringLiteral("person"), Notices::Weight::Care, good.error().sentence);
        return;
    }
    m_notices->settle(QStringLiteral("person"));
    const QString before = m_person;
    m_person = name;
    QSettings().setValue(personKey, name);
    emit personChanged();
    if (m_snapshot)
        handOver(before);
}

/// The log of the shown dive changes hands by name, as the last act of who hands it over.
void Desk::handOver(const QString &from)
{
    if (!m_snapshot->dive || m_snapshot->dive->closed || personWithTheLog() == m_person)
        return;
    const Act hands{from.isEmpty() ? m_person : from, act().now};
    write(tr("Handing the log over"), [hands, number = dive(), to = m_person](CruiseFile &file) {
        return changeWatch(file, hands, number, logRole(), to);
    });
}

QString Desk::personWithTheLog() const
{
    if (m_snapshot) {
        for (const WatchPost &post : m_snapshot->readiness.watch) {
            if (post.role == logRole())
                return post.person;
        }
    }
    return {};
}

QStringList Desk::people() const
{
    return m_snapshot ? m_snapshot->used.people.mid(0, 6) : QStringList();
}

Act Desk::act() const
{
    return {m_person, std::chrono::floor<Microseconds>(std::chrono::system_clock::now())};
}

bool Desk::refusesToWrite(const QString &doing, const CruiseWriter::Reply &reply)
{
    if (!m_readOnly)
        return false;
    const Error refused =
        fail(ErrorKind::Refused,
             tr("this window only reads; write in the one that was opened without --read-only"));
    m_notices->say(QStringLiteral("write"), Notices::Weight::Care, refused.whileDoing(doing).sentence);
    if (reply)
        reply(refused);
    return true;
}

void Desk::write(const QString &doing, CruiseWriter::Work work, CruiseWriter::Reply reply)
{
    if (refusesToWrite(doing, reply))
        return;
    m_writer.submit(onlyFor(m_path, std::move(work)), this,
                    [this, doing, reply = std::move(reply)](const Done &done) {
                        if (!done)
                            m_notices->say(QStringLiteral("write"), Notices::Weight::Problem,
                                           done.error().whileDoing(doing).sentence);
                        else
                            m_notices->settle(QStringLiteral("write"));
                        if (reply)
                            reply(done);
                        refresh();
                    });
}

void Desk::writeUntilDone(const QString &doing, CruiseWriter::Work work, CruiseWriter::Reply reply)
{
    if (refusesToWrite(doing, reply))
        return;
    ++m_untilDone;
    tryToWrite(doing, onlyFor(m_path, std::move(work)), reply, false);
}

void Desk::tryToWrite(const QString &doing, const CruiseWriter::Work &work, const CruiseWriter::Reply &reply,
                      bool again)
{
    m_writer.submit(work, this, [this, doing, work, reply, again](const Done &done) {
        if (!done && mayPass(done.error().kind)) {
            m_tryingAgain += again ? 0 : 1;
            m_notices->say(
                againTopic, Notices::Weight::Problem,
                tr("%1 It is kept in this window and tried again every second: leave the window open.")
                    .arg(done.error().whileDoing(doing).sentence));
            QTimer::singleShot(againMs, this,
                               [this, doing, work, reply] { tryToWrite(doing, work, reply, true); });
            arriveIfSaved();
            return;
        }
        --m_untilDone;
        m_tryingAgain -= again ? 1 : 0;
        if (m_tryingAgain == 0) {
            m_toldBeforeClosing = false;
            m_notices->settle(againTopic);
        }
        if (!done)
            m_notices->say(QStringLiteral("write"), Notices::Weight::Problem,
                           done.error().whileDoing(doing).sentence);
        if (reply)
            reply(done);
        arriveIfSaved();
        refresh();
    });
}

bool Desk::mayClose()
{
    if (m_tryingAgain == 0 || m_toldBeforeClosing)
        return true;
    m_toldBeforeClosing = true;
    m_notices->say(
        againTopic, Notices::Weight::Problem,
        tr("What was caught is not saved yet: it is lost if this window closes now. Close it again to close "
           "it all the same."));
    return false;
}

void Desk::refresh()
{
    if (m_arrival && m_arrival->snapshot)
        return; // the other one is about to be shown
    const quint64 turn = ++m_turn;
    m_reader->read(m_path, m_wantedDive, [this, turn](Result<SnapshotPtr> read) {
        QMetaObject::invokeMethod(this, [this, read = std::move(read), turn] { receive(read, turn); });
    });
}

void Desk::receive(const Result<SnapshotPtr> &read, quint64 turn)
{
    if (turn != m_turn)
        return; // a newer one is on its way
    if (!read) {
        m_notices->say(openTopic, Notices::Weight::Problem, read.error().sentence);
        return;
    }
    show(*read);
}

void Desk::show(const SnapshotPtr &snapshot)
{
    m_snapshot = snapshot;
    const QString other = personWithTheLog();
    const bool open = m_snapshot->dive && !m_snapshot->dive->closed;
    if (open && !other.isEmpty() && !m_person.isEmpty() && other != m_person)
        m_notices->say(watchTopic, Notices::Weight::Care,
                       tr("By the record %1 has the log of %2, not %3.").arg(other, diveName(), m_person),
                       tr("F9 person"));
    else
        m_notices->settle(watchTopic);
    emit refreshed();
}

} // namespace holdfast
