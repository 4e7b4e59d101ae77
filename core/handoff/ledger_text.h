// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/package_writer.h"
#include "ledger/chain.h"
#include "ledger/entry.h"
#include "ledger/signature.h"
#include "store/database.h"

namespace holdfast
{

// The ledger as text. One line an entry: its hash (64 small hexadecimal digits), a blank, and the canonical
// form whose SHA-256 that is (core/ledger/README.md). Entries stand in the order that every copy agrees on.
// The heads stand beside it, one line "station seq hash" a station, in order of name: the SHA-256 of that
// file is the head that papers carry. signatures.txt has one line "station seq hash key signature" for each
// key that signed a head (Ed25519; core/ledger/README.md says what is signed).

inline const QString ledgerPath = QStringLiteral("data/ledger/ledger.txt");
inline const QString ledgerHeadsPath = QStringLiteral("data/ledger/heads.txt");
inline const QString ledgerSignaturesPath = QStringLiteral("data/ledger/signatures.txt");
inline const QString ledgerReadmePath = QStringLiteral("data/ledger/README.txt");
inline const QString ledgerScriptPath = QStringLiteral("data/ledger/verify_ledger.py");

[[nodiscard]] QByteArray ledgerLine(const Entry &entry);
/// Error Malformed says what is wrong with the line; the hash is checked.
[[nodiscard]] Result<Entry> readLedgerLine(const QByteArray &line);

[[nodiscard]] QByteArray headsText(const QMap<QString, ChainHead> &heads);
[[nodiscard]] Result<QMap<QString, ChainHead>> readHeadsText(const QByteArray &text);

[[nodiscard]] QByteArray signaturesText(const std::vector<HeadSignature> &signatures);
[[nodiscard]] Result<std::vector<HeadSignature>> readSignaturesText(const QByteArray &text);

/// Writes ledger, heads, signatures, their description and the script that verifies them without this
/// program.
[[nodiscard]] Done writeLedgerText(PackageWriter &package, const Database &db);

/// The script, Python 3 without further packages.
[[nodiscard]] QByteArray verifyScript();

} // namespace holdfast
