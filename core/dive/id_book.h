// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "ledger/entry.h"
#include "store/database.h"

#include <QHash>
#include <QStringList>
#include <vector>

namespace holdfast
{

/// Which thing each id means once several stations have given ids. The UUID is the identity, the id is for
/// people: when two stations gave the same one, the first in the order of the ledger keeps it, the other
/// shows under a provisional one ("TK26-01-017-2") until a person gives it a new id. What a station wrote
/// about an id goes to the thing that station meant.
class IdBook
{
public:
    /// Read from the ledger alone; empty when only one station has written.
    [[nodiscard]] static Result<IdBook> fromLedger(const Database &ledger);

    /// The entry with the ids that its things have today; for projecting, no longer fit for hashing.
    [[nodiscard]] Entry resolved(const Entry &entry) const;

    struct Claim {
        QString uuid, station, entry; ///< `entry`: uuid of the one that gave the id
        QString shown;                ///< the id it has in the tables
        bool provisional = false;
    };
    /// What is known of a sample or specimen; all empty for a uuid that no entry has made.
    [[nodiscard]] Claim claimOf(const QString &uuid) const { return m_things.value(uuid).claim; }
    /// An id that was given more than once.
    struct Clash {
        QString id;
        std::vector<Claim> claims; ///< in the order of the ledger
    };
    /// Those whose things are not all told apart by a person yet.
    [[nodiscard]] std::vector<Clash> clashes() const;

private:
    struct Thing {
        Claim claim;
        QString id; ///< as it was given
        qint64 seq = 0;
        qint64 number = 0; ///< that it has in the tables
    };
    void enter(const Entry &entry);
    [[nodiscard]] QString meaning(const QString &id, const Entry &by, const QJsonObject &said) const;
    [[nodiscard]] QJsonValue translated(const QJsonValue &value, const Entry &by,
                                        const QJsonObject &said) const;

    struct NewId {
        QString id;
        qint64 number = 0;
    };
    QHash<QString, NewId> m_newIds;      ///< by uuid
    QHash<QString, Thing> m_things;      ///< by uuid
    QHash<QString, QStringList> m_given; ///< uuids by the id that was given, in order
    QHash<QString, QString> m_shown;     ///< uuid by the id it has
    QStringList m_order;                 ///< ids in the order they were first given
    qint64 m_provisional = 0;
    bool m_plain = true; ///< every thing has the id it was given
};

/// Numbers from here on are provisional: of things whose number another station had given as well.
inline constexpr qint64 provisionalNumbers = 900'000;

/// The key of an entry's body that says which thing each id in it means: {id: uuid}. Written by stations that
/// know of others.
inline const QString idsMean = QStringLiteral("idsMean");
/// The key that says how far the station had seen the other chains: {station: seq}. Written whenever that has
/// changed since its entry before.
inline const QString hasSeen = QStringLiteral("hasSeen");

/// {id: uuid} for every text of `body` that is the id of a sample or specimen.
[[nodiscard]] Result<QJsonObject> idsIn(const Database &db, const QJsonObject &body);

} // namespace holdfast
