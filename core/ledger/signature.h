// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "ledger/chain.h"
#include "ledger/station_key.h"
#include "store/database.h"

#include <QJsonObject>
#include <vector>

namespace holdfast
{

/// A station's key vouching for its chain up to an entry, and so, through the hashes, for every entry before.
struct HeadSignature {
    QString station;
    QString publicKey;
    qint64 seq = 0;
    QString hash;
    QString signature;

    [[nodiscard]] bool holds() const;
};

/// What is signed, UTF-8: "holdfast ledger head 1\n<station>\n<seq> <hash>\n". The first line keeps a
/// signature from ever meaning anything else.
[[nodiscard]] QByteArray headMessage(const ChainHead &head);

/// Signs the head that the station's chain has now and keeps the signature. Inside the caller's transaction.
[[nodiscard]] Done signHead(const Database &db, const QString &station, const StationKey &key);
[[nodiscard]] Done keepSignature(const Database &db, const HeadSignature &signature);
/// All of the file, or those of one station.
[[nodiscard]] Result<std::vector<HeadSignature>> headSignatures(const Database &db,
                                                                const QString &station = {});

/// The verbs whose entries may tell the station's public key (`publicKey` in the body); the last one told
/// counts.
inline const QString stationJoinedVerb = QStringLiteral("station joined");
inline const QString keyAnnouncedVerb = QStringLiteral("key announced");
inline const QString publicKeyName = QStringLiteral("publicKey");

/// A key as its station announced it: from entry `seq` on its chain is signed.
struct AnnouncedKey {
    qint64 seq = 0;
    QString publicKey;
};

/// Checks the signatures of one station against what it announced (in order) and its head; `hashAt` gives the
/// hash of an entry of its chain, empty when there is none.
[[nodiscard]] std::vector<ChainFault> checkSignatures(const ChainHead &head,
                                                      const std::vector<AnnouncedKey> &keys,
                                                      const std::vector<HeadSignature> &signatures,
                                                      const std::function<QString(qint64)> &hashAt);

} // namespace holdfast
