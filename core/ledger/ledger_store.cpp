// SPDX-License-Identifier: GPL-3.0-or-later
#include "ledger/ledger_store.h"

#include "base/ids.h"
#include "ledger/canonical.h"

namespace holdfast
{

namespace
{

const QString columns = QStringLiteral("station, seq, lamport, uuid, time_us, actor, verb, body, prev, hash");

Entry fromRow(const Statement &row)
{
    Entry e;
    e.station = row.text(0);
    e.seq = row.integer(1);
    e.lamport = row.integer(2);
    e.uuid = row.text(3);
    e.timeUs = row.integer(4);
    e.actor = row.text(5);
    e.verb = row.text(6);
    e.body = row.text(7);
    e.prev = row.text(8);
    e.hash = row.text(9);
    return e;
}

Done eachRow(Result<Statement> rows, const std::function<Done(const Entry &)> &each)
{
    if (!rows)
        return rows.error();
    while (rows->next()) {
        if (auto done = each(fromRow(*rows)); !done)
            return done;
    }
    return {};
}

Result<ChainHead> headOf(const Database &db, const QString &station)
{
    auto row = query(db.connection(), QStringLiteral("SELECT seq, hash FROM ledger_head WHERE station=?"),
                     {station});
    if (!row)
        return row.error();
    if (!row->next())
        return ChainHead{station, 0, zeroHash()};
    return ChainHead{station, row->integer(0), row->text(1)};
}

Result<qint64> greatestLamport(const Database &db)
{
    auto row = query(db.connection(), QStringLiteral("SELECT coalesce(max(lamport), 0) FROM ledger"));
    if (!row)
        return row.error();
    return row->next() ? row->integer(0) : 0;
}

} // namespace

Result<Entry> appendEntry(const Database &db, const QString &station, const EntryDraft &draft)
{
    if (!draft.actor.isValidUtf16())
        return fail(ErrorKind::Usage, QStringLiteral("The person's name holds a damaged character."));
    auto body = canonicalJson(draft.body);
    if (!body)
        return body.error();
    const auto head = headOf(db, station);
    if (!head)
        return head.error();
    const auto lamport = greatestLamport(db);
    if (!lamport)
        return lamport.error();
    Entry e;
    e.station = station;
    e.seq = head->seq + 1;
    e.lamport = *lamport + 1;
    e.uuid = newUuid();
    e.timeUs = microsecondsOf(draft.now);
    e.actor = draft.actor;
    e.verb = draft.verb;
    e.body = QString::fromUtf8(*body);
    e.prev = head->hash;
    e.hash = sha256Hex(canonicalEntry(e));
    if (auto done =
            execSql(db.connection(),
                    QStringLiteral("INSERT INTO ledger (%1) VALUES (?,?,?,?,?,?,?,?,?,?)").arg(columns),
                    {e.station, e.seq, e.lamport, e.uuid, e.timeUs, e.actor, e.verb, e.body, e.prev, e.hash});
        !done)
        return done.error();
    if (auto done =
            execSql(db.connection(),
                    QStringLiteral("INSERT INTO ledger_head (station, seq, hash) VALUES (?,?,?) ON CONFLICT "
                                   "(station) DO UPDATE SET seq=excluded.seq, hash=excluded.hash"),
                    {e.station, e.seq, e.hash});
        !done)
        return done.error();
    return e;
}

Done forEachEntryOfStation(const Database &db, const QString &station,
                           const std::function<Done(const Entry &)> &each)
{
    return eachRow(query(db.connection(),
                         QStringLiteral("SELECT %1 FROM ledger WHERE station=? ORDER BY seq").arg(columns),
                         {station}),
                   each);
}

Done forEachEntry(const Database &db, const std::function<Done(const Entry &)> &each)
{
    return eachRow(query(db.connection(),
                         QStringLiteral("SELECT %1 FROM ledger ORDER BY lamport, station, seq").arg(columns)),
                   each);
}

Done forEachEntryWith(const Database &db, const QStringList &verbs,
                      const std::function<Done(const Entry &)> &each)
{
    QStringList quoted;
    for (QString verb : verbs)
        quoted << QLatin1Char('\'') + verb.replace(QLatin1Char('\''), QLatin1String("''")) +
                      QLatin1Char('\'');
    return eachRow(
        query(db.connection(),
              QStringLiteral("SELECT %1 FROM ledger WHERE verb IN (%2) ORDER BY lamport, station, seq")
                  .arg(columns, quoted.join(QLatin1Char(',')))),
        each);
}

Result<QMap<QString, ChainHead>> chainHeads(const Database &db)
{
    auto rows = query(db.connection(), QStringLiteral("SELECT station, seq, hash FROM ledger_head"));
    if (!rows)
        return rows.error();
    QMap<QString, ChainHead> heads;
    while (rows->next())
        heads.insert(rows->text(0), ChainHead{rows->text(0), rows->integer(1), rows->text(2)});
    return heads;
}

Result<qint64> countEntries(const Database &db)
{
    auto row = query(db.connection(), QStringLiteral("SELECT count(*) FROM ledger"));
    if (!row)
        return row.error();
    return row->next() ? row->integer(0) : 0;
}

} // namespace holdfast
