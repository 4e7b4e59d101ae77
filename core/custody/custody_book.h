// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/custody_chain.h"
#include "store/database.h"

#include <QHash>
#include <QStringList>

namespace holdfast
{

/// What the file says about the custody of items, ready for custodyChain(). A snapshot.
class CustodyBook
{
public:
    /// Of every item in the file.
    [[nodiscard]] static Result<CustodyBook> readAll(const Database &db);
    /// Of one item (its plain id) and those it was split from.
    [[nodiscard]] static Result<CustodyBook> readOf(const Database &db, const QString &id);

    struct Kept {
        QString id, sample, parent; ///< parent: empty for a sample
        int dive = 0;
        UtcTime split{};
        int splitOrder = 0;
        std::vector<CustodyEvent> own;
    };
    [[nodiscard]] const QStringList &ids() const { return m_ids; } ///< in order of id
    [[nodiscard]] const Kept *item(const QString &id) const;
    /// A part follows its parent until it was split off. Its findings are only those of its own events.
    [[nodiscard]] CustodyChain chainOf(const QString &id) const;
    /// Dives with samples and no custodian at all.
    [[nodiscard]] const QList<int> &divesWithoutCustodian() const { return m_without; }

private:
    [[nodiscard]] static Result<CustodyBook> read(const Database &db, const QString &sample);
    [[nodiscard]] std::vector<CustodyEvent> eventsOf(const QString &id) const;

    QHash<QString, Kept> m_items;
    QStringList m_ids;
    QList<int> m_without;
};

/// Who has an item now. Empty holder: nobody is recorded.
[[nodiscard]] Result<CustodyPeriod> custodyNow(const Database &db, const QString &id);

} // namespace holdfast
