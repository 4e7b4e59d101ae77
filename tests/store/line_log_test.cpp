// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/line_log.h"

#include "store/database.h"
#include "store/schema.h"
#include "support/temp_dir.h"

using namespace holdfast;

namespace
{

class LineLogFile : public test::WithFolder
{
protected:
    /// A cruise file as the version before live feeds made it, with a row of what people and sensors said.
    QString madeBySchema2()
    {
        const QString file = path(QStringLiteral("old.hfc"));
        {
            auto db = QSqlDatabase::addDatabase(QStringLiteral("QSQLITE"), QStringLiteral("old"));
            db.setDatabaseName(file);
            EXPECT_TRUE(db.open());
            EXPECT_TRUE(execSql(db, QStringLiteral("PRAGMA journal_mode=WAL")));
            EXPECT_TRUE(upgradeSchema(db, 0, schemaSteps().first(2)));
            EXPECT_TRUE(execSql(db, QStringLiteral("INSERT INTO installation VALUES ('station', 'van')")));
            EXPECT_TRUE(
                execSql(db, QStringLiteral("INSERT INTO log_file (uuid, dive, kind, profile, profile_json, "
                                           "file_name, sha256, bytes, rows, first_us, last_us, columns, "
                                           "digest) VALUES ('u', 1, 'ctd', 'p', '{}', 'ctd.csv', 'aa', 1, "
                                           "1, 1, 1, '', '')")));
            db.close();
        }
        QSqlDatabase::removeDatabase(QStringLiteral("old"));
        return file;
    }
};

TEST_F(LineLogFile, AFileOfTheEarlierSchemaIsUpgradedWithACopyAndKeepsEverything)
{
    const QString file = madeBySchema2();
    auto db = Database::open(file, Database::Access::ReadWrite);
    ASSERT_OK(db);
    EXPECT_EQ(userVersion(db->connection()).value_or(0), schemaVersion());
    EXPECT_TRUE(QFile::exists(file + QStringLiteral(".before-schema-3")));
    auto row = query(db->connection(), QStringLiteral("SELECT file_name FROM log_file"));
    ASSERT_OK(row);
    ASSERT_TRUE(row->next());
    EXPECT_EQ(row->text(0), QStringLiteral("ctd.csv"));
    const auto recordings = LineLog(db->connection()).allRecordings();
    ASSERT_OK(recordings);
    EXPECT_TRUE(recordings->empty());
}

TEST_F(LineLogFile, VerifyNamesTheBlockThatDoesNotHold)
{
    auto db = Database::create(path(QStringLiteral("new.hfc")));
    ASSERT_OK(db);
    LineLog log(db->connection());
    const Recording r{QStringLiteral("r"),
                      1,
                      QStringLiteral("van"),
                      QStringLiteral("CTD"),
                      QStringLiteral("udp://0.0.0.0:1"),
                      QStringLiteral("ctd-csv"),
                      "{}",
                      utcFromMicroseconds(1)};
    for (int i = 0; i < 5; ++i) {
        ReceivedLines lines;
        lines.add(i, "line " + QByteArray::number(i));
        const auto packed = packLines(lines, ',');
        ASSERT_OK(packed);
        ASSERT_OK(log.append(r, *packed));
    }
    ASSERT_OK(log.verify(r.uuid));
    const auto sums = log.sums(r.uuid);
    ASSERT_OK(sums);
    EXPECT_EQ(sums->lines, 5);
    EXPECT_EQ(sums->blocks, 5);
    ASSERT_OK(execSql(db->connection(), QStringLiteral("DELETE FROM log_received WHERE seq=3")));
    const auto bad = log.verify(r.uuid);
    ASSERT_FALSE(bad);
    EXPECT_EQ(bad.error().kind, ErrorKind::Tampered);
    EXPECT_TRUE(bad.error().sentence.contains(QStringLiteral("block 3")))
        << bad.error().sentence.toStdString();
}

} // namespace
