// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/interrupt.h"

#include <atomic>
#include <csignal>
#include <thread>

namespace holdfast::cli
{

namespace
{

// A signal handler may only touch such a flag; asking a stop source takes locks.
std::atomic<bool> interrupted = false;
static_assert(std::atomic<bool>::is_always_lock_free);

extern "C" void onInterrupt(int signal)
{
    interrupted = true;
    std::signal(signal, SIG_DFL);
}

} // namespace

struct InterruptStop::Watch {
    std::stop_source source;
    std::jthread thread;
};

InterruptStop::InterruptStop() : m_watch(std::make_unique<Watch>())
{
    interrupted = false;
    std::signal(SIGINT, onInterrupt);
    std::signal(SIGTERM, onInterrupt);
    m_watch->thread = std::jthread([source = m_watch->source](const std::stop_token &ended) mutable {
        while (!ended.stop_requested()) {
            if (interrupted) {
                source.request_stop();
                return;
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(20));
        }
    });
}

InterruptStop::~InterruptStop()
{
    std::signal(SIGINT, SIG_DFL);
    std::signal(SIGTERM, SIG_DFL);
}

std::stop_token InterruptStop::token() const
{
    return m_watch->source.get_token();
}

} // namespace holdfast::cli
