// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/progress.h"
#include "base/utc_time.h"
#include "ledger/entry.h"
#include "ledger/signature.h"

#include <QMap>
#include <optional>
#include <vector>

namespace holdfast
{

/// A stretch of one station's chain, from behind entry `after` up to the signed head.
struct ChainPart {
    QString station;
    qint64 after = 0; ///< the last entry before the stretch; 0 when it begins with the first
    QString afterHash;
    ChainHead head;
    std::vector<HeadSignature> signatures;
    std::vector<Entry> entries; ///< after + 1 … head.seq
};

/// What one station gives to others: README.md of this folder tells the form of the file.
struct ExchangeFile {
    QString cruiseUuid, cruiseCode;
    QString from; ///< the station that wrote it
    UtcTime made{};
    std::vector<ChainPart> chains; ///< by station
};

/// How far a station had each chain when it wrote the last of its entries that has come here; what it took in
/// since, and has not answered with an entry, is not known here.
[[nodiscard]] Result<QMap<QString, qint64>> entriesKnownTo(const Database &db, const QString &station);

/// All that the file has, or, for a station that is known, what it had not seen when it was last heard of.
[[nodiscard]] Result<ExchangeFile> gatherExchange(const Database &db, const QString &from, UtcTime now,
                                                  const std::optional<QString> &forStation = {});

/// As the bytes of a file, and back. Reading checks that nothing is missing, doubled, out of order or
/// changed; the sentence of an error names the first bad entry. Whether the chains continue those of a cruise
/// file and who signed them is for takeIn (take_in.h).
[[nodiscard]] Result<QByteArray> exchangeBytes(const ExchangeFile &exchange);
[[nodiscard]] Result<ExchangeFile> readExchange(const QByteArray &bytes, const QString &name,
                                                const Progress &progress = {});

/// Writes the file whole or not at all, in the place of an earlier one.
[[nodiscard]] Done writeExchangeFile(const QString &path, const ExchangeFile &exchange);
[[nodiscard]] Result<ExchangeFile> readExchangeFile(const QString &path, const Progress &progress = {});

} // namespace holdfast
