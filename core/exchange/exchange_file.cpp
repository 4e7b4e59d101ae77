// SPDX-License-Identifier: GPL-3.0-or-later
#include "exchange/exchange_file.h"

#include "base/csv.h"
#include "base/regular_file.h"
#include "dive/id_book.h"
#include "ledger/canonical.h"
#include "ledger/ledger_store.h"
#include "ledger/stored_entry.h"

#include <QFile>
#include <QFileInfo>
#include <QJsonArray>
#include <QJsonDocument>

namespace holdfast
{

namespace
{

const QString formatName = QStringLiteral("holdfast exchange 1");
constexpr qint64 largestFileBytes = 2'000'000'000;
constexpr int tellEvery = 1000; ///< lines

QString text(const QJsonObject &o, const char *key)
{
    return o.value(QLatin1String(key)).toString();
}

qint64 whole(const QJsonObject &o, const char *key)
{
    return o.value(QLatin1String(key)).toInteger(-1);
}

Result<ChainPart> partOf(const Database &db, const ChainHead &head, qint64 after)
{
    ChainPart part{head.station, after, zeroHash(), head, {}, {}};
    if (after > 0) {
        auto row = query(db.connection(), QStringLiteral("SELECT hash FROM ledger WHERE station=? AND seq=?"),
                         {head.station, after});
        if (!row)
            return row.error();
        if (!row->next())
            return fail(ErrorKind::Tampered,
                        QStringLiteral("Entry %1 of station %2 is missing; verify this file "
                                       "first (holdfast audit).")
                            .arg(after)
                            .arg(head.station));
        part.afterHash = row->text(0);
    }
    const auto read = forEachEntryOfStation(db, head.station, [&](const Entry &e) -> Done {
        if (e.seq > after)
            part.entries.push_back(e);
        return {};
    });
    if (!read)
        return read.error();
    auto signatures = headSignatures(db, head.station);
    if (!signatures)
        return signatures.error();
    part.signatures = std::move(*signatures);
    return part;
}

QJsonObject headerOf(const ExchangeFile &x)
{
    QJsonArray chains;
    for (const ChainPart &part : x.chains) {
        QJsonArray signatures;
        for (const HeadSignature &s : part.signatures)
            signatures.append(QJsonObject{{QStringLiteral("publicKey"), s.publicKey},
                                          {QStringLiteral("seq"), s.seq},
                                          {QStringLiteral("hash"), s.hash},
                                          {QStringLiteral("signature"), s.signature}});
        chains.append(QJsonObject{{QStringLiteral("station"), part.station},
                                  {QStringLiteral("after"), part.after},
                                  {QStringLiteral("afterHash"), part.afterHash},
                                  {QStringLiteral("seq"), part.head.seq},
                                  {QStringLiteral("hash"), part.head.hash},
                                  {QStringLiteral("signatures"), signatures}});
    }
    return {{QStringLiteral("format"), formatName},       {QStringLiteral("cruise"), x.cruiseUuid},
            {QStringLiteral("code"), x.cruiseCode},       {QStringLiteral("from"), x.from},
            {QStringLiteral("made"), toIsoMicro(x.made)}, {QStringLiteral("chains"), chains}};
}

/// Reads a file line by line and says in which line, of which file, something is wrong.
class Reader
{
public:
    Reader(const QByteArray &bytes, QString name, const Progress &progress)
        : m_bytes(bytes), m_name(std::move(name)), m_progress(progress)
    {
    }

    [[nodiscard]] Result<ExchangeFile> read()
    {
        if (auto done = header(); !done)
            return done.error();
        for (ChainPart &part : m_file.chains) {
            if (auto done = entriesOf(part); !done)
                return done.error();
        }
        if (auto done = ending(); !done)
            return done.error();
        return m_file;
    }

private:
    [[nodiscard]] Error bad(const QString &what) const
    {
        return fail(
            ErrorKind::Tampered,
            QStringLiteral("%1, line %2: %3. Nothing was taken in.").arg(m_name).arg(m_line).arg(what));
    }

    /// The next line without its end; nothing when the file has no whole line more.
    std::optional<QByteArray> line()
    {
        ++m_line;
        const qsizetype end = m_bytes.indexOf('\n', m_at);
        if (end < 0)
            return {};
        const QByteArray one = m_bytes.mid(m_at, end - m_at);
        m_at = end + 1;
        return one;
    }

