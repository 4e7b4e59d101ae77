// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/two_threads.h"

#include "dive/cruise_file.h"

#include <QFileInfo>
#include <atomic>
#include <mutex>
#include <thread>

namespace holdfast
{

namespace
{

/// Whoever writes meanwhile is quiet for long between two entries: a second look is nearly always enough.
constexpr int tries = 5;

/// A connection of this thread that sees what another sees; nothing when others write too fast.
Result<std::optional<Database>> sameView(const QString &path, const QString &head)
{
    for (int i = 0; i < tries; ++i) {
        auto db = Database::open(path, Database::Access::ReadOnly);
        if (!db)
            return db.error();
        if (auto begun = execSql(db->connection(), QStringLiteral("BEGIN")); !begun)
            return begun.error();
        const auto now = ledgerHead(*db);
        if (!now)
            return now.error();
        if (*now == head)
            return std::optional(std::move(*db));
    }
    return std::optional<Database>();
}

/// Hands out the numbers and keeps the first error.
class Share
{
public:
    Share(std::size_t count, const std::function<Done(const Database &, std::size_t)> &work,
          const JobControl &job)
        : m_count(count), m_work(work), m_job(job)
    {
    }

    void take(const Database &db, const std::function<void(std::size_t)> &before)
    {
        for (;;) {
            const std::size_t i = m_next++;
            if (i >= m_count || m_failed)
                return;
            if (before)
                before(i);
            if (auto on = m_job.goOn(); !on)
                return keep(on.error());
            if (auto done = m_work(db, i); !done)
                return keep(done.error());
        }
    }
    void keep(const Error &error)
    {
        const std::scoped_lock lock(m_mutex);
        if (!m_failed)
            m_error = error;
        m_failed = true;
    }
    [[nodiscard]] Done result() const { return m_failed ? Done(m_error) : Done(); }

private:
    std::size_t m_count;
    const std::function<Done(const Database &, std::size_t)> &m_work;
    const JobControl &m_job;
    std::atomic<std::size_t> m_next = 0;
    std::atomic<bool> m_failed = false;
    std::mutex m_mutex;
    Error m_error;
};

} // namespace

Done onTwoThreads(const Database &db, std::size_t count,
                  const std::function<Done(const Database &, std::size_t)> &work, const JobControl &job,
                  const std::function<void(std::size_t)> &before)
{
    Share share(count, work, job);
    std::thread other;
    if (count > 1 && QFileInfo::exists(db.path())) {
        const auto head = ledgerHead(db);
        if (!head)
            return head.error();
        other = std::thread([&share, head = *head, path = db.path()] {
            const auto view = sameView(path, head);
            if (!view)
                share.keep(view.error());
            else if (*view)
                share.take(**view, {});
            if (auto read = takeReadFault(); !read)
                share.keep(read.error());
        });
    }
    share.take(db, before);
    if (other.joinable())
        other.join();
    return share.result();
}

} // namespace holdfast
