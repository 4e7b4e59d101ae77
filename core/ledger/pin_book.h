// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"
#include "base/utc_time.h"

#include <QJsonObject>

namespace holdfast
{

/// The PINs by which people confirm at one station. Only their argon2id hashes are kept (RFC 9106, by
/// libsodium), in the station's own folder beside its key (stationFolder), readable by its owner only, never
/// in the cruise file: four digits can be tried out within minutes by anybody who has the hash, however slow
/// it is made, so the hash must not travel with the record. What an entry confirmed by PIN proves is that
/// this station, by its signature, says that the PIN set here for that person was typed; who can log in as
/// the station's account could write the same.
class PinBook
{
public:
    /// The book of the station with this public key; empty when nobody has set a PIN yet.
    [[nodiscard]] static Result<PinBook> open(const QString &publicKey);

    [[nodiscard]] bool has(const QString &person) const;

    /// Sets a person's first PIN, or another one when `old` is right. 4 to 12 digits, not all the same.
    [[nodiscard]] Done set(const QString &person, const QString &pin, const QString &old, UtcTime now);
    /// Takes a forgotten PIN away, so that a new one can be set; the caller puts that on record.
    [[nodiscard]] Done forget(const QString &person);

    /// Whether `pin` is the person's. Error NotFound when they have none; Refused when it is wrong, or when
    /// after five wrong ones in a row not enough time has passed: a minute, then twice as long each time, at
    /// most an hour. Takes about a tenth of a second and 64 MB: never on the thread of a window.
    [[nodiscard]] Done confirm(const QString &person, const QString &pin, UtcTime now);

private:
    explicit PinBook(QString path) : m_path(std::move(path)) {}
    [[nodiscard]] Done read();
    [[nodiscard]] Done keep() const;
    [[nodiscard]] Done check(const QString &person, const QString &pin, UtcTime now);

    QString m_path;
    QJsonObject m_people; ///< by name without capitals and needless blanks: hash, wrong (tries in a row), waitUntilUs
};

} // namespace holdfast
