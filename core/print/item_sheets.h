// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "print/custody_sheet.h"
#include "print/page_document.h"
#include "store/database.h"

#include <QStringList>

namespace holdfast
{

/// What the history of one sample, specimen or subsample says: how it is kept, everything the ledger tells of
/// it, amendments, ledger heads. `id` as typed or scanned.
[[nodiscard]] Result<CustodySheetContent> itemHistory(const Database &db, const QString &id,
                                                      const QString &printedBy, UtcTime printedAt);
[[nodiscard]] Result<PageDocument> itemHistorySheet(const Database &db, const QString &id,
                                                    const QString &layout, const QString &printedBy,
                                                    UtcTime printedAt);

/// A hand-over of these samples and specimens, to be signed on paper: a row each and an empty block. Nothing
/// about the receiver is filled in.
[[nodiscard]] Result<CustodySheetContent> handOverToSign(const Database &db, const QStringList &ids,
                                                         const QString &printedBy, UtcTime printedAt);
/// A hand-over as it was recorded, by its code or uuid: who gave, who received what, when and in which
/// condition; what is not answered yet has an empty block to sign.
[[nodiscard]] Result<CustodySheetContent> recordedHandOver(const Database &db, const QString &code,
                                                           const QString &printedBy, UtcTime printedAt);
/// The sheet of either: one code, or ids.
[[nodiscard]] Result<PageDocument> handOverSheet(const Database &db, const QStringList &ids,
                                                 const QString &layout, const QString &printedBy,
                                                 UtcTime printedAt);

} // namespace holdfast
