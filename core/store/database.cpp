// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/database.h"

#include "base/regular_file.h"
#include "store/kept_statements.h"
#include "store/private_copy.h"
#include "store/schema.h"

#include <QDir>
#include <QFile>
#include <QFileInfo>
#include <QHash>
#include <QUrl>
#include <QUuid>
#include <functional>
#include <mutex>

namespace holdfast
{

namespace
{

bool noOneMayWrite(const QString &path)
{
    // The permission bits, not only access(): an administrator could write anything, but a file that was made
    // read-only on purpose stays as it is.
    const QFile::Permissions may = QFile::permissions(path);
    return !(may & (QFile::WriteOwner | QFile::WriteGroup | QFile::WriteOther)) ||
           !QFileInfo(path).isWritable();
}

Error tooNew(const QString &path, qint64 version)
{
    return fail(
        ErrorKind::TooNew,
        QStringLiteral("%1 was written by a later version of Holdfast (schema %2; this one knows up to %3). "
                       "Use that version; the file was not touched.")
            .arg(path)
            .arg(version)
            .arg(schemaVersion()));
}

Error readOnlyFile(const QString &path)
{
    return fail(ErrorKind::Unwritable,
                QStringLiteral("%1 is read-only. Allow writing to it, or work on a copy.").arg(path));
}

/// Which files this process has connections to. POSIX takes back all locks that a process holds on a file as
/// soon as it closes the file through any descriptor, SQLite's own locks too; another program that closes the
/// file would then think itself the last, and remove the write-ahead log under us: later commits would be
/// lost. So a file is read by hand only while this process has no connection to it.
class OpenFiles
{
public:
    /// Counts one more connection; `whenNone` is run first when there is none yet, and its error counts
    /// nothing. @return by what leave() knows the file.
    static Result<QString> enter(const QString &path, const std::function<Done()> &whenNone)
    {
        const std::lock_guard guard(mutex());
        const QString file = QFileInfo(path).canonicalFilePath();
        if (file.isEmpty() || counts().value(file) == 0) {
            if (auto done = whenNone(); !done)
                return done.error();
        }
        ++counts()[file];
        return file;
    }
    static void leave(const QString &file)
    {
        const std::lock_guard guard(mutex());
        if (--counts()[file] <= 0)
            counts().remove(file);
    }
    /// Which file a connection belongs to, until it is closed.
    static void name(const QString &connection, const QString &file)
    {
        const std::lock_guard guard(mutex());
        names().insert(connection, file);
    }
    static void leaveBy(const QString &connection)
    {
        QString file;
        {
            const std::lock_guard guard(mutex());
            if (!names().contains(connection))
                return;
            file = names().take(connection);
        }
        leave(file);
    }

private:
    static std::mutex &mutex()
    {
        static std::mutex m;
        return m;
    }
    static QHash<QString, int> &counts()
    {
        static QHash<QString, int> c;
        return c;
    }
    static QHash<QString, QString> &names()
    {
        static QHash<QString, QString> n;
        return n;
    }
};

/// What can be told without SQLite, so that a foreign file is never touched.
Done lookAtFile(const QString &path, Database::Access access)
{
    const QFileInfo info(path);
    if (!info.exists())
        return fail(ErrorKind::NotFound, QStringLiteral("There is no file %1.").arg(path));
    if (info.isDir())
        return fail(ErrorKind::Unreadable, QStringLiteral("%1 is a folder, not a cruise file.").arg(path));
    if (auto regular = wantRegularFile(path); !regular)
        return regular;
    QFile file(path);
    if (!file.open(QIODevice::ReadOnly))
        return fail(ErrorKind::Unreadable,
                    QStringLiteral("%1 can't be read: %2.").arg(path, file.errorString()));
    const QByteArray head = file.read(100);
    if (head.isEmpty())
        return fail(ErrorKind::Malformed, QStringLiteral("%1 is empty, not a cruise file.").arg(path));
    if (head.size() < 100 || !head.startsWith(QByteArray("SQLite format 3\0", 16)))
        return fail(ErrorKind::Malformed,
                    QStringLiteral("%1 is not a cruise file: it is no SQLite database.").arg(path));
    const auto number = [&head](int at) {
        quint32 v = 0;
        for (int i = 0; i < 4; ++i)
            v = v << 8 | static_cast<quint8>(head.at(at + i));
        return v;
    };
    // Header fields of the SQLite file format: user version at byte 60, application id at 68.
    if (number(68) != applicationId)
        return fail(ErrorKind::Malformed,
                    QStringLiteral("%1 is a database of another program, not a cruise file.").arg(path));
    if (number(60) > static_cast<quint32>(schemaVersion()))
        return tooNew(path, number(60));
    if (access == Database::Access::ReadWrite && noOneMayWrite(path))
        return readOnlyFile(path);
    return {};
}

} // namespace

Result<Database> Database::connect(const QString &path, Access access)
{
    const QString name = QStringLiteral("cruise-") + QUuid::createUuid().toString(QUuid::Id128);
    QSqlDatabase connection = QSqlDatabase::addDatabase(QStringLiteral("QSQLITE"), name);
    connection.setDatabaseName(path);
    QString options = QStringLiteral("QSQLITE_BUSY_TIMEOUT=5000");
    if (access == Access::ReadOnly) {
        options += QStringLiteral(";QSQLITE_OPEN_READONLY");
        const bool noSideFiles =
            noOneMayWrite(path) || !QFileInfo(QFileInfo(path).absolutePath()).isWritable();
        if (noSideFiles && !QFile::exists(path + QStringLiteral("-wal"))) {
            // A write-protected file, or one in a folder that takes no files, can't get the side files of WAL
            // mode; without them nobody is writing to it either.
            QUrl url = QUrl::fromLocalFile(QFileInfo(path).absoluteFilePath());
            url.setQuery(QStringLiteral("immutable=1"));
            connection.setDatabaseName(url.toString(QUrl::FullyEncoded));
            options += QStringLiteral(";QSQLITE_OPEN_URI");
        }
    }
    connection.setConnectOptions(options);
    if (!connection.open()) {
        const Error error = sqlError(connection.lastError(), path, QStringLiteral("opening"));
        connection = QSqlDatabase();
        QSqlDatabase::removeDatabase(name);
        return error;
    }
    keepStatements(name);
    return Database(std::move(connection), path, access);
}

Done Database::configure()
{
    if (auto done = execSql(m_connection, QStringLiteral("PRAGMA foreign_keys=ON")); !done)
        return done;
    if (m_access == Access::ReadOnly)
        return execSql(m_connection, QStringLiteral("PRAGMA query_only=ON"));
    if (auto done = execSql(m_connection, QStringLiteral("PRAGMA journal_mode=WAL")); !done)
        return done;
    return execSql(m_connection, QStringLiteral("PRAGMA synchronous=FULL"));
}

Result<Database> Database::create(const QString &path)
{
    if (path.isEmpty())
        return fail(ErrorKind::Usage, QStringLiteral("The new cruise file needs a name."));
    const QFileInfo info(path);
    if (info.exists() || info.isSymLink())
        return fail(
            ErrorKind::Duplicate,
            QStringLiteral("%1 exists already; choose another name or move it away first.").arg(path));
    if (!info.dir().exists())
        return fail(ErrorKind::NotFound,
                    QStringLiteral("The folder %1 is not there; make it first.").arg(info.dir().path()));
    // NewOnly: two programs that create the same file at once can't both win.
    QFile file(path);
    if (!file.open(QIODevice::NewOnly | QIODevice::WriteOnly))
        return fail(ErrorKind::Unwritable,
                    QStringLiteral("%1 can't be made: %2.").arg(path, file.errorString()));
    file.close();
    const auto entered = OpenFiles::enter(path, [] { return Done(); });
    if (!entered)
        return entered.error();
    auto db = connect(path, Access::ReadWrite);
    if (db)
        OpenFiles::name(db->connection().connectionName(), *entered);
    else
        OpenFiles::leave(*entered);
    const auto filled = [&db]() -> Done {
        if (!db)
            return db.error();
        if (auto done = db->configure(); !done)
            return done;
        if (auto done = upgradeSchema(db->connection(), 0); !done)
            return done;
        // What a file is stands in its header, which others read: it must not stay behind in the log.
        return execSql(db->connection(), QStringLiteral("PRAGMA wal_checkpoint(TRUNCATE)"));
    }();
    if (filled)
        return db;
    db = Result<Database>(filled.error());
    for (const char *tail : {"", "-wal", "-shm"})
        QFile::remove(path + QLatin1String(tail));
    return filled.error();
}

namespace
{

/// A file of an earlier schema that is only to be read: a copy is upgraded and read, the file stays as it is.
Result<Database> readThroughCopy(const Database &original, int version,
                                 const std::function<Result<Database>(const QString &)> &connectTo)
{
    auto copy = PrivateCopy::of(original.connection(), original.path(), version);
    if (!copy)
        return copy.error();
    auto db = connectTo((*copy)->path());
    if (db)
        PrivateCopy::hold(db->connection().connectionName(), std::move(*copy));
    return db;
}

} // namespace

Result<Database> Database::open(const QString &path, Access access)
{
    const auto file = OpenFiles::enter(path, [&] { return lookAtFile(path, access); });
    if (!file)
        return file.error();
    auto db = connect(path, access);
    if (!db) {
        OpenFiles::leave(*file);
        return db;
    }
    OpenFiles::name(db->connection().connectionName(), *file);
    if (access == Access::ReadWrite && noOneMayWrite(path))
        return readOnlyFile(path);
    auto version = userVersion(db->connection());
    if (!version)
        return version.error();
    // The header may be older than a schema step that still sits in the write-ahead log.
    if (*version > schemaVersion())
        return tooNew(path, *version);
    if (*version < schemaVersion()) {
        if (access == Access::ReadOnly)
            return readThroughCopy(*db, *version, [&path](const QString &copy) -> Result<Database> {
                auto reading = connect(copy, Access::ReadOnly);
                if (!reading)
                    return reading;
                reading->m_path = path; // what people know it by
                if (auto done = reading->configure(); !done)
                    return done.error();
                return reading;
            });
        if (auto kept = keepCopyBeforeUpgrade(db->connection(), path, *version); !kept)
            return kept.error();
    }
    if (auto done = db->configure(); !done)
        return done.error();
    if (*version < schemaVersion()) {
        if (auto done = upgradeSchema(db->connection(), *version); !done)
            return done.error();
    }
    return db;
}

Result<Database> Database::inMemory()
{
    auto db = connect(QStringLiteral(":memory:"), Access::ReadWrite);
    if (!db)
        return db;
    if (auto done = execSql(db->connection(), QStringLiteral("PRAGMA foreign_keys=ON")); !done)
        return done.error();
    if (auto done = upgradeSchema(db->connection(), 0); !done)
        return done.error();
    return db;
}

Done Database::setBusyTimeout(int milliseconds)
{
    return execSql(m_connection, QStringLiteral("PRAGMA busy_timeout=%1").arg(milliseconds));
}

Database::Database(Database &&other) noexcept
    : m_connection(std::exchange(other.m_connection, QSqlDatabase())), m_path(std::move(other.m_path)),
      m_access(other.m_access)
{
}

Database &Database::operator=(Database &&other) noexcept
{
    if (this != &other) {
        close();
        m_connection = std::exchange(other.m_connection, QSqlDatabase());
        m_path = std::move(other.m_path);
        m_access = other.m_access;
    }
    return *this;
}

void Database::close()
{
    if (!m_connection.isValid())
        return;
    const QString name = m_connection.connectionName();
    dropStatements(name);
    m_connection.close();
    m_connection = QSqlDatabase();
    QSqlDatabase::removeDatabase(name);
    OpenFiles::leaveBy(name);
    PrivateCopy::release(name);
}

Database::~Database()
{
    close();
}

} // namespace holdfast
