// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/sha256.h"
#include "ledger/entry.h"

#include <QString>
#include <optional>
#include <string>
#include <string_view>

namespace holdfast
{

/// An entry as the bytes that are stored or sent (UTF-8), not copied; the fields are those of Entry.
struct StoredEntry {
    std::string_view station;
    qint64 seq = 0;
    qint64 lamport = 0;
    std::string_view uuid;
    qint64 timeUs = 0;
    std::string_view actor, verb, body, prev, hash;
};

/// The bytes of an entry in memory, as they would be stored.
class EntryBytes
{
public:
    explicit EntryBytes(const Entry &entry);
    [[nodiscard]] StoredEntry stored() const; ///< valid as long as this object

private:
    QByteArray m_station, m_uuid, m_actor, m_verb, m_body, m_prev, m_hash;
    qint64 m_seq, m_lamport, m_timeUs;
};

/// The canonical form of an entry (canonical.h) from its stored bytes, put into `out`. False when the time
/// lies outside the years 0 to 9999, which no entry can have.
[[nodiscard]] bool writeCanonicalEntry(const StoredEntry &entry, std::string &out);

/// Appends `text` as a JSON string in canonical form (RFC 8785); bytes above 0x7f go in as they are.
void appendCanonicalString(std::string &out, std::string_view text);

/// Follows one chain entry by entry, from its beginning or from a place where it is known to be good.
class ChainCheck
{
public:
    /// From the first entry on.
    ChainCheck();
    /// From the entry after `seq`, whose hash and lamport are known.
    ChainCheck(qint64 seq, std::string_view hash, qint64 lamport);

    /// Takes the next entry. @return why it can't stand there, in words; nothing when it can.
    [[nodiscard]] std::optional<QString> add(const StoredEntry &entry);

    [[nodiscard]] qint64 seq() const { return m_seq; }
    [[nodiscard]] const std::string &hash() const { return m_hash; }
    [[nodiscard]] qint64 lamport() const { return m_lamport; }

private:
    qint64 m_seq = 0;
    std::string m_hash;
    qint64 m_lamport = 0;
    Sha256 m_sha;
    std::string m_canonical;
};

} // namespace holdfast
