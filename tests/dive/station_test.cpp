// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/ids.h"
#include "dive/verbs.h"
#include "ledger/signature.h"
#include "ledger/verify.h"
#include "support/a_cruise.h"
#include "support/old_schema.h"

#include <QDir>

using namespace holdfast;

namespace
{

class Station : public test::WithCruise
{
protected:
    LedgerProof proof()
    {
        auto found = verifyLedger(file().db());
        EXPECT_TRUE(found);
        return found ? *found : LedgerProof{};
    }
    void reopen()
    {
        m_file.reset();
        auto opened = CruiseFile::open(m_path, Database::Access::ReadWrite, rules());
        ASSERT_OK(opened);
        m_file.emplace(std::move(*opened));
    }
    QString keyOf() { return proof().stations.front().publicKey; }
};

/// Points the program to another folder of keys, as on another computer.
class OtherComputer
{
public:
    explicit OtherComputer(const QString &folder) : m_was(qgetenv("HOLDFAST_KEYS"))
    {
        qputenv("HOLDFAST_KEYS", folder.toUtf8());
    }
    ~OtherComputer() { qputenv("HOLDFAST_KEYS", m_was); }
    OtherComputer(const OtherComputer &) = delete;
    OtherComputer &operator=(const OtherComputer &) = delete;

private:
    QByteArray m_was;
};

int keysIn(const QString &folder)
{
    return static_cast<int>(QDir(folder).entryList(QDir::Dirs | QDir::NoDotAndDotDot).size());
}

} // namespace

TEST_F(Station, SignsEveryTransactionUpToItsLastEntry)
{
    for (const char *slot : {"B1", "B2", "B3"}) {
        ASSERT_OK(sample(QString::fromLatin1(slot), QStringLiteral("octocoral")));
        EXPECT_TRUE(proof().holds());
        const auto signatures = headSignatures(file().db());
        ASSERT_OK(signatures);
        ASSERT_EQ(signatures->size(), 1u);
        EXPECT_EQ((*signatures)[0].seq, entries());
    }
    reopen();
    ASSERT_OK(sample(QStringLiteral("R1"), QStringLiteral("rock")));
    EXPECT_TRUE(proof().holds());
    expectTablesFitTheLedger();
}

TEST_F(Station, KeepsItsPrivateKeyOutsideTheFileForItsOwnerOnly)
{
    const QString key = stationFolder(keyOf()) + QStringLiteral("/key");
    EXPECT_EQ(QFile::permissions(key) &
                  (QFile::ReadGroup | QFile::WriteGroup | QFile::ReadOther | QFile::WriteOther),
              QFile::Permissions());
    const QByteArray secret = bytesOf(key).trimmed();
    ASSERT_EQ(secret.size(), 64);
    m_file.reset();
    EXPECT_FALSE(bytesOf(m_path).contains(secret));
    EXPECT_FALSE(bytesOf(m_path).contains(QByteArray::fromHex(secret)));
    reopen();
    QFile::setPermissions(key, QFile::permissions(key) | QFile::ReadOther);
    const auto refused = sample(QStringLiteral("B1"), QStringLiteral("octocoral"));
    ASSERT_FALSE(refused);
    EXPECT_TRUE(refused.error().sentence.contains(QStringLiteral("chmod 600")));
    QFile::setPermissions(key, QFile::ReadOwner | QFile::WriteOwner);
    EXPECT_TRUE(sample(QStringLiteral("B1"), QStringLiteral("octocoral")));
}

TEST_F(Station, CopyOnAnotherComputerReadsButDoesNotWriteAsTheSameStation)
{
    m_file.reset();
    const OtherComputer there(path(QStringLiteral("elsewhere")));
    reopen();
    EXPECT_TRUE(proof().holds());
    const qint64 before = entries();
    const auto refused = sample(QStringLiteral("B1"), QStringLiteral("octocoral"));
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().kind, ErrorKind::Refused);
    EXPECT_TRUE(refused.error().sentence.contains(QStringLiteral("station of its own")));
    EXPECT_EQ(entries(), before);
}

TEST_F(Station, KeyMadeForACruiseThatCouldNotBeMadeDoesNotStay)
{
    const OtherComputer there(path(QStringLiteral("elsewhere")));
    VerbRules none;
    const auto made = CruiseFile::create(path(QStringLiteral("other.hfc")), QStringLiteral("TK27"),
                                         QStringLiteral("van"), act(), none);
    ASSERT_FALSE(made);
    EXPECT_EQ(keysIn(path(QStringLiteral("elsewhere"))), 0);
    EXPECT_FALSE(QFile::exists(path(QStringLiteral("other.hfc"))));
}

