// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/line_recording.h"

#include <atomic>
#include <deque>
#include <map>
#include <memory>

namespace holdfast
{

/// Blocks of received lines on their way to the disk. Made on the feeds' thread; `store` is called on the
/// thread that writes, again when it failed, and the outcome is looked at from the feeds' thread.
class LineBatch
{
public:
    LineBatch(std::vector<RecordedBlock> blocks, std::shared_ptr<LineBatch> before)
        : m_blocks(std::move(blocks)), m_before(std::move(before))
    {
    }
    enum class Outcome { OnItsWay, Saved, Failed };

    /// Stores the blocks. What an earlier batch could not store, which was on its way when this one was made,
    /// goes first, so that the order of a recording is kept.
    [[nodiscard]] Done store(CruiseFile &file, Patience patience = Patience::Short);
    /// Says that it can't be stored at all.
    void refuse(const Error &error);

    [[nodiscard]] Outcome outcome() const { return m_outcome.load(std::memory_order_acquire); }
    [[nodiscard]] const Error &error() const { return m_error; } ///< once it has failed
    [[nodiscard]] std::vector<RecordedBlock> &blocks() { return m_blocks; }

private:
    std::vector<RecordedBlock> m_blocks;
    std::shared_ptr<LineBatch> m_before;
    Error m_error;
    std::atomic<Outcome> m_outcome = Outcome::OnItsWay;
};
using LineBatchPtr = std::shared_ptr<LineBatch>;

/// What is left to do when recording ends.
struct EndedRecordings {
    std::vector<Recording> begun; ///< they can be closed once `last` is stored
    LineBatchPtr last; ///< not handed on: nobody would look after it; none when all lines are on the disk
};

/// Keeps the received lines until they are durable: they wait here for a second at most, are packed, and go
/// to the disk in one transaction for all feeds. While the disk or another program refuses them they wait in
/// memory, up to a limit, and are tried again every second; none is lost before that limit. Belongs to the
/// feeds' thread; it has no timer of its own.
class LineRecorder
{
public:
    /// Hands a batch to the thread that writes.
    using Sink = std::function<void(const LineBatchPtr &)>;
    static constexpr std::int64_t mostWaitingBytes = std::int64_t{256} << 20;

    explicit LineRecorder(Sink sink) : m_sink(std::move(sink)) {}

    /// From now on lines of feed `id` belong to this recording.
    void begin(int id, const Recording &recording, char delimiter);
    void add(int id, std::int64_t receivedUs, const QByteArray &line);

    /// Looks what became of the batch on its way. Call it often.
    void look();
    /// Packs what has come and hands it on, unless a batch is still on its way. Call it once a second.
    void handOn();
    /// The last call. The batch that it gives is to be stored behind what is on its way.
    [[nodiscard]] EndedRecordings end();

    struct Count {
        std::int64_t received = 0;
        std::int64_t durable = 0;
    };
    [[nodiscard]] Count count(int id) const;
    [[nodiscard]] std::int64_t lost() const { return m_lost; }  ///< lines that found no more room
    [[nodiscard]] QString trouble() const { return m_trouble; } ///< one sentence while lines can't be saved

private:
    struct Feed {
        Recording recording;
        char delimiter = ',';
        ReceivedLines fresh;
        Count count;
    };
    void pack();
    void settle();

    Sink m_sink;
    std::map<int, Feed> m_feeds;
    std::vector<RecordedBlock> m_waiting;
    std::int64_t m_waitingBytes = 0; ///< packed ones and those of the batch on its way
    LineBatchPtr m_onItsWay;
    std::int64_t m_lost = 0;
    QString m_trouble;
};

} // namespace holdfast
