// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/database.h"

#include "store/private_copy.h"
#include "store/schema.h"
#include "support/temp_dir.h"

#include <QDir>
#include <QFileInfo>
#include <QtEndian>
#include <algorithm>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace holdfast;
using Access = Database::Access;

namespace
{

class DatabaseFile : public test::WithFolder
{
protected:
    QString made()
    {
        const QString p = path(QStringLiteral("cruise.hfc"));
        auto db = Database::create(p);
        EXPECT_TRUE(db) << (db ? "" : db.error().sentence.toStdString());
        return p;
    }
    static QString pragma(const Database &db, const QString &name)
    {
        auto row = query(db.connection(), QStringLiteral("PRAGMA ") + name);
        return row && row->next() ? row->text(0) : QStringLiteral("?");
    }
};

} // namespace

TEST_F(DatabaseFile, IsDurableByDefault)
{
    auto db = Database::open(made(), Access::ReadWrite);
    ASSERT_OK(db);
    EXPECT_EQ(pragma(*db, QStringLiteral("journal_mode")), QStringLiteral("wal"));
    EXPECT_EQ(pragma(*db, QStringLiteral("synchronous")), QStringLiteral("2"));
    EXPECT_EQ(pragma(*db, QStringLiteral("foreign_keys")), QStringLiteral("1"));
    EXPECT_EQ(pragma(*db, QStringLiteral("user_version")), QString::number(schemaVersion()));
}

// SQLite file format, "The database header": application id at byte 68, user version at byte 60, big-endian.
TEST_F(DatabaseFile, IsWholeInItselfAsSoonAsItIsMade)
{
    const QString p = path(QStringLiteral("cruise.hfc"));
    const auto db = Database::create(p); // stays open: nothing may wait in the log for its closing
    ASSERT_OK(db);
    EXPECT_EQ(QFileInfo(p + QStringLiteral("-wal")).size(), 0);
    const QByteArray header = bytesOf(p).left(100);
    ASSERT_EQ(header.size(), 100);
    EXPECT_TRUE(header.startsWith("SQLite format 3"));
    EXPECT_EQ(qFromBigEndian<quint32>(header.constData() + 68),
              pragma(*db, QStringLiteral("application_id")).toUInt());
    EXPECT_NE(qFromBigEndian<quint32>(header.constData() + 68), 0U);
    EXPECT_EQ(qFromBigEndian<quint32>(header.constData() + 60),
              pragma(*db, QStringLiteral("user_version")).toUInt());
    const QString copy = path(QStringLiteral("copy.hfc"));
    ASSERT_TRUE(QFile::copy(p, copy));
    ASSERT_OK(Database::open(copy, Access::ReadOnly));
}

TEST_F(DatabaseFile, IsNeverMadeOverAnotherFile)
{
    const QString p = path(QStringLiteral("there.hfc"));
    write(p, "precious");
    auto db = Database::create(p);
    ASSERT_FALSE(db);
    EXPECT_EQ(db.error().kind, ErrorKind::Duplicate);
    EXPECT_EQ(bytesOf(p), QByteArray("precious"));
    EXPECT_FALSE(Database::create(path(QStringLiteral("no/such/folder.hfc"))));
}

TEST_F(DatabaseFile, RefusesWhatIsNoCruiseFileAndLeavesItAlone)
{
    struct Case {
        const char *name;
        QByteArray bytes;
    };
    QByteArray foreign("SQLite format 3\0", 16);
    foreign.append(QByteArray(4080, '\0'));
    for (const Case &c : {Case{"empty", ""}, Case{"text", "id,time\n1,2\n"},
                          Case{"binary", QByteArray(5000, '\x81')}, Case{"foreign", foreign}}) {
        const QString p = path(QString::fromLatin1(c.name));
        write(p, c.bytes);
        for (const Access access : {Access::ReadWrite, Access::ReadOnly}) {
            auto db = Database::open(p, access);
            ASSERT_FALSE(db) << c.name;
            EXPECT_EQ(db.error().kind, ErrorKind::Malformed) << c.name;
            EXPECT_TRUE(db.error().sentence.contains(p)) << db.error().sentence.toStdString();
        }
        EXPECT_EQ(bytesOf(p), c.bytes) << c.name;
        EXPECT_FALSE(QFile::exists(p + QStringLiteral("-wal")));
    }
    EXPECT_EQ(Database::open(path(QStringLiteral("none")), Access::ReadOnly).error().kind,
              ErrorKind::NotFound);
    EXPECT_EQ(Database::open(path(QString()), Access::ReadOnly).error().kind, ErrorKind::Unreadable);
}

