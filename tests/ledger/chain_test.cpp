// SPDX-License-Identifier: GPL-3.0-or-later
#include "ledger/chain.h"

#include "ledger/canonical.h"
#include "ledger/ledger_store.h"
#include "ledger/verify.h"
#include "support/temp_dir.h"

#include <functional>

using namespace holdfast;

namespace
{

const QString van = QStringLiteral("van");

class Chain : public test::WithFolder
{
protected:
    void SetUp() override
    {
        WithFolder::SetUp();
        auto made = Database::create(path(QStringLiteral("cruise.hfc")));
        ASSERT_OK(made);
        db.emplace(std::move(*made));
        for (int i = 1; i <= 6; ++i)
            append(van, i);
        for (int i = 1; i <= 3; ++i)
            append(QStringLiteral("deck"), i);
    }
    void append(const QString &station, int i)
    {
        auto t = Transaction::begin(db->connection());
        ASSERT_OK(t);
        ASSERT_OK(appendEntry(*db, station,
                              {QStringLiteral("Mara"), utcFromMicroseconds(1'000'000 * i),
                               QStringLiteral("note written"), QJsonObject{{QStringLiteral("n"), i}}}));
        ASSERT_OK(t->commit());
    }
    std::vector<ChainFault> faults()
    {
        auto found = verifyLedger(*db);
        EXPECT_TRUE(found);
        return found ? found->faults : std::vector<ChainFault>{};
    }
    void tamper(const QString &sql) { ASSERT_OK(execSql(db->connection(), sql)); }
    std::optional<Database> db;
};

} // namespace

TEST_F(Chain, OfTwoStationsHolds)
{
    EXPECT_TRUE(faults().empty());
}

TEST_F(Chain, FindsAChangeInEveryColumnAndSaysWhere)
{
    const QStringList changes{
        QStringLiteral("time_us=time_us+1"),        QStringLiteral("actor='Maria'"),
        QStringLiteral("verb='note writtem'"),      QStringLiteral("body='{\"n\":40}'"),
        QStringLiteral("body='{\"n\": 4}'"),        QStringLiteral("body='{\"n\":4'"),
        QStringLiteral("lamport=lamport+100"),      QStringLiteral("uuid='x'"),
        QStringLiteral("prev=substr(prev,2)||'0'"), QStringLiteral("hash=substr(hash,2)||'0'"),
        QStringLiteral("hash=upper(hash)"),         QStringLiteral("body=''"),
    };
    for (const QString &change : changes) {
        tamper(QStringLiteral("SAVEPOINT s"));
        tamper(QStringLiteral("UPDATE ledger SET %1 WHERE station='van' AND seq=4").arg(change));
        const auto found = faults();
        ASSERT_EQ(found.size(), 1u) << change.toStdString();
        EXPECT_EQ(found[0].station, van) << change.toStdString();
        EXPECT_EQ(found[0].seq, 4) << change.toStdString();
        tamper(QStringLiteral("ROLLBACK TO s"));
        tamper(QStringLiteral("RELEASE s"));
    }
}

TEST_F(Chain, FindsRemovalAtEveryPlace)
{
    for (int seq = 1; seq <= 6; ++seq) {
        tamper(QStringLiteral("SAVEPOINT s"));
        tamper(QStringLiteral("DELETE FROM ledger WHERE station='van' AND seq=%1").arg(seq));
        const auto found = faults();
        ASSERT_EQ(found.size(), 1u) << seq;
        EXPECT_EQ(found[0].seq, seq);
        tamper(QStringLiteral("ROLLBACK TO s"));
        tamper(QStringLiteral("RELEASE s"));
    }
    tamper(QStringLiteral("DELETE FROM ledger WHERE station='van'"));
    ASSERT_EQ(faults().size(), 1u);
    EXPECT_EQ(faults()[0].seq, 1);
}

TEST_F(Chain, FindsTwoEntriesExchanged)
{
    tamper(QStringLiteral("UPDATE ledger SET seq=100 WHERE station='van' AND seq=3"));
    tamper(QStringLiteral("UPDATE ledger SET seq=3 WHERE station='van' AND seq=4"));
    tamper(QStringLiteral("UPDATE ledger SET seq=4 WHERE station='van' AND seq=100"));
    ASSERT_EQ(faults().size(), 1u);
    EXPECT_EQ(faults()[0].seq, 3);
}

TEST_F(Chain, FindsAChangeWhoseHashWasMadeToFit)
{
    std::optional<Entry> fourth;
    ASSERT_OK(forEachEntryOfStation(*db, van, [&](const Entry &e) -> Done {
        if (e.seq == 4)
            fourth = e;
        return {};
    }));
    fourth->body = QStringLiteral("{\"n\":40}");
    ASSERT_OK(execSql(db->connection(),
                      QStringLiteral("UPDATE ledger SET body=?, hash=? WHERE station='van' AND seq=4"),
                      {fourth->body, sha256Hex(canonicalEntry(*fourth))}));
    ASSERT_EQ(faults().size(), 1u);
    EXPECT_EQ(faults()[0].seq, 5) << "the entry after it no longer follows";
}

TEST_F(Chain, FindsAnEntryAddedBehindTheHeadAndAHeadThatWasRemoved)
{
    tamper(QStringLiteral(
        "UPDATE ledger_head SET seq=5, hash=(SELECT hash FROM ledger WHERE station='van' AND seq=5) "
        "WHERE station='van'"));
    ASSERT_EQ(faults().size(), 1u);
    EXPECT_EQ(faults()[0].seq, 6);
    tamper(QStringLiteral("DELETE FROM ledger_head WHERE station='van'"));
    EXPECT_EQ(faults().size(), 1u);
}

TEST_F(Chain, OrdersStationsByWhatTheyHadSeen)
{
    QStringList order;
    ASSERT_OK(forEachEntry(*db, [&order](const Entry &e) -> Done {
        order << e.station + QString::number(e.seq);
        return {};
    }));
    EXPECT_EQ(order.join(QLatin1Char(' ')),
              QStringLiteral("van1 van2 van3 van4 van5 van6 deck1 deck2 deck3"));
}

TEST_F(Chain, HeadHashIsSha256OfItsLines)
{
    const QMap<QString, ChainHead> heads{
        {van, ChainHead{van, 7, QStringLiteral("ab")}},
        {QStringLiteral("deck"), ChainHead{QStringLiteral("deck"), 2, QStringLiteral("cd")}}};
    EXPECT_EQ(ledgerHeadHash(heads), sha256Hex("deck 2 cd\nvan 7 ab\n"));
}
