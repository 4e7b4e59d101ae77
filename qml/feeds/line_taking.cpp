// SPDX-License-Identifier: GPL-3.0-or-later
#include "line_taking.h"

#include "dive/line_recording.h"
#include "store/sql.h"

#include <QSemaphore>

namespace holdfast
{

namespace
{

/// One piece of work on the writer's thread that another thread waits for; also when it is dropped undone.
struct Turn {
    QSemaphore over;
    Done result = fail(ErrorKind::Cancelled, QStringLiteral("the file was closed before"));
};
class Ends
{
public:
    explicit Ends(std::shared_ptr<Turn> turn) : m_turn(std::move(turn)) {}
    Ends(const Ends &) = delete;
    Ends &operator=(const Ends &) = delete;
    ~Ends() { m_turn->over.release(); }
    void set(const Done &done) { m_turn->result = done; }

private:
    std::shared_ptr<Turn> m_turn;
};

} // namespace

/// What runs on the thread.
struct LineTaking::Job {
    Desk *desk;
    QString path;
    int dive;
    Act act;
    std::stop_token stop;
    std::function<void(const QString &)> say;

    /// The writer's thread does `work` on the file that this is about.
    Done turn(const std::function<Done(CruiseFile &)> &work) const
    {
        const auto turn = std::make_shared<Turn>();
        desk->writeQuietly([ends = std::make_shared<Ends>(turn), &work, path = path](CruiseFile &file) {
            const Done done =
                file.db().path() == path
                    ? work(file)
                    : Done(fail(ErrorKind::Cancelled, QStringLiteral("another cruise file was opened")));
            ends->set(done);
            return done;
        });
        turn->over.acquire();
        return turn->result;
    }

    QString takeIn(const Database &db, const QString &feed) const
    {
        IntakeOptions options;
        options.stop = stop;
        options.progress = [&](std::int64_t done, std::int64_t total) {
            say(tr("%1 %2 %").arg(feed).arg(total > 0 ? 100 * done / total : 100));
        };
        say(feed);
        const auto log = takeInLinesInTurns(
            db, [this](const auto &work) { return turn(work); }, act, dive, feed, options);
        if (!log)
            return tr("%1: %2").arg(feed, log.error().sentence);
        return tr("%1: %2 records, %3 bad lines")
            .arg(feed)
            .arg(log->report.accepted)
            .arg(log->report.rejected);
    }

    QStringList run() const
    {
        const auto db = Database::open(path, Database::Access::ReadWrite);
        if (!db)
            return {db.error().sentence};
        const auto recordings = LineLog(db->connection()).recordings(dive);
        if (!recordings)
            return {recordings.error().sentence};
        QStringList feeds, told;
        for (const Recording &r : *recordings)
            feeds << r.feed;
        feeds.removeDuplicates();
        for (const QString &feed : std::as_const(feeds)) {
            if (stop.stop_requested())
                break;
            told << takeIn(*db, feed);
        }
        if (const Done whole = takeReadFault(); !whole)
            told << whole.error().sentence;
        return told;
    }
};

LineTaking::~LineTaking()
{
    stop();
    if (m_thread) {
        m_thread->wait();
        delete m_thread;
    }
}

void LineTaking::setProgress(const QString &text)
{
    if (text == m_progress)
        return;
    m_progress = text;
    emit progressed();
}

void LineTaking::start(int dive)
{
    if (running())
        return;
    m_stop = {};
    const Job job{
        m_desk, m_desk->path(), dive, m_desk->act(), m_stop.get_token(), [this](const QString &text) {
            QMetaObject::invokeMethod(this, [this, text] { setProgress(text); });
        }};
    m_thread = QThread::create([this, job] {
        const QStringList told = job.run();
        QMetaObject::invokeMethod(this, [this, told] {
            m_thread->wait();
            delete std::exchange(m_thread, nullptr);
            setProgress({});
            emit progressed();
            emit ended(told);
        });
    });
    m_thread->setObjectName(QStringLiteral("taking in"));
    m_thread->start(QThread::IdlePriority); // it has time; feeds and stamps have not
}

} // namespace holdfast