TEST_F(DatabaseFile, RefusesANewerFileUntouched)
{
    const QString p = made();
    {
        auto db = Database::open(p, Access::ReadWrite);
        ASSERT_OK(db);
        ASSERT_OK(
            execSql(db->connection(), QStringLiteral("PRAGMA user_version=%1").arg(schemaVersion() + 1)));
    }
    const QByteArray before = bytesOf(p);
    for (const Access access : {Access::ReadWrite, Access::ReadOnly}) {
        auto db = Database::open(p, access);
        ASSERT_FALSE(db);
        EXPECT_EQ(db.error().kind, ErrorKind::TooNew);
    }
    EXPECT_EQ(bytesOf(p), before);
}

TEST_F(DatabaseFile, RefusesToWriteAWriteProtectedFileButReadsIt)
{
    const QString p = made();
    ASSERT_TRUE(QFile::setPermissions(p, QFile::ReadOwner | QFile::ReadGroup));
    auto written = Database::open(p, Access::ReadWrite);
    ASSERT_FALSE(written);
    EXPECT_EQ(written.error().kind, ErrorKind::Unwritable);
    const QByteArray before = bytesOf(p);
    auto read = Database::open(p, Access::ReadOnly);
    ASSERT_OK(read);
    auto row = query(read->connection(), QStringLiteral("SELECT count(*) FROM ledger"));
    ASSERT_OK(row);
    EXPECT_EQ(bytesOf(p), before);
}

TEST_F(DatabaseFile, IsReadInAFolderThatTakesNoFiles)
{
    const QString p = made();
    const QString folder = QFileInfo(p).absolutePath();
    for (const char *tail : {"-wal", "-shm"})
        QFile::remove(p + QLatin1String(tail));
    const auto reading = QFile::ReadOwner | QFile::ExeOwner | QFile::ReadGroup | QFile::ExeGroup |
                         QFile::ReadOther | QFile::ExeOther;
    ASSERT_TRUE(QFile::setPermissions(folder, reading)); // read and enter, nobody writes
    // The account of the superuser may write everywhere, so another one looks.
    const pid_t child = fork();
    if (child == 0) {
        if (geteuid() == 0 && setuid(65534) != 0)
            _exit(3);
        if (QFileInfo(folder).isWritable())
            _exit(4);
        auto read = Database::open(p, Access::ReadOnly);
        const bool good = read && query(read->connection(), QStringLiteral("SELECT count(*) FROM ledger"));
        _exit(good ? 0 : 1);
    }
    int status = -1;
    ASSERT_EQ(waitpid(child, &status, 0), child);
    ASSERT_TRUE(QFile::setPermissions(folder, reading | QFile::WriteOwner));
    ASSERT_TRUE(WIFEXITED(status));
    EXPECT_EQ(WEXITSTATUS(status), 0);
}

TEST_F(DatabaseFile, APipeIsRefusedAndNotWaitedFor)
{
    const QString p = path(QStringLiteral("pipe.hfc"));
    ASSERT_EQ(mkfifo(QFile::encodeName(p).constData(), 0600), 0);
    const auto opened = Database::open(p, Access::ReadOnly);
    ASSERT_FALSE(opened);
    EXPECT_TRUE(opened.error().sentence.contains(QStringLiteral("a pipe")))
        << opened.error().sentence.toStdString();
}