    Done header()
    {
        const auto first = line();
        const QJsonObject h = first ? QJsonDocument::fromJson(*first).object() : QJsonObject();
        if (text(h, "format") != formatName)
            return fail(ErrorKind::Malformed,
                        QStringLiteral("%1 is not an exchange file of this program.").arg(m_name));
        const auto again = canonicalJson(h);
        const auto made = parseIsoUtc(text(h, "made").toStdString());
        if (!again || *again != *first || !made)
            return bad(QStringLiteral("the first line was changed"));
        m_file = {text(h, "cruise"), text(h, "code"), text(h, "from"), *made, {}};
        for (const QJsonValue v : h.value(QStringLiteral("chains")).toArray()) {
            const QJsonObject c = v.toObject();
            const QString station = text(c, "station");
            ChainPart part{station,
                           whole(c, "after"),
                           text(c, "afterHash"),
                           {station, whole(c, "seq"), text(c, "hash")},
                           {},
                           {}};
            for (const QJsonValue one : c.value(QStringLiteral("signatures")).toArray()) {
                const QJsonObject s = one.toObject();
                part.signatures.push_back(
                    {station, text(s, "publicKey"), whole(s, "seq"), text(s, "hash"), text(s, "signature")});
            }
            const bool ascending = m_file.chains.empty() || m_file.chains.back().station < station;
            if (station.isEmpty() || !ascending || part.after < 0 || part.head.seq < part.after)
                return bad(QStringLiteral("the first line was changed"));
            m_file.chains.push_back(std::move(part));
        }
        return {};
    }

    Done entriesOf(ChainPart &part)
    {
        ChainCheck check(part.after, part.afterHash.toStdString(), 0);
        for (qint64 seq = part.after + 1; seq <= part.head.seq; ++seq) {
            if (m_line % tellEvery == 0) {
                if (auto on =
                        goOn(m_progress, static_cast<double>(m_at) / static_cast<double>(m_bytes.size()));
                    !on)
                    return on;
            }
            const QString which = QStringLiteral("entry %1 of station %2 ").arg(seq).arg(part.station);
            const auto one = line();
            if (!one)
                return bad(which + QStringLiteral("is missing: the file was cut off"));
            auto entry = entryFrom(*one);
            if (!entry)
                return bad(which + QStringLiteral("was changed"));
            if (entry->station != part.station)
                return bad(which + QStringLiteral("is missing; in its place stands entry %1 of station %2")
                                       .arg(entry->seq)
                                       .arg(entry->station));
            const EntryBytes bytes(*entry);
            if (const auto why = check.add(bytes.stored()))
                return bad(QStringLiteral("station %1: %2").arg(part.station, *why));
            part.entries.push_back(std::move(*entry));
        }
        if (part.head.hash != QString::fromStdString(check.hash()))
            return bad(QStringLiteral("entry %1 of station %2 is not the one that its head names")
                           .arg(part.head.seq)
                           .arg(part.station));
        return {};
    }

    /// "<hash> <canonical form>"; nothing for any other spelling.
    static std::optional<Entry> entryFrom(const QByteArray &one)
    {
        const qsizetype blank = one.indexOf(' ');
        const QByteArray canonical = one.mid(blank + 1);
        const QJsonObject o = QJsonDocument::fromJson(canonical).object();
        const auto body = canonicalJson(o.value(QStringLiteral("body")));
        const auto time = parseIsoUtc(text(o, "time").toStdString());
        if (blank < 0 || !body || !time)
            return {};
        Entry e{text(o, "station"),    whole(o, "seq"),
                whole(o, "lamport"),   text(o, "uuid"),
                microsecondsOf(*time), text(o, "actor"),
                text(o, "verb"),       QString::fromUtf8(*body),
                text(o, "prev"),       QString::fromLatin1(one.left(blank))};
        if (canonicalEntry(e) != canonical || sha256Hex(canonical) != e.hash)
            return {};
        return e;
    }

    Done ending()
    {
        const qsizetype here = m_at;
        const auto last = line();
        if (!last)
            return bad(QStringLiteral("the last line is missing: the file was cut off"));
        if (*last != "end " + sha256Hex(m_bytes.left(here)).toLatin1())
            return bad(QStringLiteral(
                "the checksum at the end does not fit, or there are more entries than the first "
                "line tells"));
        if (m_at != m_bytes.size())
            return bad(QStringLiteral("something was added after the end"));
        return {};
    }

