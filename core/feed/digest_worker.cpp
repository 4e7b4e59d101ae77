// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/digest_worker.h"

#include <array>
#include <openssl/evp.h>

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

constexpr std::size_t mostWaiting = 4;

struct FreeContext {
    void operator()(EVP_MD_CTX *context) const { EVP_MD_CTX_free(context); }
};

/// SHA-256 (FIPS 180-4) by the system's crypto library, which uses the processor's own instructions.
class Sha256
{
public:
    Sha256() : m_context(EVP_MD_CTX_new())
    {
        m_sound = m_context && EVP_DigestInit_ex(m_context.get(), EVP_sha256(), nullptr) == 1;
    }
    void add(const std::string &bytes)
    {
        m_sound = m_sound && EVP_DigestUpdate(m_context.get(), bytes.data(), bytes.size()) == 1;
    }
    [[nodiscard]] Result<QString> hex()
    {
        std::array<unsigned char, EVP_MAX_MD_SIZE> sum{};
        unsigned int size = 0;
        m_sound = m_sound && EVP_DigestFinal_ex(m_context.get(), sum.data(), &size) == 1;
        if (!m_sound)
            return fail(ErrorKind::Internal, u"The crypto library could not compute a SHA-256 sum."_s);
        const QByteArray bytes(reinterpret_cast<const char *>(sum.data()), static_cast<qsizetype>(size));
        return QString::fromLatin1(bytes.toHex());
    }

private:
    std::unique_ptr<EVP_MD_CTX, FreeContext> m_context;
    bool m_sound = false;
};

} // namespace

DigestWorker::DigestWorker(char delimiter) : m_delimiter(delimiter), m_thread([this] { run(); }) {}

DigestWorker::~DigestWorker()
{
    stop();
}

void DigestWorker::take(std::shared_ptr<const std::string> chunk)
{
    std::unique_lock lock(m_mutex);
    m_changed.wait(lock, [this] { return m_waiting.size() < mostWaiting; });
    m_waiting.push_back(std::move(chunk));
    m_changed.notify_all();
}

void DigestWorker::stop()
{
    {
        const std::lock_guard lock(m_mutex);
        m_ended = true;
        m_changed.notify_all();
    }
    if (m_thread.joinable())
        m_thread.join();
}

Result<Digest> DigestWorker::finish()
{
    stop();
    return std::move(m_result);
}

void DigestWorker::run()
{
    Sha256 sha;
    Digest digest;
    while (true) {
        std::shared_ptr<const std::string> chunk;
        {
            std::unique_lock lock(m_mutex);
            m_changed.wait(lock, [this] { return m_ended || !m_waiting.empty(); });
            if (m_waiting.empty())
                break;
            chunk = std::move(m_waiting.front());
            m_waiting.pop_front();
            m_changed.notify_all();
        }
        sha.add(*chunk);
    }
    Result<QString> sum = sha.hex();
    if (!sum) {
        m_result = sum.error();
        return;
    }
    digest.sha256 = *sum;
    m_result = std::move(digest);
}

} // namespace holdfast