TEST_F(DatabaseFile, SaysSoWhenAnotherProgramHoldsIt)
{
    const QString p = made();
    auto holder = Database::open(p, Access::ReadWrite);
    ASSERT_OK(holder);
    auto held = Transaction::begin(holder->connection());
    ASSERT_OK(held);
    auto db = Database::open(p, Access::ReadWrite);
    ASSERT_OK(db);
    ASSERT_OK(db->setBusyTimeout(50));
    auto blocked = Transaction::begin(db->connection());
    ASSERT_FALSE(blocked);
    EXPECT_EQ(blocked.error().kind, ErrorKind::Busy);
    EXPECT_TRUE(blocked.error().sentence.contains(QStringLiteral("cruise.hfc")));
}

TEST_F(DatabaseFile, ATransactionThatIsNotCommittedLeavesNothing)
{
    auto db = Database::open(made(), Access::ReadWrite);
    ASSERT_OK(db);
    {
        auto t = Transaction::begin(db->connection());
        ASSERT_OK(t);
        ASSERT_OK(execSql(db->connection(), QStringLiteral("INSERT INTO installation VALUES ('a','b')")));
    }
    auto row = query(db->connection(), QStringLiteral("SELECT count(*) FROM installation"));
    ASSERT_OK(row);
    ASSERT_TRUE(row->next());
    EXPECT_EQ(row->integer(0), 0);
}

TEST_F(DatabaseFile, AStepThatFailsLeavesTheVersionBefore)
{
    auto db = Database::open(made(), Access::ReadWrite);
    ASSERT_OK(db);
    const int now = schemaVersion();
    static constexpr const char *good[] = {"CREATE TABLE t1 (a INTEGER) STRICT"};
    static constexpr const char *bad[] = {"CREATE TABLE t2 (a INTEGER) STRICT",
                                          "CREATE TABLE t1 (a INTEGER) STRICT"};
    const SchemaStep steps[] = {{now + 1, "one that works", good}, {now + 2, "one that fails", bad}};
    const auto done = upgradeSchema(db->connection(), now, steps);
    ASSERT_FALSE(done);
    EXPECT_TRUE(done.error().sentence.contains(QStringLiteral("one that fails")));
    EXPECT_EQ(*userVersion(db->connection()), now + 1);
    EXPECT_TRUE(query(db->connection(), QStringLiteral("SELECT * FROM t1")));
    EXPECT_FALSE(query(db->connection(), QStringLiteral("SELECT * FROM t2")));
}

