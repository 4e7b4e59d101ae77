// SPDX-License-Identifier: GPL-3.0-or-later
#include "ledger/verify.h"

#include "ledger/ledger_store.h"
#include "ledger/stored_entry.h"
#include "store/raw_rows.h"

#include <QJsonDocument>
#include <QSet>
#include <limits>
#include <thread>

namespace holdfast
{

namespace
{

/// From here on a second thread is worth its start.
constexpr qint64 longChain = 20'000;
constexpr qint64 noLimit = std::numeric_limits<qint64>::max();

/// A part of a chain: behind an entry that is taken as given, up to and with `to`.
struct Part {
    ChainCheck check;
    qint64 after = std::numeric_limits<qint64>::min();
    qint64 to = noLimit;
};

struct PartProof {
    std::optional<ChainFault> fault;
    std::vector<AnnouncedKey> keys;
    qint64 seq = 0;
    QString hash;
};

Result<PartProof> follow(const Database &db, const QString &station, Part part)
{
    auto rows =
        RawRows::select(db.connection(),
                        QStringLiteral("SELECT station, seq, lamport, uuid, time_us, actor, verb, body, "
                                       "prev, hash FROM ledger WHERE station=? AND seq>? AND seq<=? "
                                       "ORDER BY seq"),
                        {station, part.after, part.to});
    if (!rows)
        return rows.error();
    static const std::string joined = stationJoinedVerb.toStdString();
    static const std::string announced = keyAnnouncedVerb.toStdString();
    PartProof proof;
    while (true) {
        const auto more = rows->next();
        if (!more)
            return more.error();
        if (!*more)
            break;
        const StoredEntry e{rows->text(0),    rows->integer(1), rows->integer(2), rows->text(3),
                            rows->integer(4), rows->text(5),    rows->text(6),    rows->text(7),
                            rows->text(8),    rows->text(9)};
        if (const auto why = part.check.add(e)) {
            proof.fault = {station, part.check.seq(), *why};
            return proof;
        }
        if (e.verb != joined && e.verb != announced)
            continue;
        const QByteArray body(e.body.data(), static_cast<qsizetype>(e.body.size()));
        const QString key = QJsonDocument::fromJson(body).object().value(publicKeyName).toString();
        if (!key.isEmpty())
            proof.keys.push_back({e.seq, key});
    }
    proof.seq = part.check.seq();
    proof.hash = QString::fromStdString(part.check.hash());
    return proof;
}

/// The hash and lamport of one entry of a chain.
Result<std::optional<std::pair<QString, qint64>>> linkAt(const Database &db, const QString &station,
                                                         qint64 seq)
{
    auto row =
        query(db.connection(), QStringLiteral("SELECT hash, lamport FROM ledger WHERE station=? AND seq=?"),
              {station, seq});
    if (!row)
        return row.error();
    if (!row->next())
        return std::optional<std::pair<QString, qint64>>();
    return std::optional(std::pair(row->text(0), row->integer(1)));
}

/// One chain on two threads: the second half starts from the hash kept in the middle, which the first half
/// must arrive at.
Result<PartProof> followInHalves(const Database &db, const QString &station, qint64 middle,
                                 const std::pair<QString, qint64> &link)
{
    Result<PartProof> first = PartProof{};
    std::thread helper([&first, &station, middle, path = db.path()] {
        const auto own = Database::open(path, Database::Access::ReadOnly);
        if (own)
            first = follow(*own, station, Part{.check = ChainCheck(), .to = middle});
        else
            first = own.error();
    });
    auto second =
        follow(db, station,
               Part{.check = ChainCheck(middle, link.first.toStdString(), link.second), .after = middle});
    helper.join();
    if (!first || first->fault || !second)
        return first && second ? first : Result<PartProof>(first ? second.error() : first.error());
    second->keys.insert(second->keys.begin(), first->keys.begin(), first->keys.end());
    return second;
}

Result<PartProof> followChain(const Database &db, const ChainHead &head, bool alone)
{
    if (!alone && head.seq >= longChain) {
        const qint64 middle = head.seq / 2;
        const auto link = linkAt(db, head.station, middle);
        if (!link)
            return link.error();
        if (*link)
            return followInHalves(db, head.station, middle, **link);
    }
    return follow(db, head.station, Part{});
}

std::optional<ChainFault> headFault(const ChainHead &head, const PartProof &chain)
{
    if (head.seq > chain.seq)
        return ChainFault{head.station, chain.seq + 1,
                          head.seq == chain.seq + 1
                              ? QStringLiteral("entry %1 was removed from the end of the chain").arg(head.seq)
                              : QStringLiteral("entries %1 to %2 were removed from the end of the chain")
                                    .arg(chain.seq + 1)
                                    .arg(head.seq)};
    if (head.seq < chain.seq)
        return ChainFault{head.station, head.seq + 1,
                          QStringLiteral("entry %1 stands behind the head of the chain").arg(head.seq + 1)};
    if (head.hash != chain.hash)
        return ChainFault{head.station, chain.seq,
                          QStringLiteral("the kept head does not fit entry %1").arg(chain.seq)};
    return {};
}

/// Every station that anything in the file names: a chain without its head is a fault too, it could have been
/// cut anywhere.
Result<QStringList> stationsNamed(const Database &db)
{
    auto rows =
        query(db.connection(),
              QStringLiteral("SELECT station FROM ledger_head UNION SELECT DISTINCT station FROM ledger "
                             "UNION SELECT station FROM ledger_signature ORDER BY 1"));
    if (!rows)
        return rows.error();
    QStringList names;
    while (rows->next())
        names << rows->text(0);
    return names;
}

Result<LedgerProof> verifyAll(const Database &db, bool alone)
{
    const auto heads = chainHeads(db);
    if (!heads)
        return heads.error();
    const auto stations = stationsNamed(db);
    if (!stations)
        return stations.error();
    LedgerProof proof;
    if (stations->isEmpty())
        proof.faults.push_back(
            {QString(), 1, QStringLiteral("the ledger is empty: a cruise file always begins with an entry")});
    for (const QString &station : *stations) {
        const ChainHead head = heads->value(station, ChainHead{station, 0, zeroHash()});
        const auto chain = followChain(db, head, alone);
        if (!chain)
            return chain.error();
        proof.stations.push_back({station, head.seq,
                                  chain->keys.empty() ? QString() : chain->keys.back().publicKey,
                                  chain->keys.empty() ? 0 : chain->keys.front().seq});
        auto fault = chain->fault ? chain->fault : headFault(head, *chain);
        if (fault) {
            proof.faults.push_back(*fault);
            continue;
        }
        const auto signatures = headSignatures(db, station);
        if (!signatures)
            return signatures.error();
        const auto hashAt = [&](qint64 seq) {
            const auto link = linkAt(db, station, seq);
            return link && *link ? (*link)->first : QString();
        };
        for (const ChainFault &bad : checkSignatures(head, chain->keys, *signatures, hashAt))
            proof.faults.push_back(bad);
    }
    return proof;
}

} // namespace

Result<LedgerProof> verifyLedger(const Database &db)
{
    const auto inside = insideTransaction(db.connection());
    if (!inside)
        return inside.error();
    const bool memory = db.path() == QLatin1String(":memory:");
    if (*inside || memory)
        return verifyAll(db, true);
    // One state of the file for heads and entries, though somebody may be writing.
    if (auto begun = execSql(db.connection(), QStringLiteral("BEGIN")); !begun)
        return begun.error();
    auto proof = verifyAll(db, false);
    if (auto ended = execSql(db.connection(), QStringLiteral("COMMIT")); !ended)
        return ended.error();
    return proof;
}

} // namespace holdfast
