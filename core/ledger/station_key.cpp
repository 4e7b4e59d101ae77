// SPDX-License-Identifier: GPL-3.0-or-later
#include "ledger/station_key.h"

#include "ledger/chain.h"

#include <QDir>
#include <QFile>
#include <QFileInfo>
#include <QStandardPaths>
#include <fcntl.h>
#include <sodium.h>
#include <sys/stat.h>
#include <unistd.h>

namespace holdfast
{

namespace
{

static_assert(crypto_sign_SECRETKEYBYTES == 64);
constexpr qsizetype seedBytes = crypto_sign_SEEDBYTES;

/// libsodium must be started once; it may be called from any thread.
bool started()
{
    static const bool ok = sodium_init() >= 0;
    return ok;
}

QString keyFile(const QString &publicKey)
{
    return stationFolder(publicKey) + QStringLiteral("/key");
}

const unsigned char *bytesOf(const QByteArray &bytes)
{
    return reinterpret_cast<const unsigned char *>(bytes.constData());
}

Done makePrivateFolder(const QString &folder)
{
    const QByteArray path = QFile::encodeName(folder);
    if (!QDir().mkpath(QFileInfo(folder).path()) ||
        (mkdir(path.constData(), 0700) != 0 && !QFileInfo(folder).isDir()))
        return fail(ErrorKind::Unwritable,
                    QStringLiteral("The folder %1 for the station's key can't be made.").arg(folder));
    return {};
}

} // namespace

QString stationFolder(const QString &publicKey)
{
    QString base = qEnvironmentVariable("HOLDFAST_KEYS");
    if (base.isEmpty())
        base = QStandardPaths::writableLocation(QStandardPaths::GenericDataLocation) +
               QStringLiteral("/holdfast/stations");
    return base + QLatin1Char('/') + publicKey;
}

Done writePrivateFile(const QString &path, const QByteArray &bytes)
{
    if (auto done = makePrivateFolder(QFileInfo(path).path()); !done)
        return done;
    const QByteArray name = QFile::encodeName(path);
    const int fd = ::open(name.constData(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, S_IRUSR | S_IWUSR);
    if (fd < 0)
        return fail(errno == EEXIST ? ErrorKind::Duplicate : ErrorKind::Unwritable,
                    QStringLiteral("%1 can't be made: %2.").arg(path, qt_error_string(errno)));
    const auto put = ::write(fd, bytes.constData(), static_cast<std::size_t>(bytes.size()));
    const bool written = put == bytes.size() && ::fsync(fd) == 0;
    const int why = put >= 0 && put < bytes.size() ? ENOSPC : errno; // a write cut short gives no reason
    if (::close(fd) == 0 && written)
        return {};
    QFile::remove(path);
    return fail(ErrorKind::Unwritable,
                QStringLiteral("%1 can't be written: %2.").arg(path, qt_error_string(why)));
}

Result<QByteArray> readPrivateFile(const QString &path)
{
    QFile file(path);
    if (!file.exists())
        return fail(ErrorKind::NotFound, QStringLiteral("There is no file %1.").arg(path));
    const QFile::Permissions others =
        QFile::ReadGroup | QFile::WriteGroup | QFile::ReadOther | QFile::WriteOther;
    if (file.permissions() & others)
        return fail(ErrorKind::Refused,
                    QStringLiteral("Others on this computer can read or change %1; take that right from them "
                                   "(chmod 600) and think about who could have copied it.")
                        .arg(path));
    if (!file.open(QIODevice::ReadOnly))
        return fail(ErrorKind::Unreadable,
                    QStringLiteral("%1 can't be read: %2.").arg(path, file.errorString()));
    return file.readAll();
}

Result<StationKey> StationKey::fromSeed(const QByteArray &seed)
{
    StationKey key;
    QByteArray open(crypto_sign_PUBLICKEYBYTES, '\0');
    if (!started() || seed.size() != seedBytes ||
        crypto_sign_seed_keypair(reinterpret_cast<unsigned char *>(open.data()), key.m_secret.data(),
                                 bytesOf(seed)) != 0)
        return fail(ErrorKind::Internal, QStringLiteral("The crypto library could not make a key."));
    key.m_publicKey = QString::fromLatin1(open.toHex());
    return key;
}

Result<StationKey> StationKey::make()
{
    if (!started())
        return fail(ErrorKind::Internal, QStringLiteral("The crypto library could not be started."));
    QByteArray seed(seedBytes, '\0');
    randombytes_buf(seed.data(), static_cast<std::size_t>(seed.size()));
    auto key = fromSeed(seed);
    QByteArray text = seed.toHex() + '\n';
    const Done kept = key ? writePrivateFile(keyFile(key->publicKey()), text) : Done(key.error());
    for (QByteArray *secret : {&seed, &text})
        sodium_memzero(secret->data(), static_cast<std::size_t>(secret->size()));
    if (!kept)
        return kept.error();
    return key;
}

Result<StationKey> StationKey::load(const QString &publicKey)
{
    auto text = readPrivateFile(keyFile(publicKey));
    if (!text)
        return text.error();
    auto seed = QByteArray::fromHex(text->trimmed());
    auto key = fromSeed(seed);
    for (QByteArray *secret : {&seed, &*text})
        sodium_memzero(secret->data(), static_cast<std::size_t>(secret->size()));
    if (key && key->publicKey() == publicKey)
        return key;
    return fail(ErrorKind::Malformed,
                QStringLiteral("%1 does not hold the key it should.").arg(keyFile(publicKey)));
}

StationKey::StationKey(StationKey &&other) noexcept
    : m_secret(other.m_secret), m_publicKey(std::move(other.m_publicKey))
{
    sodium_memzero(other.m_secret.data(), other.m_secret.size());
}

StationKey &StationKey::operator=(StationKey &&other) noexcept
{
    std::swap(m_secret, other.m_secret);
    std::swap(m_publicKey, other.m_publicKey);
    return *this;
}

StationKey::~StationKey()
{
    sodium_memzero(m_secret.data(), m_secret.size());
}

QString StationKey::sign(const QByteArray &message) const
{
    QByteArray signature(crypto_sign_BYTES, '\0');
    crypto_sign_detached(reinterpret_cast<unsigned char *>(signature.data()), nullptr, bytesOf(message),
                         static_cast<unsigned long long>(message.size()), m_secret.data());
    return QString::fromLatin1(signature.toHex());
}

void StationKey::discard() const
{
    QFile::remove(keyFile(m_publicKey));
    QDir().rmdir(stationFolder(m_publicKey));
}

bool signatureHolds(const QString &publicKey, const QByteArray &message, const QString &signature)
{
    const QByteArray key = QByteArray::fromHex(publicKey.toLatin1());
    const QByteArray sum = QByteArray::fromHex(signature.toLatin1());
    // One spelling only: a changed digit that means the same bytes would otherwise go unseen.
    return started() && key.size() == crypto_sign_PUBLICKEYBYTES && sum.size() == crypto_sign_BYTES &&
           QString::fromLatin1(key.toHex()) == publicKey && QString::fromLatin1(sum.toHex()) == signature &&
           crypto_sign_verify_detached(bytesOf(sum), bytesOf(message),
                                       static_cast<unsigned long long>(message.size()), bytesOf(key)) == 0;
}

QString keyMark(const QString &publicKey)
{
    return shortHash(publicKey);
}

} // namespace holdfast