TEST_F(DatabaseFile, BringsAFileOfTheEarlierSchemaForwardAndKeepsEverything)
{
    const QString p = path(QStringLiteral("older.hfc"));
    const auto step = std::ranges::find_if(schemaSteps(), [](const SchemaStep &s) {
        return QString::fromUtf8(s.why).startsWith(QStringLiteral("ship and acoustic logs"));
    });
    ASSERT_NE(step, schemaSteps().end());
    {
        auto older = QSqlDatabase::addDatabase(QStringLiteral("QSQLITE"), QStringLiteral("older"));
        older.setDatabaseName(p);
        ASSERT_TRUE(older.open());
        ASSERT_OK(upgradeSchema(older, 0, schemaSteps().first(static_cast<std::size_t>(step->to - 1))));
        ASSERT_OK(execSql(
            older, QStringLiteral("INSERT INTO log_file (uuid, dive, kind, profile, profile_json, file_name, "
                                  "sha256, bytes, rows, first_us, last_us, columns, digest) VALUES ('u', 1, "
                                  "'position', 'p', '{}', 'a.csv', 'aa', 5, 1, 7, 7, 'v:latitude', 'd')")));
        ASSERT_OK(execSql(older, QStringLiteral("INSERT INTO installation VALUES ('station', 'van')")));
        older.close();
    }
    QSqlDatabase::removeDatabase(QStringLiteral("older"));
    {
        const QByteArray before = bytesOf(p);
        QString place;
        {
            const auto reading = Database::open(p, Access::ReadOnly);
            const auto other = Database::open(p, Access::ReadOnly);
            ASSERT_OK(reading);
            ASSERT_OK(other);
            EXPECT_EQ(reading->path(), p);
            EXPECT_EQ(PrivateCopy::schemaOfFile(reading->connection()), step->to - 1);
            place = reading->connection().databaseName();
            EXPECT_EQ(other->connection().databaseName(), place) << "one copy for all";
            EXPECT_EQ(*userVersion(reading->connection()), schemaVersion());
            auto role = query(reading->connection(), QStringLiteral("SELECT role FROM log_file"));
            ASSERT_OK(role);
            ASSERT_TRUE(role->next());
            EXPECT_EQ(role->text(0), QStringLiteral("vehicle"));
            EXPECT_FALSE(execSql(reading->connection(), QStringLiteral("DELETE FROM log_file")));
        }
        EXPECT_FALSE(QFile::exists(place)) << "the copy goes with its last reader";
        EXPECT_EQ(bytesOf(p), before);
        EXPECT_EQ(QDir(QFileInfo(p).path()).entryList(QDir::Files), QStringList{QFileInfo(p).fileName()});
    }
    auto db = Database::open(p, Access::ReadWrite);
    ASSERT_OK(db);
    EXPECT_EQ(*userVersion(db->connection()), schemaVersion());
    EXPECT_TRUE(QFile::exists(QStringLiteral("%1.before-schema-%2").arg(p).arg(step->to)));
    auto row = query(db->connection(), QStringLiteral("SELECT uuid, columns, role FROM log_file"));
    ASSERT_OK(row);
    ASSERT_TRUE(row->next());
    EXPECT_EQ(row->text(0), QStringLiteral("u"));
    EXPECT_EQ(row->text(1), QStringLiteral("v:latitude"));
    EXPECT_EQ(row->text(2), QStringLiteral("vehicle")) << "what a log was before there were ships' logs";
    auto kept = query(db->connection(), QStringLiteral("SELECT value FROM installation"));
    ASSERT_OK(kept);
    ASSERT_TRUE(kept->next());
    EXPECT_EQ(kept->text(0), QStringLiteral("van"));
    EXPECT_TRUE(query(db->connection(), QStringLiteral("SELECT * FROM sensor_correction")));
}

TEST_F(DatabaseFile, AFileFromBeforeLogsWerePutInPieceByPieceKeepsItsLogs)
{
    const QString p = path(QStringLiteral("nine.hfc"));
    {
        auto older = QSqlDatabase::addDatabase(QStringLiteral("QSQLITE"), QStringLiteral("nine"));
        older.setDatabaseName(p);
        ASSERT_TRUE(older.open());
        ASSERT_OK(upgradeSchema(older, 0, schemaSteps().first(9)));
        ASSERT_OK(execSql(
            older, QStringLiteral("INSERT INTO log_file (uuid, dive, kind, profile, profile_json, file_name, "
                                  "sha256, bytes, rows, first_us, last_us, columns, digest) VALUES ('u', 1, "
                                  "'position', 'p', '{}', 'a.csv', 'aa', 5, 1, 7, 7, 'v:latitude', 'd')")));
        older.close();
    }
    QSqlDatabase::removeDatabase(QStringLiteral("nine"));
    auto db = Database::open(p, Access::ReadWrite);
    ASSERT_OK(db);
    EXPECT_TRUE(QFile::exists(p + QStringLiteral(".before-schema-10")));
    auto row = query(db->connection(), QStringLiteral("SELECT count(*) FROM log_file WHERE id NOT IN (SELECT "
                                                      "file FROM log_in_making)"));
    ASSERT_OK(row);
    ASSERT_TRUE(row->next());
    EXPECT_EQ(row->integer(0), 1) << "it counts as before";
}