TEST_F(Station, FileFromBeforeKeysIsUpgradedKeepsAllAndSignsFromItsNextEntryOn)
{
    // A file as schema 2 had it: a chain that never told a key, no table of signatures.
    const QString old = path(QStringLiteral("old.hfc"));
    {
        auto db = Database::create(old);
        ASSERT_OK(db);
        auto t = Transaction::begin(db->connection());
        ASSERT_OK(t);
        ASSERT_OK(
            execSql(db->connection(), QStringLiteral("INSERT INTO installation VALUES ('station', 'van')")));
        const Act mara = act();
        const auto entry = [&](const QString &verb, const QJsonObject &body) {
            const auto written = appendEntry(*db, QStringLiteral("van"), {mara.person, mara.now, verb, body});
            ASSERT_OK(written);
            ASSERT_OK(project(*db, *written, rules()));
        };
        entry(verb::cruiseOpened, {{QStringLiteral("code"), QStringLiteral("TK26")},
                                   {QStringLiteral("uuid"), QStringLiteral("c")},
                                   {QStringLiteral("title"), QString()},
                                   {QStringLiteral("idPattern"), IdPattern::standard().text()}});
        entry(verb::stationJoined, {{QStringLiteral("name"), QStringLiteral("van")}});
        test::dropTablesOfStepsAfter(db->connection(), 3);
        for (const char *sql : {"DROP TABLE ledger_signature", "DROP TABLE held_back",
                                "ALTER TABLE station DROP COLUMN public_key",
                                "ALTER TABLE station DROP COLUMN numbers_from", "PRAGMA user_version=2"})
            ASSERT_OK(execSql(db->connection(), QString::fromLatin1(sql)));
        ASSERT_OK(t->commit());
    }
    m_path = old;
    reopen();
    EXPECT_TRUE(QFile::exists(old + QStringLiteral(".before-schema-3")));
    EXPECT_EQ(entries(), 2) << "reading writes nothing";
    EXPECT_TRUE(proof().holds());
    EXPECT_TRUE(proof().stations[0].publicKey.isEmpty());
    expectTablesFitTheLedger();
    const auto loadout = readTemplate(QStringLiteral("loadouts"), QStringLiteral("demo"));
    ASSERT_OK(loadout);
    ASSERT_OK(planDive(file(), act(), 1, QStringLiteral("Vehicle"), *loadout));
    EXPECT_EQ(entries(), 4);
    EXPECT_TRUE(proof().holds());
    EXPECT_EQ(proof().stations[0].signedFrom, 3);
    expectTablesFitTheLedger();
    reopen();
    ASSERT_OK(sample(QStringLiteral("B1"), QStringLiteral("octocoral")));
    EXPECT_EQ(proof().stations[0].signedFrom, 3) << "one key, announced once";
}

TEST_F(Station, KeyOfAFirstEntryThatFailedIsForgotten)
{
    // As above, but the first thing written is refused by the tables.
    ASSERT_OK(execSql(file().db().connection(), QStringLiteral("UPDATE station SET public_key=''")));
    reopen();
    const OtherComputer there(path(QStringLiteral("elsewhere")));
    const auto failed = file().write([&]() -> Done {
        const auto entry = file().record(act(), QStringLiteral("no such verb"), {});
        return entry ? Done() : Done(entry.error());
    });
    ASSERT_FALSE(failed);
    EXPECT_EQ(keysIn(path(QStringLiteral("elsewhere"))), 0);
    ASSERT_OK(sample(QStringLiteral("B1"), QStringLiteral("octocoral")));
    EXPECT_EQ(keysIn(path(QStringLiteral("elsewhere"))), 1);
}

TEST_F(Station, ASecondProgramsNewKeyIsSignedWithFromTheNextTransactionOn)
{
    ASSERT_OK(sample(QStringLiteral("B1"), QStringLiteral("octocoral")));
    const QString earlier = keyOf();
    {
        auto other = CruiseFile::open(m_path, Database::Access::ReadWrite, rules());
        ASSERT_OK(other);
        ASSERT_OK(other->renewKey(act(), QStringLiteral("the old one was on a computer that is lost")));
    }
    ASSERT_OK(sample(QStringLiteral("B2"), QStringLiteral("octocoral")));
    EXPECT_NE(keyOf(), earlier);
    EXPECT_TRUE(proof().holds());
    expectTablesFitTheLedger();
}
