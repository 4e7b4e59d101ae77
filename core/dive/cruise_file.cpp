// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/cruise_file.h"

#include "base/ids.h"
#include "dive/act_steps.h"
#include "dive/id_book.h"
#include "dive/numbers.h"
#include "dive/one_line.h"
#include "dive/station_row.h"
#include "dive/verbs.h"
#include "ledger/canonical.h"
#include "ledger/signature.h"

#include <QFile>
#include <QRegularExpression>

namespace holdfast
{

namespace
{

/// The key that a station announced last; empty when it has announced none.
Result<QString> announcedKey(const Database &db, const QString &station)
{
    auto row =
        query(db.connection(), QStringLiteral("SELECT public_key FROM station WHERE name=?"), {station});
    if (!row)
        return row.error();
    return row->next() ? row->text(0) : QString();
}

} // namespace

Done checkStationName(const QString &name)
{
    static const QRegularExpression good(QStringLiteral("^[\\p{L}\\p{N}][\\p{L}\\p{N} _-]{0,39}\\z"),
                                         QRegularExpression::UseUnicodePropertiesOption);
    if (good.match(name).hasMatch())
        return {};
    return fail(ErrorKind::Usage,
                QStringLiteral(
                    "The station name \"%1\" can't be used: 1 to 40 letters, digits, blanks, - and _, as in "
                    "van, deck or wet lab.")
                    .arg(name));
}

Done checkPersonName(const QString &name)
{
    if (!name.trimmed().isEmpty() && isOneLine(name))
        return {};
    return fail(ErrorKind::Usage,
                QStringLiteral("A person's name is needed: one line, at most 200 characters."));
}

Result<CruiseFile> CruiseFile::create(const QString &path, const QString &cruiseCode, const QString &station,
                                      const Act &act, const VerbRules &rules)
{
    for (const Done &check :
         {checkCruiseCode(cruiseCode), checkStationName(station), checkPersonName(act.person)}) {
        if (!check)
            return check.error();
    }
    auto db = Database::create(path);
    if (!db)
        return db.error();
    CruiseFile file(std::move(*db), station, rules);
    const auto begun = file.write([&]() -> Done {
        if (auto made = file.makeKey(); !made)
            return made;
        if (auto done = execSql(file.db().connection(),
                                QStringLiteral("INSERT INTO installation VALUES ('station', ?)"), {station});
            !done)
            return done;
        auto opened = file.record(act, verb::cruiseOpened,
                                  {{QStringLiteral("code"), cruiseCode},
                                   {QStringLiteral("uuid"), newUuid()},
                                   {QStringLiteral("title"), QString()},
                                   {QStringLiteral("idPattern"), IdPattern::standard().text()}});
        if (!opened)
            return opened.error();
        auto joined = file.record(act, verb::stationJoined,
                                  {{QStringLiteral("name"), station}, {publicKeyName, file.m_publicKey}});
        if (!joined)
            return joined.error();
        return {};
    });
    if (!begun) {
        {
            const CruiseFile closing = std::move(file);
        }
        for (const char *tail : {"", "-wal", "-shm"})
            QFile::remove(path + QLatin1String(tail));
        return begun.error();
    }
    return file;
}

Result<CruiseFile> CruiseFile::open(const QString &path, Database::Access access, const VerbRules &rules)
{
    auto db = Database::open(path, access);
    if (!db)
        return db.error();
    auto station = stationOf(*db);
    if (!station)
        return station.error();
    const auto key = announcedKey(*db, *station);
    if (!key)
        return key.error();
    CruiseFile file(std::move(*db), *station, rules);
    file.m_publicKey = *key;
    return file;
}

Result<CruiseFile> CruiseFile::becomeStation(const QString &path, const QString &name, const Act &act,
                                             int numbersFrom, const VerbRules &rules)
{
    for (const Done &check : {checkStationName(name), checkPersonName(act.person)}) {
        if (!check)
            return check.error();
    }
    auto file = open(path, Database::Access::ReadWrite, rules);
    if (!file)
        return file;
    const auto heads = chainHeads(file->db());
    if (!heads)
        return heads.error();
    for (const ChainHead &head : *heads) {
        if (head.station.compare(name, Qt::CaseInsensitive) == 0)
            return fail(ErrorKind::Refused,
                        QStringLiteral("There is a station %1 already; give this one another name.")
                            .arg(head.station));
    }
    file->m_station = name;
    file->m_key.reset();
    const auto joined = file->write([&]() -> Done {
        if (auto made = file->makeKey(); !made)
            return made;
        const auto from = numbersFrom > 0 ? Result<int>(numbersFrom) : freeNumbersFrom(file->db(), name);
        if (!from)
            return from.error();
        if (auto done = execSql(file->db().connection(), QStringLiteral("DELETE FROM installation")); !done)
            return done;
        if (auto done = execSql(file->db().connection(),
                                QStringLiteral("INSERT INTO installation (key, value) VALUES ('station', ?)"),
                                {name});
            !done)
            return done;
        const auto entry = file->record(act, verb::stationJoined,
                                        {{QStringLiteral("name"), name},
                                         {publicKeyName, file->m_publicKey},
                                         {QStringLiteral("numbersFrom"), *from}});
        return entry ? Done() : Done(entry.error());
    });
    if (!joined)
        return joined.error();
    return file;
}

Done CruiseFile::renewKey(const Act &act, const QString &reason)
{
    if (auto given = wantReason(reason); !given)
        return given;
    m_key.reset();
    return write([&]() -> Done {
        if (auto made = makeKey(); !made)
            return made;
        const auto entry =
            record(act, keyAnnouncedVerb,
                   {{publicKeyName, m_publicKey}, {QStringLiteral("reason"), reason.trimmed()}});
        return entry ? Done() : Done(entry.error());
    });
}

Done CruiseFile::makeKey()
{
    auto made = StationKey::make();
    if (!made)
        return made.error();
    m_key.emplace(std::move(*made));
    m_keyBefore = std::exchange(m_publicKey, m_key->publicKey());
    m_keyIsNew = true;
    return {};
}

Done CruiseFile::readyKey(const Act &act)
{
    if (!m_recorded && !m_keyIsNew) {
        // Another program that has the file open may have announced a new one since the last transaction.
        const auto announced = announcedKey(m_db, m_station);
        if (!announced)
            return announced.error();
        if (*announced != m_publicKey) {
            m_key.reset();
            m_publicKey = *announced;
        }
    }
    if (m_key)
        return {};
    if (m_publicKey.isEmpty()) {
        const auto joined = hasJoined(m_db, m_station);
        if (!joined)
            return joined.error();
        if (!*joined)
            return fail(
                ErrorKind::Refused,
                QStringLiteral("This copy is for reading: its station \"%1\" never joined the cruise. "
                               "To write in it, make it a station of its own (holdfast station).")
                    .arg(m_station));
        // A file from before there were keys: the station announces one with its next entry.
        if (auto made = makeKey(); !made)
            return made;
        const auto announced = append(act, keyAnnouncedVerb, {{publicKeyName, m_publicKey}});
        return announced ? Done() : Done(announced.error());
    }
    auto loaded = StationKey::load(m_publicKey);
    if (loaded) {
        m_key.emplace(std::move(*loaded));
        return {};
    }
    if (loaded.error().kind != ErrorKind::NotFound)
        return loaded.error();
    return fail(
        ErrorKind::Refused,
        QStringLiteral("This file is that of station %1, whose key (%2) is not on this computer under "
                       "this account. Write where the station is, or make this copy a station of its "
                       "own (holdfast station).")
            .arg(m_station, keyMark(m_publicKey)));
}

Done CruiseFile::signRecorded()
{
    if (!m_recorded)
        return {};
    return signHead(m_db, m_station, *m_key);
}

void CruiseFile::discardNewKey()
{
    if (!m_keyIsNew)
        return;
    m_key->discard();
    m_key.reset();
    m_publicKey = m_keyBefore;
    m_keyIsNew = false;
}

Result<Entry> CruiseFile::record(const Act &act, const QString &verb, const QJsonObject &body)
{
    if (auto named = checkPersonName(act.person); !named)
        return named.error();
    if (auto ready = readyKey(act); !ready)
        return ready.error();
    return append(act, verb, body);
}

/// With other stations about, an entry says which things its ids mean and what the station had seen by then,
/// so that everybody can tell later whether two did something without knowing of each other.
Result<QJsonObject> CruiseFile::amongStations(QJsonObject body)
{
    auto heads = chainHeads(m_db);
    if (!heads)
        return heads.error();
    heads->remove(m_station);
    if (heads->isEmpty())
        return body;
    const auto ids = idsIn(m_db, body);
    if (!ids)
        return ids.error();
    if (!ids->isEmpty())
        body.insert(idsMean, *ids);
    QJsonObject seen;
    for (const ChainHead &head : *heads)
        seen.insert(head.station, head.seq);
    const auto text = canonicalJson(seen);
    if (!text)
        return text.error();
    auto told =
        query(m_db.connection(), QStringLiteral("SELECT value FROM installation WHERE key='has told'"));
    if (!told)
        return told.error();
    if (told->next() && told->text(0) == QString::fromUtf8(*text))
        return body;
    told->reset();
    if (auto done = execSql(m_db.connection(),
                            QStringLiteral("INSERT INTO installation (key, value) VALUES ('has told', ?) ON "
                                           "CONFLICT (key) DO UPDATE SET value=excluded.value"),
                            {QString::fromUtf8(*text)});
        !done)
        return done.error();
    body.insert(hasSeen, seen);
    return body;
}

Result<Entry> CruiseFile::append(const Act &act, const QString &verb, const QJsonObject &body)
{
    m_recorded = true;
    const auto whole = amongStations(body);
    if (!whole)
        return whole.error();
    auto entry = appendEntry(m_db, m_station, {act.person.simplified(), act.now, verb, *whole});
    if (!entry)
        return entry;
    if (auto done = project(m_db, *entry, m_rules); !done)
        return done.error();
    return entry;
}

Done project(const Database &db, const Entry &entry, const VerbRules &rules)
{
    const Projector rule = rules.value(entry.verb, nullptr);
    if (rule)
        return rule(db, entry);
    return fail(ErrorKind::Malformed,
                QStringLiteral("Entry %1 of station %2 says \"%3\", which this program does not "
                               "know.")
                    .arg(entry.seq)
                    .arg(entry.station, entry.verb));
}

Result<QString> ledgerHead(const Database &db)
{
    const auto heads = chainHeads(db);
    if (!heads)
        return heads.error();
    return ledgerHeadHash(*heads);
}

} // namespace holdfast