TEST_F(DatabaseFile, KeepsACompleteCopyBeforeAnUpgrade)
{
    const QString p = made();
    auto db = Database::open(p, Access::ReadWrite);
    ASSERT_OK(db);
    ASSERT_OK(execSql(db->connection(), QStringLiteral("INSERT INTO installation VALUES ('a','b')")));
    ASSERT_OK(keepCopyBeforeUpgrade(db->connection(), p, 1));
    ASSERT_OK(keepCopyBeforeUpgrade(db->connection(), p, 1));
    auto copy = Database::open(p + QStringLiteral(".before-schema-2"), Access::ReadOnly);
    ASSERT_OK(copy);
    auto row = query(copy->connection(), QStringLiteral("SELECT value FROM installation"));
    ASSERT_OK(row);
    ASSERT_TRUE(row->next());
    EXPECT_EQ(row->text(0), QStringLiteral("b"));
    EXPECT_TRUE(QFile::exists(p + QStringLiteral(".before-schema-2.2")));
}

namespace
{

/// A file of 400 rows over many pages; the page that holds the last row is made unreadable.
void damageLastRows(const QString &p)
{
    {
        auto db = Database::open(p, Access::ReadWrite);
        ASSERT_OK(db);
        ASSERT_OK(execSql(db->connection(),
                          QStringLiteral("CREATE TABLE rows (n INTEGER PRIMARY KEY, words TEXT)")));
        auto writing = Transaction::begin(db->connection());
        ASSERT_OK(writing);
        for (int n = 1; n <= 400; ++n)
            ASSERT_OK(execSql(db->connection(), QStringLiteral("INSERT INTO rows VALUES (?, ?)"),
                              {n, QStringLiteral("row %1 ").arg(n).repeated(20)}));
        ASSERT_OK(writing->commit());
        ASSERT_OK(execSql(db->connection(), QStringLiteral("PRAGMA wal_checkpoint(TRUNCATE)")));
    }
    QFile file(p);
    ASSERT_TRUE(file.open(QIODevice::ReadWrite));
    const qint64 at = file.readAll().indexOf("row 400 ");
    ASSERT_GT(at, 0);
    ASSERT_TRUE(file.seek(at / 4096 * 4096)); // the first byte of a page says what kind of page it is
    ASSERT_EQ(file.write("\xff", 1), 1);
}

int countRows(const Database &db)
{
    auto rows = query(db.connection(), QStringLiteral("SELECT words FROM rows ORDER BY n"));
    int n = 0;
    while (rows && rows->next())
        ++n;
    return n;
}

} // namespace

TEST_F(DatabaseFile, ARowThatCannotBeReadIsNotTheEndOfTheRows)
{
    const QString p = made();
    damageLastRows(p);
    auto db = Database::open(p, Access::ReadOnly);
    ASSERT_OK(db);
    EXPECT_TRUE(takeReadFault());
    EXPECT_LT(countRows(*db), 400);
    const Done whole = takeReadFault();
    ASSERT_FALSE(whole);
    EXPECT_EQ(whole.error().kind, ErrorKind::Malformed);
    EXPECT_TRUE(takeReadFault()) << "taken once";
}

TEST_F(DatabaseFile, NothingIsSavedThatWasDecidedOnHalfOfTheRows)
{
    const QString p = made();
    damageLastRows(p);
    auto db = Database::open(p, Access::ReadWrite);
    ASSERT_OK(db);
    {
        auto writing = Transaction::begin(db->connection());
        ASSERT_OK(writing);
        ASSERT_OK(
            execSql(db->connection(), QStringLiteral("INSERT INTO installation VALUES ('seen', 'all')")));
        EXPECT_LT(countRows(*db), 400);
        EXPECT_FALSE(writing->commit());
    }
    auto kept = query(db->connection(), QStringLiteral("SELECT count(*) FROM installation WHERE key='seen'"));
    ASSERT_TRUE(kept && kept->next());
    EXPECT_EQ(kept->integer(0), 0);
}
