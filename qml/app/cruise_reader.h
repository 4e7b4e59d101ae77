// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"
#include "store/sql.h"

#include <QObject>
#include <QPointer>
#include <QThread>
#include <functional>
#include <memory>

namespace holdfast
{

/// Reads the cruise file on a thread of its own with a read-only connection, so that the window never waits
/// for the disk. Work is done in the order in which it was asked for.
class CruiseReader : public QObject
{
    Q_OBJECT
public:
    explicit CruiseReader(QObject *parent = nullptr);
    ~CruiseReader() override;

    /// Runs `work` on the reader's thread; `reply` comes on the caller's, not at all when `receiver` is gone
    /// by then.
    template <typename T>
    void read(const QString &path, std::function<Result<T>(const CruiseFile &)> work, QObject *receiver,
              std::function<void(const Result<T> &)> reply)
    {
        const QPointer<QObject> to(receiver);
        onThread([this, path, work = std::move(work), to, reply = std::move(reply)] {
            const auto give = [&](Result<T> result) {
                onCaller([to, reply, result = std::move(result)] {
                    if (to)
                        reply(result);
                });
            };
            if (auto opened = openFile(path); !opened)
                return give(opened.error());
            auto result = work(*m_file);
            if (const Done whole = takeReadFault(); !whole)
                return give(whole.error());
            give(std::move(result));
        });
    }

private:
    void onThread(std::function<void()> work);
    void onCaller(std::function<void()> work);
    [[nodiscard]] Done openFile(const QString &path);

    QThread m_thread;
    std::unique_ptr<QObject> m_onThread; ///< lives on the thread: what is sent to it runs there
    std::unique_ptr<CruiseFile> m_file;  ///< touched on the thread only
};

} // namespace holdfast
