// SPDX-License-Identifier: GPL-3.0-or-later
#include "quit_signals.h"

#include <QCoreApplication>
#include <utility>

#ifdef Q_OS_UNIX
#include <csignal>
#include <fcntl.h>
#include <unistd.h>
#endif

namespace holdfast
{

#ifdef Q_OS_UNIX
namespace
{

int pipeEnds[2] = {-1, -1};
constexpr int asks[] = {SIGTERM, SIGINT, SIGHUP};

/// Nothing else is allowed inside a signal handler.
void tellLoop(int)
{
    const char byte = 1;
    [[maybe_unused]] const ssize_t written = ::write(pipeEnds[1], &byte, 1);
}

} // namespace

QuitSignals::QuitSignals(QObject *parent) : QObject(parent)
{
    if (::pipe2(pipeEnds, O_CLOEXEC | O_NONBLOCK) != 0)
        return; // then the system ends us as it always did
    m_notifier = new QSocketNotifier(pipeEnds[0], QSocketNotifier::Read, this);
    connect(m_notifier, &QSocketNotifier::activated, this, [this] {
        m_notifier->setEnabled(false);
        QCoreApplication::quit();
    });
    for (const int signal : asks) {
        struct sigaction action {
        };
        action.sa_handler = tellLoop;
        action.sa_flags = SA_RESTART | static_cast<int>(SA_RESETHAND);
        sigaction(signal, &action, nullptr);
    }
}

QuitSignals::~QuitSignals()
{
    for (const int signal : asks)
        std::signal(signal, SIG_DFL);
    for (int &end : pipeEnds) {
        if (end >= 0)
            ::close(std::exchange(end, -1));
    }
}
#else
QuitSignals::QuitSignals(QObject *parent) : QObject(parent) {}
QuitSignals::~QuitSignals() = default;
#endif

} // namespace holdfast
