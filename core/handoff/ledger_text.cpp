// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/ledger_text.h"

#include "base/utc_time.h"
#include "ledger/canonical.h"
#include "ledger/ledger_store.h"

#include <QJsonDocument>
#include <QJsonObject>

namespace holdfast
{

namespace
{

Error badLine(const QString &why)
{
    return fail(ErrorKind::Malformed,
                QStringLiteral("A line of the ledger is not as it should be: %1.").arg(why));
}

const char *const readme = R"(The ledger
==========

Everything people did is one line of ledger.txt: who did what and when, at which station (an installation of
the program: van, deck, wet lab). Nothing in it is ever changed or taken out; a correction is a line of its own.

  ledger.txt         one line an entry: its hash, a blank, the entry
  heads.txt          one line a station: name, number of its last entry, hash of that entry
  signatures.txt     one line a key: station, number and hash of the entry it signed, public key, signature
  verify_ledger.py   verifies the first two with Python 3 alone: python3 verify_ledger.py

An entry is one JSON object in the canonical form of RFC 8785: keys in order, no blanks between tokens, numbers
whole, measured values as text. Its hash is the SHA-256 of exactly those bytes. Keys:

  actor    the person who acted          station  which installation wrote it
  verb     what was done                 seq      1, 2, 3 ... in the station's own chain
  body     what about                    prev     hash of the station's entry before it; 64 zeros for the first
  time     when it was written, UTC      lamport  puts the entries of all stations into one order
  uuid     name of the entry

Keys of a body that end in Us are times in microseconds since 1970-01-01T00:00:00Z: when it happened, where that is not when
it was written. data/histories tells the same in sentences, sample by sample.

A station's chain is signed with its own key (Ed25519, RFC 8032; the public half is told in its first entry or in a
"key announced"). What is signed are three lines, each ended by a line feed: "holdfast ledger head 1", the station's name,
"seq hash". Any Ed25519 library verifies signatures.txt; the script leaves that out to need nothing but Python.

So a changed, removed, added or exchanged entry breaks the chain at that place, and an entry cut off at the end
disagrees with heads.txt. The SHA-256 of heads.txt (sha256sum heads.txt) is the ledger's head: it stands on the
printed custody sheets, and in bag-info.txt of this package as an External-Identifier "ledger-head:...".
)";

const char *const script = R"PY(#!/usr/bin/env python3
"""Verifies ledger.txt and heads.txt beside this script; needs Python 3 and nothing else."""
import hashlib, json, os, sys

here = os.path.dirname(os.path.abspath(__file__))
zero = "0" * 64
last = {}    # station -> (seq, hash)
faults = []
count = 0
with open(os.path.join(here, "ledger.txt"), "rb") as ledger:
    for number, line in enumerate(ledger, 1):
        stated, _, canonical = line.rstrip(b"\n").partition(b" ")
        stated = stated.decode("ascii", "replace")
        count += 1
        if hashlib.sha256(canonical).hexdigest() != stated:
            faults.append(f"line {number}: the entry was changed (its SHA-256 differs)")
            continue
        entry = json.loads(canonical)
        station = entry["station"]
        seq, prev = last.get(station, (0, zero))
        if entry["seq"] != seq + 1:
            faults.append(f"line {number}: station {station}: entry {seq + 1} is missing or out of order")
        elif entry["prev"] != prev:
            faults.append(f"line {number}: station {station}: entry {entry['seq']} does not follow the one before")
        last[station] = (entry["seq"], stated)

heads = {}
with open(os.path.join(here, "heads.txt"), "rb") as file:
    text = file.read()
for line in text.decode("utf-8").splitlines():
    station, seq, head = line.rsplit(" ", 2)
    heads[station] = (int(seq), head)
for station in sorted(set(heads) | set(last)):
    if heads.get(station) != last.get(station):
        faults.append(f"station {station}: heads.txt says {heads.get(station)}, ledger.txt ends at {last.get(station)}")

for fault in faults:
    print("FAULT", fault)
print(f"{count} entries of {len(last)} station(s): " + ("the ledger does NOT hold" if faults else "the ledger holds"))
print("head", hashlib.sha256(text).hexdigest())
sys.exit(1 if faults else 0)
)PY";

} // namespace

QByteArray ledgerLine(const Entry &entry)
{
    return entry.hash.toLatin1() + ' ' + canonicalEntry(entry) + '\n';
}

