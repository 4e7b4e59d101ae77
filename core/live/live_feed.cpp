// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/live_feed.h"

#include <QCoreApplication>
#include <algorithm>

namespace holdfast
{

namespace
{

constexpr std::size_t rateLines = 64;
constexpr double rateSpanS = 10;  ///< lines older than this do not count for the rate
constexpr double headerWaitS = 8; ///< senders that say their header again do it within this

QString tr(const char *text)
{
    return QCoreApplication::translate("LiveFeed", text);
}

double secondsOf(HostClock::Steady::duration span)
{
    return std::chrono::duration<double>(span).count();
}

} // namespace

LiveFeed::LiveFeed(FeedPlan plan, std::unique_ptr<LineSource> source, const HostClock &clock,
                   UtcTime dateHint)
    : m_plan(std::move(plan)), m_clock(clock), m_parser(m_plan.profile, dateHint), m_opened(clock.steady()),
      m_source(std::move(source))
{
    m_state.id = m_plan.id;
    m_state.name = m_plan.name;
    m_state.profile = m_plan.profile.name;
    m_state.source = m_source->describe();
    m_state.recorded = m_plan.recording.has_value();
}

NewRecords LiveFeed::read(const QByteArray &line, UtcTime received)
{
    ++m_state.lines;
    m_recent.push_back(m_clock.steady());
    if (m_recent.size() > rateLines)
        m_recent.pop_front();
    if (!m_header.isEmpty() && line == m_header)
        return {};
    const std::int64_t rejectedBefore = m_parser.report().rejected;
    const auto read = m_parser.push({line.constData(), static_cast<std::size_t>(line.size())});
    const bool blank = line.trimmed().isEmpty() || line.at(0) == m_plan.profile.comment;
    if (m_plan.profile.header && m_plan.profile.kind != FeedKind::Nmea && m_header.isEmpty() && !blank) {
        if (read) {
            // What came before it is not the profile's fault: who listens from mid-log has to wait for it.
            m_header = line;
            m_recentBad.clear();
            m_badAmongThem = 0;
            m_readTrouble.clear();
        } else if (secondsOf(m_recent.back() - m_opened) < headerWaitS) {
            ++m_state.badLines;
        } else {
            watch(false, read.error().sentence);
        }
        return {};
    }
    NewRecords records = m_taker.take(m_parser);
    const bool good = read && m_parser.report().rejected == rejectedBefore;
    if (!blank)
        watch(good, good                                ? QString()
                    : m_parser.report().rejects.empty() ? QString()
                                                        : m_parser.report().rejects.back().reason);
    if (good && !blank) {
        const Instant now = m_recent.back();
        if (m_lastGood) {
            const double step = secondsOf(now - *m_lastGood);
            m_goodPeriodS = m_goodPeriodS > 0 ? 0.9 * m_goodPeriodS + 0.1 * step : step;
        }
        m_lastGood = now;
    }
    if (const auto time = records.lastTime()) {
        if (m_state.lastRecord && *time > *m_state.lastRecord) {
            const double step = secondsBetween(*m_state.lastRecord, *time);
            m_state.periodS = m_state.periodS > 0 ? 0.9 * m_state.periodS + 0.1 * step : step;
        }
        m_state.lastRecord = time;
        ++m_state.records;
        m_offset.add(*time, received);
    }
    return records;
}

/// A line now and then may be bad; when half of them are, the profile or the instrument is wrong.
void LiveFeed::watch(bool good, const QString &why)
{
    m_state.badLines += good ? 0 : 1;
    m_recentBad.push_back(!good);
    m_badAmongThem += good ? 0 : 1;
    if (m_recentBad.size() > rateLines) {
        m_badAmongThem -= m_recentBad.front() ? 1 : 0;
        m_recentBad.pop_front();
    }
    const auto count = static_cast<int>(m_recentBad.size());
    if (!good && count >= 4 && 2 * m_badAmongThem > count)
        m_readTrouble =
            tr("most of its lines can't be read by profile %1 (%2). %3")
                .arg(m_plan.profile.name, why,
                     m_state.recorded
                         ? tr("They are recorded all the same; a right profile can read them later.")
                         : tr("Is it the right profile?"));
    else if (2 * m_badAmongThem <= count)
        m_readTrouble.clear();
}

FeedState LiveFeed::state() const
{
    FeedState s = m_state;
    const Instant now = m_clock.steady();
    s.trouble = m_linkTrouble.isEmpty() ? m_readTrouble : m_linkTrouble;
    s.openS = secondsOf(now - m_opened);
    if (m_lastGood)
        s.goodAgeS = secondsOf(now - *m_lastGood);
    s.silentAfterS = m_plan.silentAfterS.value_or(std::max(10.0, 5 * m_goodPeriodS));
    const auto fresh = std::find_if(m_recent.begin(), m_recent.end(),
                                    [now](Instant t) { return secondsOf(now - t) < rateSpanS; });
    const auto lines = static_cast<double>(m_recent.end() - fresh);
    // Against now, not against the last line: a feed that stops must be seen to slow down.
    if (lines > 1)
        s.linesPerSecond = lines / std::max(0.05, secondsOf(now - *fresh));
    if (m_plan.recording) {
        s.offsetS = m_offset.offsetS();
        s.offset = m_offset.offset();
    }
    return s;
}

} // namespace holdfast
