// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"
#include "feed/intake.h"
#include "feed/line_table.h"

#include <condition_variable>
#include <deque>
#include <memory>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

namespace holdfast
{

struct Digest {
    QString sha256; ///< 64 hexadecimal digits
    std::vector<PackedText> text;
};

/// A thread that takes the chunks of a log, hashes them and packs them while the caller parses the same
/// bytes. Chunks are shared and read-only. At most a few wait, so that the memory stays bounded.
class DigestWorker
{
public:
    explicit DigestWorker(char delimiter);
    ~DigestWorker();
    DigestWorker(const DigestWorker &) = delete;
    DigestWorker &operator=(const DigestWorker &) = delete;

    /// A piece of the log, and its table where the reader has made one.
    struct Chunk {
        std::shared_ptr<const std::string> text;
        std::shared_ptr<const LineTable> table;
    };

    /// Hands over the next chunk; waits while too many are on their way.
    void take(Chunk chunk);
    /// Waits for the end of the work and gives its result.
    [[nodiscard]] Result<Digest> finish();

private:
    void run();
    void stop();

    std::mutex m_mutex;
    std::condition_variable m_changed;
    std::deque<Chunk> m_waiting; // guarded by m_mutex
    bool m_ended = false;        // guarded by m_mutex
    char m_delimiter;
    Result<Digest> m_result; ///< the thread's own until it has ended
    std::thread m_thread;    ///< last, so that it starts when all else is there
};

} // namespace holdfast
