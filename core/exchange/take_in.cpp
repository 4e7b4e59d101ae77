// SPDX-License-Identifier: GPL-3.0-or-later
#include "exchange/take_in.h"

#include "dive/replay.h"

#include <algorithm>

namespace holdfast
{

namespace
{

constexpr qsizetype markDigits = 16, keyDigits = 64; // of keyMark and of a whole public key
constexpr double addingShare = 0.2;                  ///< of the time; making the tables again takes the rest

Error refused(const QString &station, qint64 seq, const QString &why)
{
    return fail(
        ErrorKind::Tampered,
        QStringLiteral("Station %1, entry %2: %3. Nothing was taken in.").arg(station).arg(seq).arg(why));
}

Result<QString> hashHere(const Database &db, const QString &station, qint64 seq)
{
    if (seq == 0)
        return zeroHash();
    auto row = query(db.connection(), QStringLiteral("SELECT hash FROM ledger WHERE station=? AND seq=?"),
                     {station, seq});
    if (!row)
        return row.error();
    return row->next() ? row->text(0) : QString();
}

QString hashThere(const ChainPart &part, qint64 seq)
{
    if (seq == part.after)
        return part.afterHash;
    const qint64 at = seq - part.after - 1;
    return at >= 0 && at < static_cast<qint64>(part.entries.size())
               ? part.entries[static_cast<std::size_t>(at)].hash
               : QString();
}

/// Both have entries up to `common`: they must be the same ones.
Done sameUpTo(const Database &db, const ChainPart &part, qint64 common, const QString &own)
{
    const auto here = hashHere(db, part.station, common);
    if (!here)
        return here.error();
    if (*here == hashThere(part, common))
        return {};
    qint64 first = common;
    for (qint64 seq = part.after + 1; seq <= common; ++seq) {
        const auto one = hashHere(db, part.station, seq);
        if (!one)
            return one.error();
        if (*one != hashThere(part, seq)) {
            first = seq;
            break;
        }
    }
    return refused(
        part.station, first,
        part.station == own
            ? QStringLiteral("it is not the one that is here: two copies of this file have both written as "
                             "station %1")
                  .arg(own)
            : QStringLiteral("it is not the one that is here: the chain was changed, or two copies of a "
                             "file have both written as this station"));
}

Result<std::vector<AnnouncedKey>> keysHere(const Database &db, const QString &station)
{
    std::vector<AnnouncedKey> keys;
    const auto read =
        forEachEntryWith(db, {stationJoinedVerb, keyAnnouncedVerb}, [&](const Entry &e) -> Done {
            const QString key = e.bodyObject().value(publicKeyName).toString();
            if (e.station == station && !key.isEmpty())
                keys.push_back({e.seq, key});
            return {};
        });
    if (!read)
        return read.error();
    return keys;
}

bool isTrusted(const QString &key, const QStringList &trusted)
{
    return std::any_of(trusted.begin(), trusted.end(), [&key](QString mark) {
        mark = mark.remove(QLatin1Char(' ')).toLower();
        return mark.size() >= markDigits && key.startsWith(mark);
    });
}

/// The head must be signed with the station's key, and a person must know the key.
Done signedBySomebodyKnown(const Database &db, const ChainPart &part, qint64 here, const QStringList &trusted)
{
    auto keys = keysHere(db, part.station);
    if (!keys)
        return keys.error();
    for (const Entry &e : part.entries) {
        if (e.seq <= here || (e.verb != stationJoinedVerb && e.verb != keyAnnouncedVerb))
            continue;
        const QString key = e.bodyObject().value(publicKeyName).toString();
        if (key.isEmpty())
            continue;
        if (!isTrusted(key, trusted))
            return fail(
                ErrorKind::Refused,
                QStringLiteral(
                    "Station %1 is new here, or has a new key (entry %2): %3. Compare it with what that "
                    "station itself shows as its key, then take the file in again with that key as "
                    "the trusted one. Nothing was taken in.")
                    .arg(part.station)
                    .arg(e.seq)
                    .arg(keyMark(key)));
        keys->push_back({e.seq, key});
    }
    if (keys->empty())
        return refused(
            part.station, part.head.seq,
            QStringLiteral("it is not signed; let the station write once with this version first"));
    const auto hashAt = [&](qint64 seq) {
        if (seq > here)
            return hashThere(part, seq);
        const auto hash = hashHere(db, part.station, seq);
        return hash ? *hash : QString();
    };
    for (const ChainFault &fault : checkSignatures(part.head, *keys, part.signatures, hashAt))
        return refused(fault.station, fault.seq, fault.why);
    return {};
}

Done insertEntry(Statement &insert, const Entry &e)
{
    const auto done =
        insert.run({e.station, e.seq, e.lamport, e.uuid, e.timeUs, e.actor, e.verb, e.body, e.prev, e.hash});
    if (!done && done.error().kind == ErrorKind::Duplicate)
        return refused(e.station, e.seq, QStringLiteral("another entry has the same uuid"));
    return done;
}

/// Checks one chain against the file and writes what is new. @return how many entries that was.
Result<qint64> takeInChain(CruiseFile &file, const ChainPart &part, qint64 lamportLimit,
                           const QStringList &trusted)
{
    const Database &db = file.db();
    const auto heads = chainHeads(db);
    if (!heads)
        return heads.error();
    const qint64 here = heads->value(part.station).seq;
    if (part.after > here)
        return refused(
            part.station, here + 1,
            QStringLiteral("it is missing: this file begins after entry %1 of that station, but here its "
                           "chain ends at %2; ask for a file with all entries")
                .arg(part.after)
                .arg(here));
    if (auto same = sameUpTo(db, part, std::min(here, part.head.seq), file.station()); !same)
        return same.error();
    if (part.head.seq <= here)
        return 0;
    if (auto good = checkStationName(part.station); !good)
        return good.error();
    const QStringList stations = heads->keys() << file.station();
    for (const QString &known : stations) {
        if (known != part.station && known.compare(part.station, Qt::CaseInsensitive) == 0)
            return fail(
                ErrorKind::Refused,
                QStringLiteral("Station %1 differs from station %2, which is known here, only in letter "
                               "case: on many file systems their exchange files would overwrite each "
                               "other. Make that copy a station of another name and write there again. "
                               "Nothing was taken in.")
                    .arg(part.station, known));
    }
    if (auto known = signedBySomebodyKnown(db, part, here, trusted); !known)
        return known.error();
    auto insert = Statement::prepare(
        db.connection(), QStringLiteral("INSERT INTO ledger (station, seq, lamport, uuid, time_us, actor, "
                                        "verb, body, prev, hash) VALUES (?,?,?,?,?,?,?,?,?,?)"));
    if (!insert)
        return insert.error();
    for (const Entry &e : part.entries) {
        if (e.seq <= here)
            continue;
        if (!file.rules().contains(e.verb))
            return fail(
                ErrorKind::TooNew,
                QStringLiteral(
                    "Station %1, entry %2 says \"%3\", which this program does not know: it was written "
                    "by a later version. Nothing was taken in.")
                    .arg(part.station)
                    .arg(e.seq)
                    .arg(e.verb));
        // Each entry raises the greatest lamport by one at most; more would push what is written later aside.
        if (e.lamport > lamportLimit)
            return refused(part.station, e.seq,
                           QStringLiteral("its place in the order of all entries is not possible"));
        if (auto done = insertEntry(*insert, e); !done)
            return done.error();
    }
    if (auto done =
            execSql(db.connection(),
                    QStringLiteral("INSERT INTO ledger_head (station, seq, hash) VALUES (?,?,?) ON CONFLICT "
                                   "(station) DO UPDATE SET seq=excluded.seq, hash=excluded.hash"),
                    {part.station, part.head.seq, part.head.hash});
        !done)
        return done.error();
    for (const HeadSignature &signature : part.signatures) {
        if (auto done = keepSignature(db, signature); !done)
            return done.error();
    }
    return part.head.seq - here;
}

/// A log that another station has replaced is out of use here, too.
Done followReplacedLogs(const Database &db)
{
    return execSql(db.connection(),
                   QStringLiteral("UPDATE log_file SET in_use=(SELECT replaced_by IS NULL FROM intake WHERE "
                                  "intake.uuid=log_file.uuid) WHERE uuid IN (SELECT uuid FROM intake)"));
}

bool isKey(const QString &digits)
{
    const auto isHex = [](QChar c) {
        return (c >= QLatin1Char('0') && c <= QLatin1Char('9')) ||
               (c >= QLatin1Char('a') && c <= QLatin1Char('f'));
    };
    return (digits.size() == markDigits || digits.size() == keyDigits) &&
           std::all_of(digits.begin(), digits.end(), isHex);
}

} // namespace

Result<QStringList> trustedKeys(const QString &typed)
{
    QStringList keys;
    if (typed.trimmed().isEmpty())
        return keys;
    for (const QString &one : typed.split(QLatin1Char(','))) {
        const QString key = one.simplified().remove(QLatin1Char(' ')).toLower();
        if (!isKey(key))
            return fail(
                ErrorKind::Usage,
                QStringLiteral("\"%1\" is no key of a station. A key is four groups of four digits and "
                               "letters a to f, like 3f9a 12bc 77d0 e410, as the other station shows it; "
                               "commas between several.")
                    .arg(one.trimmed()));
        keys << key;
    }
    return keys;
}

Result<TakenIn> takeIn(CruiseFile &file, const ExchangeFile &exchange, const QStringList &trusted,
                       const Progress &progress)
{
    return file.write([&]() -> Result<TakenIn> {
        const Database &db = file.db();
        auto cruise = query(db.connection(), QStringLiteral("SELECT uuid, code FROM cruise"));
        if (!cruise)
            return cruise.error();
        if (!cruise->next() || cruise->text(0) != exchange.cruiseUuid)
            return fail(ErrorKind::Refused,
                        QStringLiteral("The exchange file is of another cruise (%1). Nothing was taken in.")
                            .arg(exchange.cruiseCode));
        cruise->reset();
        const auto count = countEntries(db);
        if (!count)
            return count.error();
        qint64 limit = *count;
        for (const ChainPart &part : exchange.chains)
            limit += static_cast<qint64>(part.entries.size());
        TakenIn taken{exchange.from, {}, 0};
        double chains = 0;
        for (const ChainPart &part : exchange.chains) {
            if (auto on =
                    goOn(progress, addingShare * chains++ / static_cast<double>(exchange.chains.size()));
                !on)
                return on.error();
            const auto added = takeInChain(file, part, limit, trusted);
            if (!added)
                return added.error();
            if (*added > 0)
                taken.added.insert(part.station, *added);
        }
        if (!taken.added.isEmpty()) {
            const Progress rebuilding = [&progress](double share) {
                return !progress || progress(addingShare + (1 - addingShare) * share);
            };
            if (auto rebuilt = rebuildInTransaction(db, file.rules(), rebuilding); !rebuilt)
                return rebuilt.error();
            if (auto followed = followReplacedLogs(db); !followed)
                return followed.error();
        }
        auto held = query(db.connection(), QStringLiteral("SELECT count(*) FROM held_back"));
        if (!held)
            return held.error();
        taken.heldBack = held->next() ? held->integer(0) : 0;
        return taken;
    });
}

} // namespace holdfast
