// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/digest_worker.h"

#include "feed/sha256.h"
#include "feed/text_pack.h"

namespace holdfast
{

namespace
{

constexpr std::size_t mostWaiting = 4;

} // namespace

DigestWorker::DigestWorker(char delimiter) : m_delimiter(delimiter), m_thread([this] { run(); }) {}

DigestWorker::~DigestWorker()
{
    stop();
}

void DigestWorker::take(Chunk chunk)
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
    std::optional<Error> failed;
    while (true) {
        Chunk chunk;
        {
            std::unique_lock lock(m_mutex);
            m_changed.wait(lock, [this] { return m_ended || !m_waiting.empty(); });
            if (m_waiting.empty())
                break;
            chunk = std::move(m_waiting.front());
            m_waiting.pop_front();
            m_changed.notify_all();
        }
        sha.add(*chunk.text);
        if (chunk.text->empty() || failed)
            continue;
        Result<Bytes> packed =
            chunk.table ? packText(*chunk.text, *chunk.table) : packText(*chunk.text, m_delimiter);
        if (packed)
            digest.text.push_back({static_cast<std::int64_t>(chunk.text->size()), std::move(*packed)});
        else
            failed = packed.error();
    }
    const Result<QByteArray> sum = sha.finish();
    if (!sum || failed) {
        m_result = failed ? *failed : sum.error();
        return;
    }
    digest.sha256 = QString::fromLatin1(sum->toHex());
    m_result = std::move(digest);
}

} // namespace holdfast
