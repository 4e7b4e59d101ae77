// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"

#include <QObject>
#include <QPointer>
#include <QThread>
#include <functional>
#include <memory>

namespace holdfast
{

/// The one thread that writes to the open cruise file, with a connection of its own, so that the window never
/// waits for the disk. Work is done in the order in which it was handed in.
class CruiseWriter : public QObject
{
    Q_OBJECT
public:
    using Work = std::function<Done(CruiseFile &)>;
    using Reply = std::function<void(const Done &)>;

    explicit CruiseWriter(QObject *parent = nullptr);
    ~CruiseWriter() override; ///< finishes the work handed in, then ends the thread

    /// Opens the file at `path` for writing and holds it ready, beside the one that is open. When it can't be
    /// opened, the one that is open stays as it is.
    void prepare(const QString &path, QObject *receiver, Reply reply);
    /// Puts the file that was made ready in the place of the one that is open, behind all work handed in so
    /// far.
    void change();
    /// Runs `work` on the writer's thread. `reply` comes on the caller's thread, after the commit; not at all
    /// when `receiver` is gone by then. Without an open file the reply is an error.
    void submit(Work work, QObject *receiver, Reply reply);

private:
    void deliver(const QPointer<QObject> &receiver, const Reply &reply, const Done &done);

    QThread m_thread;
    std::unique_ptr<QObject> m_onThread;        ///< lives on the thread: what is sent to it runs there
    std::unique_ptr<CruiseFile> m_file, m_next; ///< touched on the thread only
};

} // namespace holdfast
