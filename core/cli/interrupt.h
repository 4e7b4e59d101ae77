// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <stop_token>

namespace holdfast::cli
{

/// While it lives, an interrupt from the keyboard (SIGINT) or a request to end (SIGTERM) asks for a stop
/// instead of ending the program at once; a second one ends it. One at a time.
class InterruptStop
{
public:
    InterruptStop();
    ~InterruptStop();
    InterruptStop(const InterruptStop &) = delete;
    InterruptStop &operator=(const InterruptStop &) = delete;

    [[nodiscard]] std::stop_token token() const;

private:
    struct Watch;
    std::unique_ptr<Watch> m_watch;
};

} // namespace holdfast::cli
