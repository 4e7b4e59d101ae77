// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "ledger/ledger_store.h"
#include "ledger/station_key.h"
#include "store/database.h"

#include <QHash>
#include <functional>
#include <optional>
#include <utility>

namespace holdfast
{

/// Puts one entry into the tables that screens read. Looks at nothing but the entry and those tables, so that
/// they can be dropped and made again from the ledger.
using Projector = Done (*)(const Database &, const Entry &);
/// A projector for each verb. Each domain gives its own; the program joins them.
using VerbRules = QHash<QString, Projector>;

/// Who acts, and when it is written down. Time comes from the caller, never from a clock in here.
struct Act {
    QString person;
    UtcTime now{};
};

/// An open cruise file: the one door through which people's actions get in. An action runs in `write`, checks
/// what it needs, and records entries; each goes to the ledger and into the tables in the same transaction.
/// Belongs to the thread that opened it.
class CruiseFile
{
public:
    /// Makes a new cruise file; its first entries say which cruise this is, which station writes and with
    /// which key, which is made now.
    [[nodiscard]] static Result<CruiseFile> create(const QString &path, const QString &cruiseCode,
                                                   const QString &station, const Act &act,
                                                   const VerbRules &rules);
    [[nodiscard]] static Result<CruiseFile> open(const QString &path, Database::Access access,
                                                 const VerbRules &rules);

    /// Makes a copy of a cruise file, at `path`, into a station of its own: `name` with a chain and a key of
    /// its own, which gives samples the numbers from `numbersFrom` on (0: the first block that is free).
    /// Refused when the name is taken.
    [[nodiscard]] static Result<CruiseFile> becomeStation(const QString &path, const QString &name,
                                                          const Act &act, int numbersFrom,
                                                          const VerbRules &rules);

    [[nodiscard]] const Database &db() const { return m_db; }
    [[nodiscard]] Database &db() { return m_db; }
    [[nodiscard]] const QString &station() const { return m_station; }
    [[nodiscard]] const VerbRules &rules() const { return m_rules; }

    /// Runs `action` in one write transaction. Durable when it returns without an error; nothing happened
    /// otherwise.
    template <typename F>
    [[nodiscard]] auto write(F action) -> decltype(action())
    {
        auto transaction = Transaction::begin(m_db.connection());
        if (!transaction)
            return transaction.error();
        const WriteGuard guard(*this);
        auto result = action();
        if (!result)
            return result;
        if (auto done = signRecorded(); !done)
            return done.error();
        if (auto ended = transaction->commit(); !ended)
            return ended.error();
        m_keyIsNew = false;
        return result;
    }

    /// Appends an entry and projects it. Only inside `write`, which signs the chain before it commits. Error
    /// Refused when this computer does not hold the station's key: a copy of a file must not go on writing as
    /// the station it was copied from.
    [[nodiscard]] Result<Entry> record(const Act &act, const QString &verb, const QJsonObject &body);

    /// Announces a new key for the station: the computer with the old one is lost. Others will ask before
    /// they trust it.
    [[nodiscard]] Done renewKey(const Act &act, const QString &reason);

private:
    CruiseFile(Database db, QString station, VerbRules rules)
        : m_db(std::move(db)), m_station(std::move(station)), m_rules(std::move(rules))
    {
    }

    /// A key made in a transaction goes again when that does not come through.
    class WriteGuard
    {
    public:
        explicit WriteGuard(CruiseFile &file) : m_file(file) { file.m_recorded = false; }
        WriteGuard(const WriteGuard &) = delete;
        WriteGuard &operator=(const WriteGuard &) = delete;
        ~WriteGuard() { m_file.discardNewKey(); }

    private:
        CruiseFile &m_file;
    };

    [[nodiscard]] Done makeKey();
    [[nodiscard]] Done readyKey(const Act &act);
    [[nodiscard]] Result<Entry> append(const Act &act, const QString &verb, const QJsonObject &body);
    [[nodiscard]] Result<QJsonObject> amongStations(QJsonObject body);
    [[nodiscard]] Done signRecorded();
    void discardNewKey();

    Database m_db;
    QString m_station;
    VerbRules m_rules;
    QString m_publicKey;             ///< empty when the station has not announced one yet
    QString m_keyBefore;             ///< the one it had before m_key, while that is new
    std::optional<StationKey> m_key; ///< read when it is first needed
    bool m_keyIsNew = false;
    bool m_recorded = false;
};

/// Puts one entry into the tables by the rule for its verb; an unknown verb is an error.
[[nodiscard]] Done project(const Database &db, const Entry &entry, const VerbRules &rules);

/// Empties all projection tables and fills them again from the ledger, in one transaction.
[[nodiscard]] Done rebuildTables(CruiseFile &file);

/// Compares the tables with what the ledger makes of them (rebuilt in memory; the file is only read).
/// @return one sentence for each table that differs: "sample: 1 row differs from the ledger (TK26-04-017)".
[[nodiscard]] Result<QStringList> compareTablesWithLedger(const Database &db, const VerbRules &rules);

/// The head hash of the ledger as it is printed on papers.
[[nodiscard]] Result<QString> ledgerHead(const Database &db);

/// A station's name: 1 to 40 letters, digits, blanks, '-' and '_'.
[[nodiscard]] Done checkStationName(const QString &name);
/// A person's name: not empty, one line, at most 200 characters.
[[nodiscard]] Done checkPersonName(const QString &name);

} // namespace holdfast
