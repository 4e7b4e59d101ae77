// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <csignal>
#include <gtest/gtest.h>
#include <sys/resource.h>

namespace holdfast::test
{

/// Lets no file of this process grow beyond `bytes`: each write that goes on fails, as on a full disk
/// (POSIX.1-2017, setrlimit(): RLIMIT_FSIZE).
class SmallFiles
{
public:
    explicit SmallFiles(rlim_t bytes) : m_signal(std::signal(SIGXFSZ, SIG_IGN))
    {
        EXPECT_EQ(::getrlimit(RLIMIT_FSIZE, &m_before), 0);
        const rlimit small{bytes, m_before.rlim_max};
        EXPECT_EQ(::setrlimit(RLIMIT_FSIZE, &small), 0);
    }
    ~SmallFiles()
    {
        ::setrlimit(RLIMIT_FSIZE, &m_before);
        std::signal(SIGXFSZ, m_signal);
    }
    SmallFiles(const SmallFiles &) = delete;
    SmallFiles &operator=(const SmallFiles &) = delete;

private:
    rlimit m_before{};
    void (*m_signal)(int);
};

} // namespace holdfast::test
