// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "handoff/package_writer.h"

#include <QSqlDatabase>
#include <QStringList>
#include <array>
#include <optional>
#include <vector>

namespace holdfast
{

/// One sample or specimen of a programme, as the index knows it.
struct IndexedItem {
    QString id, cruise, parent; ///< parent is empty for a sample
    int dive = 0;
    QString kind, family, name, description, place; ///< name: last identification; place: last storage
    QString state, package;
    std::optional<UtcTime> time;
    std::optional<double> latitudeDeg, longitudeDeg, depthM;
};

/// What to look for; everything that is set must hold.
struct IndexQuestion {
    QString words; ///< each word, or its beginning, in id, kind, name, description or place
    QString cruise, family;
    std::optional<UtcTime> from, to;
    std::optional<double> shallowestM, deepestM;
    /// West, south, east, north in degrees; west greater than east goes about the antimeridian.
    std::optional<std::array<double, 4>> box;
    int limit = 50;
    QString afterId; ///< the last id of the page before: pages go by id
};

struct IndexPage {
    std::vector<IndexedItem> items; ///< in order of id
    bool more = false;              ///< there is a next page
};

/// A programme's index over many cruises: an SQLite file of its own, made from hand-off packages and from
/// cruises that are still under way, never a source itself; it can be thrown away and made again. Belongs to
/// the thread that opened it.
class CruiseIndex
{
public:
    /// Opens an index; makes one when there is none and `make` is set. Malformed when it is no index.
    [[nodiscard]] static Result<CruiseIndex> open(const QString &path, bool make);
    CruiseIndex(CruiseIndex &&other) noexcept;
    CruiseIndex &operator=(CruiseIndex &&) = delete;
    CruiseIndex(const CruiseIndex &) = delete;
    CruiseIndex &operator=(const CruiseIndex &) = delete;
    ~CruiseIndex();

    /// Takes a package in (folder or zip), or a cruise file that is only read; what the index had of the same
    /// cruise is replaced, but a later version is kept when a package is earlier (Refused). The package must
    /// be a valid bag. @return the number of items.
    [[nodiscard]] Result<int> add(const QString &package, const JobControl &job);
    [[nodiscard]] Result<IndexPage> find(const IndexQuestion &question) const;
    [[nodiscard]] Result<qint64> count() const;

    /// Puts items of one cruise in, in place of those it had: for add(), and for measuring. `uuid` is the
    /// cruise's own, of which the code is only the name. Refused when the index has another cruise of this
    /// code.
    [[nodiscard]] Done put(const QString &cruise, int version, const QString &packageName,
                           const std::vector<IndexedItem> &items, const QString &uuid = {});

private:
    [[nodiscard]] Result<bool> isReady(const QString &path) const;
    [[nodiscard]] Done makeTables(const QString &path);
    /// Inside put().
    [[nodiscard]] Done keepIdentity(const QString &cruise, const QString &uuid, const QString &packageName);
    [[nodiscard]] Result<int> addPackage(const QString &package, const JobControl &job);
    [[nodiscard]] Result<int> addCruiseFile(const QString &file, const JobControl &job);
    explicit CruiseIndex(QSqlDatabase connection, QString name)
        : m_connection(std::move(connection)), m_name(std::move(name))
    {
    }
    QSqlDatabase m_connection;
    QString m_name;
};

} // namespace holdfast
