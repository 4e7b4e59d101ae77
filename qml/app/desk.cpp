// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk.h"

#include <QFileInfo>
#include <QSettings>
#include <algorithm>

namespace holdfast
{

namespace
{
const QString openTopic = QStringLiteral("open");
const QString personKey = QStringLiteral("person");
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
            give(readSnapshot(*m_file, dive));
        });
    }

private:
    QThread m_thread;
    QObject m_onThread;
    std::unique_ptr<CruiseFile> m_file; ///< touched on the thread only
};

Desk::Desk(Notices &notices, QObject *parent)
    : QObject(parent), m_notices(&notices), m_reader(std::make_unique<Reader>()),
      m_person(QSettings().value(personKey).toString())
{
}

Desk::~Desk() = default;

void Desk::openFile(const QString &path, int dive)
{
    // The writer goes first: it upgrades a file of an earlier schema.
    m_writer.open(path, this, [this, path, dive](const Done &opened) {
        if (!opened) {
            m_notices->say(openTopic, Notices::Weight::Problem, opened.error().sentence);
            return;
        }
        m_notices->settle(openTopic);
        m_path = path;
        m_wantedDive = dive;
        refresh();
    });
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
    m_person = name;
    QSettings().setValue(personKey, name);
    emit personChanged();
}

QStringList Desk::people() const
{
    return m_snapshot ? m_snapshot->used.people.mid(0, 6) : QStringList();
}

Act Desk::act() const
{
    return {m_person, std::chrono::floor<Microseconds>(std::chrono::system_clock::now())};
}

void Desk::write(const QString &doing, CruiseWriter::Work work, CruiseWriter::Reply reply)
{
    m_writer.submit(std::move(work), this, [this, doing, reply = std::move(reply)](const Done &done) {
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

void Desk::refresh()
{
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
    m_snapshot = *read;
    emit refreshed();
}

} // namespace holdfast
