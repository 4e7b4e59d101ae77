// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QObject>
#include <QSocketNotifier>

namespace holdfast
{

/// Ends the event loop when the system asks the program to end (SIGTERM, SIGINT, SIGHUP), so that recordings
/// are closed and what was handed to the writer is written, as when the window is closed. Asked a second time
/// the program ends at once. One at a time; where there are no such signals it does nothing.
class QuitSignals : public QObject
{
    Q_OBJECT
public:
    explicit QuitSignals(QObject *parent = nullptr);
    ~QuitSignals() override;
    QuitSignals(const QuitSignals &) = delete;
    QuitSignals &operator=(const QuitSignals &) = delete;

private:
    QSocketNotifier *m_notifier = nullptr;
};

} // namespace holdfast