Result<Entry> readLedgerLine(const QByteArray &line)
{
    const qsizetype blank = line.indexOf(' ');
    if (blank != 64)
        return badLine(QStringLiteral("it does not begin with a hash of 64 digits and a blank"));
    const QByteArray canonical = line.mid(blank + 1);
    QJsonParseError wrong;
    const QJsonDocument json = QJsonDocument::fromJson(canonical, &wrong);
    if (!json.isObject())
        return badLine(QStringLiteral("it holds no JSON object (%1)").arg(wrong.errorString()));
    const QJsonObject o = json.object();
    const auto text = [&o](const char *key) { return o.value(QLatin1String(key)).toString(); };
    const auto written = parseIsoUtc(text("time").toStdString());
    auto body = canonicalJson(o.value(QStringLiteral("body")));
    if (!written || !body)
        return badLine(written ? body.error().sentence : QStringLiteral("its time can't be read"));
    Entry e;
    e.station = text("station");
    e.seq = o.value(QStringLiteral("seq")).toInteger();
    e.lamport = o.value(QStringLiteral("lamport")).toInteger();
    e.uuid = text("uuid");
    e.timeUs = microsecondsOf(*written);
    e.actor = text("actor");
    e.verb = text("verb");
    e.body = QString::fromUtf8(*body);
    e.prev = text("prev");
    e.hash = QString::fromLatin1(line.left(64));
    if (canonicalEntry(e) != canonical)
        return badLine(
            QStringLiteral("entry %1 of station %2 is not in canonical form").arg(e.seq).arg(e.station));
    if (sha256Hex(canonical) != e.hash)
        return fail(ErrorKind::Tampered,
                    QStringLiteral("Entry %1 of station %2 was changed: its hash does not fit.")
                        .arg(e.seq)
                        .arg(e.station));
    return e;
}

QByteArray headsText(const QMap<QString, ChainHead> &heads)
{
    QByteArray out;
    for (const ChainHead &head : heads)
        out += head.station.toUtf8() + ' ' + QByteArray::number(head.seq) + ' ' + head.hash.toLatin1() + '\n';
    return out;
}

Result<QMap<QString, ChainHead>> readHeadsText(const QByteArray &text)
{
    QMap<QString, ChainHead> heads;
    for (const QByteArray &line : text.split('\n')) {
        if (line.isEmpty())
            continue;
        const QString l = QString::fromUtf8(line);
        bool number = false;
        const ChainHead head{l.section(QLatin1Char(' '), 0, -3),
                             l.section(QLatin1Char(' '), -2, -2).toLongLong(&number),
                             l.section(QLatin1Char(' '), -1)};
        if (!number || head.station.isEmpty() || head.hash.size() != 64)
            return badLine(QStringLiteral("\"%1\" among the heads is not \"station seq hash\"").arg(l));
        heads.insert(head.station, head);
    }
    return heads;
}

QByteArray signaturesText(const std::vector<HeadSignature> &signatures)
{
    QByteArray out;
    for (const HeadSignature &s : signatures)
        out += s.station.toUtf8() + ' ' + QByteArray::number(s.seq) + ' ' + s.hash.toLatin1() + ' ' +
               s.publicKey.toLatin1() + ' ' + s.signature.toLatin1() + '\n';
    return out;
}

Result<std::vector<HeadSignature>> readSignaturesText(const QByteArray &text)
{
    std::vector<HeadSignature> out;
    for (const QByteArray &line : text.split('\n')) {
        if (line.isEmpty())
            continue;
        const QString l = QString::fromUtf8(line);
        const auto part = [&l](int from, int to) { return l.section(QLatin1Char(' '), from, to); };
        bool number = false;
        const HeadSignature s{part(0, -5), part(-2, -2), part(-4, -4).toLongLong(&number), part(-3, -3),
                              part(-1, -1)};
        if (!number || s.station.isEmpty())
            return badLine(
                QStringLiteral("\"%1\" among the signatures is not \"station seq hash key signature\"")
                    .arg(l));
        out.push_back(s);
    }
    return out;
}

QByteArray verifyScript()
{
    return script;
}

Done writeLedgerText(PackageWriter &package, const Database &db)
{
    auto file = package.open(ledgerPath);
    if (!file)
        return file.error();
    auto written = forEachEntry(db, [&file](const Entry &e) { return file->write(ledgerLine(e)); });
    if (!written)
        return written;
    if (auto closed = file->close(); !closed)
        return closed.error();
    const auto heads = chainHeads(db);
    if (!heads)
        return heads.error();
    if (auto added = package.add(ledgerHeadsPath, headsText(*heads)); !added)
        return added;
    const auto signatures = headSignatures(db);
    if (!signatures)
        return signatures.error();
    if (auto added = package.add(ledgerSignaturesPath, signaturesText(*signatures)); !added)
        return added;
    if (auto added = package.add(ledgerReadmePath, readme); !added)
        return added;
    return package.add(ledgerScriptPath, verifyScript());
}

} // namespace holdfast
