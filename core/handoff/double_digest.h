// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QString>
#include <condition_variable>
#include <deque>
#include <memory>
#include <mutex>
#include <string>
#include <string_view>
#include <thread>

struct evp_md_ctx_st;

namespace holdfast
{

/// The two sums of a file in a package, small hexadecimal digits: SHA-256 and SHA-512 (FIPS 180-4), the two
/// that every BagIt 1.0 tool must know (RFC 8493 section 2.4).
struct FileSums {
    QString sha256;
    QString sha512;
    qint64 bytes = 0;
};

/// Both sums of bytes given in pieces. The first megabyte is summed at once; what follows is summed by a
/// thread of its own while the caller makes the next piece. At most a few pieces wait.
class DoubleDigest
{
public:
    DoubleDigest();
    ~DoubleDigest();
    DoubleDigest(const DoubleDigest &) = delete;
    DoubleDigest &operator=(const DoubleDigest &) = delete;

    void add(std::string_view bytes);
    /// Error Internal when the system's crypto library could not work.
    [[nodiscard]] Result<FileSums> finish();

private:
    struct FreeContext {
        void operator()(evp_md_ctx_st *context) const;
    };
    void sum(std::string_view bytes);
    void run();
    void end();

    std::unique_ptr<evp_md_ctx_st, FreeContext> m_256, m_512;
    bool m_sound = false;
    qint64 m_bytes = 0;
    std::mutex m_mutex;
    std::condition_variable m_changed;
    std::deque<std::string> m_waiting; // guarded by m_mutex
    bool m_ended = false;              // guarded by m_mutex
    std::thread m_thread;
};

/// Both sums of a file on disk. Error Unreadable.
[[nodiscard]] Result<FileSums> sumsOfFile(const QString &path);

} // namespace holdfast
