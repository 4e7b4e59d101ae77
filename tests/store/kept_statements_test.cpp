// SPDX-License-Identifier: GPL-3.0-or-later
// Compiled statements that wait for their next use: what was true of a fresh one stays true.
#include "store/kept_statements.h"

#include "store/database.h"
#include "support/temp_dir.h"

using namespace holdfast;

namespace
{

const QString insertSql = QStringLiteral("INSERT INTO note (n, word) VALUES (?, ?)");
const QString selectSql = QStringLiteral("SELECT n, word FROM note WHERE n >= ? ORDER BY n");

class KeptStatements : public test::WithFolder
{
protected:
    void SetUp() override
    {
        auto made = Database::create(path(QStringLiteral("kept.hfc")));
        ASSERT_OK(made);
        m_db = std::make_unique<Database>(std::move(*made));
        ASSERT_OK(
            execSql(db(), QStringLiteral("CREATE TABLE note (n INTEGER PRIMARY KEY, word TEXT) STRICT")));
        for (int n = 1; n <= 3; ++n)
            ASSERT_OK(execSql(db(), insertSql, {n, QStringLiteral("word %1").arg(n)}));
    }
    [[nodiscard]] const QSqlDatabase &db() const { return m_db->connection(); }
    [[nodiscard]] bool waits(const QString &sql) const
    {
        auto kept = takeStatement(db().connectionName(), sql);
        const bool there = kept.has_value();
        if (there)
            giveStatement(db().connectionName(), sql, std::move(*kept));
        return there;
    }
    QStringList words(int from)
    {
        QStringList all;
        auto rows = query(db(), selectSql, {from});
        EXPECT_TRUE(rows);
        while (rows && rows->next())
            all << rows->text(1);
        return all;
    }
    std::unique_ptr<Database> m_db;
};

} // namespace

TEST_F(KeptStatements, GiveTheNewValuesNotTheOldOnes)
{
    EXPECT_EQ(words(2), (QStringList{QStringLiteral("word 2"), QStringLiteral("word 3")}));
    ASSERT_TRUE(waits(selectSql));
    EXPECT_EQ(words(3), QStringList{QStringLiteral("word 3")});
    EXPECT_EQ(words(4), QStringList());
}

TEST_F(KeptStatements, AreNotSharedBetweenTwoThatAreReadAtOnce)
{
    auto outer = query(db(), selectSql, {1});
    ASSERT_OK(outer);
    ASSERT_TRUE(outer->next());
    EXPECT_FALSE(waits(selectSql));
    EXPECT_EQ(words(1).size(), 3);
    ASSERT_TRUE(outer->next());
    EXPECT_EQ(outer->text(1), QStringLiteral("word 2"));
}

TEST_F(KeptStatements, HoldNoReadLockWhileTheyWait)
{
    {
        auto unfinished = query(db(), selectSql, {1});
        ASSERT_OK(unfinished);
        ASSERT_TRUE(unfinished->next());
    }
    ASSERT_TRUE(waits(selectSql));
    // A table can't be dropped while a statement that reads it is running.
    EXPECT_TRUE(execSql(db(), QStringLiteral("DROP TABLE note")));
}

TEST_F(KeptStatements, SeeTheColumnsThatATableHasNow)
{
    const QString all = QStringLiteral("SELECT * FROM note WHERE n=?");
    {
        auto row = query(db(), all, {1});
        ASSERT_TRUE(row && row->next());
    }
    ASSERT_TRUE(waits(all));
    ASSERT_OK(execSql(db(), QStringLiteral("ALTER TABLE note ADD COLUMN more TEXT NOT NULL DEFAULT 'new'")));
    auto row = query(db(), all, {1});
    ASSERT_TRUE(row && row->next());
    EXPECT_EQ(row->text(2), QStringLiteral("new"));
}

TEST_F(KeptStatements, WorkAgainAfterTheyHaveFailed)
{
    ASSERT_FALSE(execSql(db(), insertSql, {1, QStringLiteral("there already")}));
    ASSERT_TRUE(waits(insertSql));
    ASSERT_OK(execSql(db(), insertSql, {4, QStringLiteral("word 4")}));
    EXPECT_EQ(words(4), QStringList{QStringLiteral("word 4")});
}

TEST_F(KeptStatements, TellThatAValueIsMissing)
{
    EXPECT_FALSE(execSql(db(), insertSql, {9}));
    EXPECT_EQ(words(9), QStringList());
}

TEST_F(KeptStatements, LetGoOfLargeValues)
{
    const QString large(5000, QLatin1Char('x'));
    ASSERT_OK(execSql(db(), QStringLiteral("INSERT INTO note VALUES (?, ?)"), {7, large}));
    EXPECT_FALSE(waits(QStringLiteral("INSERT INTO note VALUES (?, ?)")));
}

TEST_F(KeptStatements, EndWithTheirConnection)
{
    const QString name = db().connectionName();
    ASSERT_TRUE(waits(insertSql));
    m_db.reset();
    EXPECT_FALSE(takeStatement(name, insertSql));
    EXPECT_FALSE(QSqlDatabase::contains(name));
}
