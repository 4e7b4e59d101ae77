// SPDX-License-Identifier: GPL-3.0-or-later
#include "ledger/signature.h"

#include "ledger/canonical.h"
#include "ledger/ledger_store.h"
#include "ledger/stored_entry.h"
#include "ledger/verify.h"
#include "support/temp_dir.h"

using namespace holdfast;

namespace
{

const QString van = QStringLiteral("van");

/// A short ledger whose station announced a key with its second entry and signed its head.
class Signed : public test::WithFolder
{
protected:
    void SetUp() override
    {
        WithFolder::SetUp();
        auto made = Database::create(path(QStringLiteral("cruise.hfc")));
        ASSERT_OK(made);
        db.emplace(std::move(*made));
        auto newKey = StationKey::make();
        ASSERT_OK(newKey);
        key.emplace(std::move(*newKey));
        auto t = Transaction::begin(db->connection());
        ASSERT_OK(t);
        append(QStringLiteral("cruise opened"), {{QStringLiteral("code"), QStringLiteral("TK26")}});
        append(stationJoinedVerb, {{publicKeyName, key->publicKey()}});
        append(QStringLiteral("note written"),
               {{QStringLiteral("text"), QStringLiteral("\"Fjärd\"\\\n\t40 \u03bcm \U0001F41A")}});
        append(QStringLiteral("note written"), {{QStringLiteral("n"), -7}});
        ASSERT_OK(signHead(*db, van, *key));
        ASSERT_OK(t->commit());
    }
    void append(const QString &verb, const QJsonObject &body)
    {
        const auto entry = appendEntry(
            *db, van, {QStringLiteral("Ana \"A\""), utcFromMicroseconds(1'773'325'327'300'123), verb, body});
        ASSERT_OK(entry);
        entries.push_back(*entry);
    }
    std::vector<ChainFault> faults() const
    {
        const auto proof = verifyLedger(*db);
        if (!proof)
            return {{van, 0, proof.error().sentence}};
        return proof->faults;
    }
    void sql(const QString &statement, std::initializer_list<QVariant> values = {})
    {
        ASSERT_OK(execSql(db->connection(), statement, values));
    }

    std::optional<Database> db;
    std::optional<StationKey> key;
    std::vector<Entry> entries;
};

} // namespace

// RFC 8032, section 7.1, TEST 1 and TEST 2.
TEST(Ed25519, HoldsForThePublishedVectorsAndForNothingElse)
{
    const QString key1 = QStringLiteral("d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a");
    const QString sum1 =
        QStringLiteral("e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a3"
                       "3bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b");
    const QString key2 = QStringLiteral("3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c");
    const QString sum2 =
        QStringLiteral("92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15"
                       "996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00");
    EXPECT_TRUE(signatureHolds(key1, "", sum1));
    EXPECT_TRUE(signatureHolds(key2, "\x72", sum2));
    EXPECT_FALSE(signatureHolds(key2, "\x73", sum2));
    EXPECT_FALSE(signatureHolds(key1, "\x72", sum2));
    EXPECT_FALSE(signatureHolds(key2, "\x72", sum2.toUpper())) << "one spelling only";
}

TEST_F(Signed, LedgerHoldsAndSaysWithWhichKey)
{
    const auto proof = verifyLedger(*db);
    ASSERT_OK(proof);
    EXPECT_TRUE(proof->holds()) << proof->faults.front().why.toStdString();
    ASSERT_EQ(proof->stations.size(), 1u);
    EXPECT_EQ(proof->stations[0].publicKey, key->publicKey());
    EXPECT_EQ(proof->stations[0].signedFrom, 2);
}

TEST_F(Signed, ChainRewrittenWithoutTheKeyIsFound)
{
    // Everything is made to fit, as a person with a database editor and time could: only the key is missing.
    QString prev = entries[1].hash;
    for (std::size_t i = 2; i < entries.size(); ++i) {
        Entry &e = entries[i];
        e.actor = QStringLiteral("Somebody");
        e.prev = prev;
        e.hash = sha256Hex(canonicalEntry(e));
        prev = e.hash;
        sql(QStringLiteral("UPDATE ledger SET actor=?, prev=?, hash=? WHERE seq=?"),
            {e.actor, e.prev, e.hash, e.seq});
    }
    sql(QStringLiteral("UPDATE ledger_head SET hash=?"), {prev});
    ASSERT_EQ(faults().size(), 1u);
    EXPECT_TRUE(faults()[0].why.contains(QStringLiteral("is of another entry")))
        << faults()[0].why.toStdString();
    sql(QStringLiteral("UPDATE ledger_signature SET hash=?"), {prev});
    ASSERT_EQ(faults().size(), 1u);
    EXPECT_EQ(faults()[0].seq, 4);
    EXPECT_TRUE(faults()[0].why.contains(QStringLiteral("does not hold"))) << faults()[0].why.toStdString();
    // Signed with a key of their own.
    auto forger = StationKey::make();
    ASSERT_OK(forger);
    sql(QStringLiteral("DELETE FROM ledger_signature"));
    ASSERT_OK(signHead(*db, van, *forger));
    ASSERT_EQ(faults().size(), 1u);
    EXPECT_TRUE(faults()[0].why.contains(QStringLiteral("never announced"))) << faults()[0].why.toStdString();
    sql(QStringLiteral("DELETE FROM ledger_signature"));
    ASSERT_EQ(faults().size(), 1u);
    EXPECT_TRUE(faults()[0].why.contains(QStringLiteral("is missing"))) << faults()[0].why.toStdString();
}

TEST_F(Signed, EntriesBehindTheSignatureAreFound)
{
    append(QStringLiteral("note written"), {});
    ASSERT_EQ(faults().size(), 1u);
    EXPECT_EQ(faults()[0].seq, 5);
    EXPECT_TRUE(faults()[0].why.contains(QStringLiteral("not signed")));
}

TEST_F(Signed, NewKeyTakesOverAndTheOldOneStillVouchesForItsPart)
{
    auto second = StationKey::make();
    ASSERT_OK(second);
    append(keyAnnouncedVerb, {{publicKeyName, second->publicKey()}});
    append(QStringLiteral("note written"), {});
    ASSERT_OK(signHead(*db, van, *second));
    EXPECT_TRUE(faults().empty());
    sql(QStringLiteral("DELETE FROM ledger_signature WHERE public_key=?"), {key->publicKey()});
    EXPECT_EQ(faults().size(), 1u);
}

TEST_F(Signed, EverySingleByteChangeInTheFileIsFound)
{
    struct Table {
        const char *name;
        QStringList texts, numbers;
    };
    const std::vector<Table> tables{
        {"ledger",
         {QStringLiteral("station"), QStringLiteral("uuid"), QStringLiteral("actor"), QStringLiteral("verb"),
          QStringLiteral("body"), QStringLiteral("prev"), QStringLiteral("hash")},
         {QStringLiteral("seq"), QStringLiteral("lamport"), QStringLiteral("time_us")}},
        {"ledger_head", {QStringLiteral("station"), QStringLiteral("hash")}, {QStringLiteral("seq")}},
        {"ledger_signature",
         {QStringLiteral("station"), QStringLiteral("public_key"), QStringLiteral("hash"),
          QStringLiteral("signature")},
         {QStringLiteral("seq")}},
    };
    sql(QStringLiteral("BEGIN"));
    int changes = 0;
    const auto expectFound = [&](const QString &update, const QVariant &value, qint64 seq) {
        sql(QStringLiteral("SAVEPOINT s"));
        // A rule of the table may refuse the change at once: that is found, too.
        if (execSql(db->connection(), update, {value, seq})) {
            ASSERT_FALSE(faults().empty())
                << update.toStdString() << ' ' << value.toByteArray().toHex().toStdString();
        }
        sql(QStringLiteral("ROLLBACK TO s"));
        sql(QStringLiteral("RELEASE s"));
        ++changes;
    };
    ASSERT_TRUE(faults().empty());
    for (const Table &table : tables) {
        const QString name = QString::fromLatin1(table.name);
        auto rows =
            query(db->connection(), QStringLiteral("SELECT seq, %1 FROM %2")
                                        .arg((table.texts + table.numbers).join(QLatin1Char(',')), name));
        ASSERT_OK(rows);
        std::vector<QVariantList> all;
        while (rows->next()) {
            QVariantList row;
            for (int i = 0; i <= table.texts.size() + table.numbers.size(); ++i)
                row << rows->value(i);
            all.push_back(row);
        }
        rows->reset();
        for (const QVariantList &row : all) {
            const qint64 seq = row.at(0).toLongLong();
            for (int c = 0; c < table.texts.size(); ++c) {
                const QByteArray bytes = row.at(1 + c).toString().toUtf8();
                const QString update = QStringLiteral("UPDATE %1 SET %2=CAST(? AS TEXT) WHERE seq=?")
                                           .arg(name, table.texts.at(c));
                for (qsizetype at = 0; at < bytes.size(); ++at) {
                    for (const int flip : {0x01, 0x20, 0x80}) {
                        QByteArray changed = bytes;
                        changed[at] = static_cast<char>(static_cast<unsigned char>(changed[at]) ^ flip);
                        expectFound(update, changed, seq);
                    }
                }
            }
            for (int c = 0; c < table.numbers.size(); ++c) {
                const qint64 number = row.at(1 + table.texts.size() + c).toLongLong();
                const QString update =
                    QStringLiteral("UPDATE %1 SET %2=? WHERE seq=?").arg(name, table.numbers.at(c));
                for (int bit = 0; bit < 64; ++bit)
                    expectFound(update,
                                static_cast<qint64>(static_cast<quint64>(number) ^ (quint64(1) << bit)), seq);
            }
        }
    }
    sql(QStringLiteral("COMMIT"));
    EXPECT_GT(changes, 4000);
    EXPECT_TRUE(faults().empty()) << "nothing of it stayed";
}

TEST_F(Signed, EveryValueOfEveryByteOfAChainIsChecked)
{
    // Without the database, all 255 other values of each byte of each entry.
    std::vector<EntryBytes> chain(entries.begin(), entries.end());
    const auto broken = [&](std::size_t which, const StoredEntry &changed) {
        ChainCheck check;
        for (std::size_t i = 0; i < chain.size(); ++i) {
            if (check.add(i == which ? changed : chain[i].stored()))
                return true;
        }
        return check.hash() != entries.back().hash.toStdString(); // what the head is compared with
    };
    for (std::size_t i = 0; i < chain.size(); ++i) {
        const StoredEntry good = chain[i].stored();
        ASSERT_FALSE(broken(i, good));
        for (const auto field :
             {&StoredEntry::station, &StoredEntry::uuid, &StoredEntry::actor, &StoredEntry::verb,
              &StoredEntry::body, &StoredEntry::prev, &StoredEntry::hash}) {
            std::string bytes(good.*field);
            for (char &byte : bytes) {
                const char was = byte;
                for (int value = 1; value < 256; ++value) {
                    byte = static_cast<char>(static_cast<unsigned char>(was) ^ value);
                    StoredEntry changed = good;
                    changed.*field = bytes;
                    ASSERT_TRUE(broken(i, changed)) << i << ' ' << bytes;
                }
                byte = was;
            }
        }
    }
}
