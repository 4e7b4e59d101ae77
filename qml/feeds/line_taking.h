// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "desk.h"

#include <QThread>
#include <stop_token>

namespace holdfast
{

/// Makes logs of a dive out of its recorded lines, on a thread of its own: it reads by its own connection and
/// hands the writer's thread short pieces only, so that a stamp never waits for it.
class LineTaking : public QObject
{
    Q_OBJECT
public:
    explicit LineTaking(Desk &desk, QObject *parent = nullptr) : QObject(parent), m_desk(&desk) {}
    ~LineTaking() override; ///< stops what runs; what it has put in half is taken out

    /// Takes in the lines of all feeds of a dive; nothing when it is at it already.
    void start(int dive);
    /// Gives up: the log it is at is not taken in.
    void stop() { m_stop.request_stop(); }
    [[nodiscard]] bool running() const { return m_thread != nullptr; }
    /// "CTD 40 %" while it runs.
    [[nodiscard]] QString progress() const { return m_progress; }

signals:
    void progressed();
    /// One sentence for each feed; none when no lines were recorded.
    void ended(const QStringList &told);

private:
    struct Job;
    void setProgress(const QString &text);

    Desk *m_desk;
    QThread *m_thread = nullptr;
    std::stop_source m_stop;
    QString m_progress;
};

} // namespace holdfast
