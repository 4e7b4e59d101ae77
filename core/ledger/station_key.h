// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QByteArray>
#include <QString>
#include <array>

namespace holdfast
{

/// A station's Ed25519 key pair (RFC 8032, by libsodium). The private half never goes into a cruise file: it
/// lies in the station's own folder on the computer that made it, readable by its owner only.
class StationKey
{
public:
    /// A new key, kept on disk before it is given.
    [[nodiscard]] static Result<StationKey> make();
    /// The key whose public half is `publicKey` (64 hex digits). Error NotFound when this computer does not
    /// have it; Refused when others could read it; Malformed when the file does not hold that key.
    [[nodiscard]] static Result<StationKey> load(const QString &publicKey);
    StationKey(StationKey &&other) noexcept;
    StationKey &operator=(StationKey &&other) noexcept;
    StationKey(const StationKey &) = delete;
    StationKey &operator=(const StationKey &) = delete;
    ~StationKey();

    [[nodiscard]] const QString &publicKey() const { return m_publicKey; } ///< 64 small hex digits
    /// The signature of `message`, 128 small hex digits.
    [[nodiscard]] QString sign(const QByteArray &message) const;
    /// Takes a key back that was made for something that failed.
    void discard() const;

private:
    using Secret = std::array<unsigned char, 64>;
    StationKey() = default;
    [[nodiscard]] static Result<StationKey> fromSeed(const QByteArray &seed);
    Secret m_secret{};
    QString m_publicKey;
};

/// Whether `signature` (128 hex digits) of `message` was made with the private half of `publicKey`.
[[nodiscard]] bool signatureHolds(const QString &publicKey, const QByteArray &message,
                                  const QString &signature);

/// The folder of a station on this computer: `stations/<public key>` in the program's data folder of the
/// user's account, or in the folder that the environment variable HOLDFAST_KEYS names.
[[nodiscard]] QString stationFolder(const QString &publicKey);

/// A file only its owner may read: made new (Error Duplicate when it is there), on disk when this returns.
/// Its folder is made with the same care.
[[nodiscard]] Done writePrivateFile(const QString &path, const QByteArray &bytes);
/// Reads such a file; Error Refused when others could read it.
[[nodiscard]] Result<QByteArray> readPrivateFile(const QString &path);

/// The first 16 digits of a public key in groups of four, as people compare them.
[[nodiscard]] QString keyMark(const QString &publicKey);

} // namespace holdfast
