// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/double_digest.h"

#include <QByteArray>
#include <QFile>
#include <openssl/evp.h>

namespace holdfast
{

namespace
{

constexpr qint64 summedAtOnce = qint64{1} << 20;
constexpr std::size_t mostWaiting = 8;

Result<QString> hexOf(evp_md_ctx_st *context)
{
    unsigned char sum[EVP_MAX_MD_SIZE];
    unsigned int length = 0;
    if (EVP_DigestFinal_ex(context, sum, &length) != 1)
        return fail(ErrorKind::Internal, QStringLiteral("The crypto library could not give a checksum."));
    const QByteArray bytes(reinterpret_cast<const char *>(sum), static_cast<qsizetype>(length));
    return QString::fromLatin1(bytes.toHex());
}

} // namespace

void DoubleDigest::FreeContext::operator()(evp_md_ctx_st *context) const
{
    EVP_MD_CTX_free(context);
}

DoubleDigest::DoubleDigest() : m_256(EVP_MD_CTX_new()), m_512(EVP_MD_CTX_new())
{
    m_sound = m_256 && m_512 && EVP_DigestInit_ex(m_256.get(), EVP_sha256(), nullptr) == 1 &&
              EVP_DigestInit_ex(m_512.get(), EVP_sha512(), nullptr) == 1;
}

DoubleDigest::~DoubleDigest()
{
    end();
}

void DoubleDigest::add(std::string_view bytes)
{
    m_bytes += static_cast<qint64>(bytes.size());
    if (!m_thread.joinable() && m_bytes <= summedAtOnce) {
        sum(bytes);
        return;
    }
    if (!m_thread.joinable())
        m_thread = std::thread(&DoubleDigest::run, this);
    std::unique_lock lock(m_mutex);
    m_changed.wait(lock, [this] { return m_waiting.size() < mostWaiting; });
    m_waiting.emplace_back(bytes);
    m_changed.notify_all();
}

void DoubleDigest::sum(std::string_view bytes)
{
    m_sound = m_sound && EVP_DigestUpdate(m_256.get(), bytes.data(), bytes.size()) == 1 &&
              EVP_DigestUpdate(m_512.get(), bytes.data(), bytes.size()) == 1;
}

void DoubleDigest::run()
{
    for (;;) {
        std::string piece;
        {
            std::unique_lock lock(m_mutex);
            m_changed.wait(lock, [this] { return m_ended || !m_waiting.empty(); });
            if (m_waiting.empty())
                return;
            piece = std::move(m_waiting.front());
            m_waiting.pop_front();
            m_changed.notify_all();
        }
        sum(piece);
    }
}

void DoubleDigest::end()
{
    if (!m_thread.joinable())
        return;
    {
        const std::scoped_lock lock(m_mutex);
        m_ended = true;
    }
    m_changed.notify_all();
    m_thread.join();
}

Result<FileSums> DoubleDigest::finish()
{
    end();
    if (!m_sound)
        return fail(ErrorKind::Internal, QStringLiteral("The crypto library could not sum the bytes."));
    const auto sha256 = hexOf(m_256.get());
    const auto sha512 = hexOf(m_512.get());
    if (!sha256 || !sha512)
        return sha256 ? sha512.error() : sha256.error();
    return FileSums{*sha256, *sha512, m_bytes};
}

Result<FileSums> sumsOfFile(const QString &path)
{
    QFile file(path);
    if (!file.open(QIODevice::ReadOnly))
        return fail(ErrorKind::Unreadable,
                    QStringLiteral("%1 can't be read: %2.").arg(path, file.errorString()));
    DoubleDigest digest;
    QByteArray piece(1 << 20, Qt::Uninitialized);
    for (;;) {
        const qint64 got = file.read(piece.data(), piece.size());
        if (got < 0)
            return fail(ErrorKind::Unreadable,
                        QStringLiteral("%1 can't be read: %2.").arg(path, file.errorString()));
        if (got == 0)
            return digest.finish();
        digest.add(std::string_view(piece.constData(), static_cast<std::size_t>(got)));
    }
}

} // namespace holdfast
