// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/line_recorder.h"

#include <algorithm>
#include <iterator>

namespace holdfast
{

Done LineBatch::store(CruiseFile &file, Patience patience)
{
    if (const auto before = std::exchange(m_before, nullptr);
        before && before->outcome() == Outcome::Failed) {
        auto &earlier = before->m_blocks;
        m_blocks.insert(m_blocks.begin(), std::make_move_iterator(earlier.begin()),
                        std::make_move_iterator(earlier.end()));
    }
    auto stored = storeLines(file, m_blocks, patience);
    if (!stored) {
        refuse(stored.error());
        return stored;
    }
    m_outcome.store(Outcome::Saved, std::memory_order_release);
    return {};
}

void LineBatch::refuse(const Error &error)
{
    m_error = error;
    m_outcome.store(Outcome::Failed, std::memory_order_release);
}

void LineRecorder::begin(int id, const Recording &recording, char delimiter)
{
    Feed &feed = m_feeds[id];
    feed.recording = recording;
    feed.delimiter = delimiter;
}

void LineRecorder::add(int id, std::int64_t receivedUs, const QByteArray &line)
{
    const auto found = m_feeds.find(id);
    if (found == m_feeds.end())
        return;
    if (m_waitingBytes + found->second.fresh.text.size() > mostWaitingBytes) {
        ++m_lost;
        return;
    }
    found->second.fresh.add(receivedUs, line);
    ++found->second.count.received;
}

LineRecorder::Count LineRecorder::count(int id) const
{
    const auto found = m_feeds.find(id);
    return found == m_feeds.end() ? Count{} : found->second.count;
}

void LineRecorder::pack()
{
    for (auto &[id, feed] : m_feeds) {
        if (feed.fresh.empty())
            continue;
        auto packed = packLines(feed.fresh, feed.delimiter);
        if (!packed) {
            m_trouble = packed.error().sentence;
            continue; // the lines stay where they are and are packed again
        }
        feed.fresh = {};
        m_waitingBytes += packed->data.size();
        m_waiting.push_back({feed.recording, std::move(*packed)});
    }
}

void LineRecorder::settle()
{
    for (const RecordedBlock &block : m_onItsWay->blocks()) {
        m_waitingBytes -= block.lines.data.size();
        for (auto &[id, feed] : m_feeds) {
            if (feed.recording.uuid == block.recording.uuid)
                feed.count.durable += block.lines.lines;
        }
    }
    m_trouble.clear();
}

void LineRecorder::look()
{
    if (!m_onItsWay || m_onItsWay->outcome() == LineBatch::Outcome::OnItsWay)
        return;
    if (m_onItsWay->outcome() == LineBatch::Outcome::Saved) {
        settle();
    } else {
        m_trouble = m_onItsWay->error().sentence;
        auto &blocks = m_onItsWay->blocks();
        m_waiting.insert(m_waiting.begin(), std::make_move_iterator(blocks.begin()),
                         std::make_move_iterator(blocks.end()));
    }
    m_onItsWay.reset();
}

void LineRecorder::handOn()
{
    look();
    pack();
    if (m_onItsWay || m_waiting.empty())
        return;
    m_onItsWay = std::make_shared<LineBatch>(std::exchange(m_waiting, {}), nullptr);
    m_sink(m_onItsWay);
}

EndedRecordings LineRecorder::end()
{
    look();
    pack();
    EndedRecordings ended;
    for (const auto &[id, feed] : m_feeds)
        ended.begun.push_back(feed.recording);
    if (!m_waiting.empty() || m_onItsWay)
        ended.last = std::make_shared<LineBatch>(std::exchange(m_waiting, {}), m_onItsWay);
    m_feeds.clear();
    m_onItsWay.reset();
    return ended;
}

} // namespace holdfast