    const QByteArray &m_bytes;
    QString m_name;
    const Progress &m_progress;
    ExchangeFile m_file;
    qsizetype m_at = 0;
    int m_line = 0;
};

Result<ExchangeFile> gather(const Database &db, const QString &from, UtcTime now,
                            const std::optional<QString> &forStation)
{
    auto cruise = query(db.connection(), QStringLiteral("SELECT uuid, code FROM cruise"));
    if (!cruise)
        return cruise.error();
    if (!cruise->next())
        return fail(ErrorKind::Malformed, QStringLiteral("%1 has no cruise.").arg(db.path()));
    ExchangeFile x{cruise->text(0), cruise->text(1), from, now, {}};
    const auto heads = chainHeads(db);
    if (!heads)
        return heads.error();
    QMap<QString, qint64> known;
    if (forStation) {
        if (!heads->contains(*forStation))
            return fail(ErrorKind::NotFound,
                        QStringLiteral("No station %1 has been heard of here; the stations are %2.")
                            .arg(*forStation, QStringList(heads->keys()).join(QStringLiteral(", "))));
        auto had = entriesKnownTo(db, *forStation);
        if (!had)
            return had.error();
        known = std::move(*had);
        known.insert(*forStation, heads->value(*forStation).seq);
    }
    for (const ChainHead &head : *heads) {
        auto part = partOf(db, head, std::min(known.value(head.station, 0), head.seq));
        if (!part)
            return part.error();
        x.chains.push_back(std::move(*part));
    }
    return x;
}

} // namespace

Result<QMap<QString, qint64>> entriesKnownTo(const Database &db, const QString &station)
{
    QMap<QString, qint64> known;
    auto row =
        query(db.connection(),
              QStringLiteral("SELECT body FROM ledger WHERE station=? AND instr(body, '\"hasSeen\"') > 0 "
                             "ORDER BY seq DESC LIMIT 1"),
              {station});
    if (!row)
        return row.error();
    if (row->next()) {
        const QJsonObject seen =
            QJsonDocument::fromJson(row->text(0).toUtf8()).object().value(hasSeen).toObject();
        for (auto it = seen.begin(); it != seen.end(); ++it)
            known.insert(it.key(), it.value().toInteger());
    }
    return known;
}

Result<ExchangeFile> gatherExchange(const Database &db, const QString &from, UtcTime now,
                                    const std::optional<QString> &forStation)
{
    // One state of the file for heads and entries, though somebody may be writing.
    if (auto begun = execSql(db.connection(), QStringLiteral("BEGIN")); !begun)
        return begun.error();
    auto gathered = gather(db, from, now, forStation);
    if (auto ended = execSql(db.connection(), QStringLiteral("COMMIT")); !ended)
        return ended.error();
    return gathered;
}

Result<QByteArray> exchangeBytes(const ExchangeFile &exchange)
{
    auto header = canonicalJson(headerOf(exchange));
    if (!header)
        return header;
    QByteArray bytes = *header + '\n';
    for (const ChainPart &part : exchange.chains) {
        for (const Entry &e : part.entries)
            bytes += e.hash.toLatin1() + ' ' + canonicalEntry(e) + '\n';
    }
    return bytes + "end " + sha256Hex(bytes).toLatin1() + '\n';
}

Result<ExchangeFile> readExchange(const QByteArray &bytes, const QString &name, const Progress &progress)
{
    return Reader(bytes, name, progress).read();
}

Done writeExchangeFile(const QString &path, const ExchangeFile &exchange)
{
    const auto bytes = exchangeBytes(exchange);
    if (!bytes)
        return bytes.error();
    return writeWhole(path, *bytes);
}

Result<ExchangeFile> readExchangeFile(const QString &path, const Progress &progress)
{
    QFile file(path);
    if (!file.exists())
        return fail(ErrorKind::NotFound, QStringLiteral("There is no file %1.").arg(path));
    if (auto regular = wantRegularFile(path); !regular)
        return regular.error();
    if (!file.open(QIODevice::ReadOnly))
        return fail(ErrorKind::Unreadable,
                    QStringLiteral("%1 can't be read: %2.").arg(path, file.errorString()));
    if (file.size() > largestFileBytes)
        return fail(ErrorKind::Malformed, QStringLiteral("%1 is too large for an exchange file.").arg(path));
    return readExchange(file.readAll(), QFileInfo(path).fileName(), progress);
}

} // namespace holdfast
