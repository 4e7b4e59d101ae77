// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed_alarms.h"

#include "feed_list.h"
#include "reading.h"

#include <QCoreApplication>
#include <cmath>

namespace holdfast
{

namespace
{

const QString clockTopic = QStringLiteral("clock step");

QString tr(const char *text)
{
    return QCoreApplication::translate("FeedAlarms", text);
}

QString key()
{
    return tr("F4 feeds");
}

} // namespace

void FeedAlarms::set(const QString &topic, Notices::Weight weight, const QString &sentence)
{
    if (sentence.isEmpty()) {
        if (m_said.removeOne(topic))
            m_notices->settle(topic);
        return;
    }
    if (!m_said.contains(topic))
        m_said << topic;
    m_notices->say(topic, weight, sentence, key());
}

void FeedAlarms::lookAtFeed(const FeedState &feed)
{
    QString sentence;
    if (!feed.trouble.isEmpty())
        sentence = QStringLiteral("%1: %2").arg(feed.name, feed.trouble);
    else if (feed.isSilent())
        sentence = tr("%1 %2. Stamps are taken all the same.").arg(feed.name, FeedList::stateWord(feed));
    set(QStringLiteral("feed %1").arg(feed.id), Notices::Weight::Care, sentence);
    sentence.clear();
    if (feed.offsetS && std::abs(*feed.offsetS) > offsetLimitS && feed.isAlive())
        sentence = tr("%1 writes times %2 %3 this computer's clock: its fixes and values would fall to other "
                      "moments than the stamps.")
                       .arg(feed.name, spanText(std::abs(*feed.offsetS)),
                            *feed.offsetS > 0 ? tr("ahead of") : tr("behind"));
    set(QStringLiteral("feed clock %1").arg(feed.id), Notices::Weight::Care, sentence);
}

void FeedAlarms::lookAtClock(const LiveState &state)
{
    // A step stays said until a person puts it away: the stamps after it carry the other time.
    if (state.steps > m_stepsSaid && state.step) {
        m_notices->say(
            clockTopic, Notices::Weight::Problem,
            tr("This computer's clock was set %1 by %2 at %3. Stamps carry its new time: look at the "
               "time service, and note which stamps are before and after.")
                .arg(state.step->seconds > 0 ? tr("forward") : tr("back"),
                     spanText(std::abs(state.step->seconds)), clockText(state.step->at)),
            key());
        m_stepsSaid = state.steps;
    }
    QString sentence;
    if (state.hostMinusGpsS && std::abs(*state.hostMinusGpsS) > gpsLimitS)
        sentence =
            tr("This computer's clock is %1 %2 GPS time (%3). Stamps carry the computer's time: set its "
               "clock right.")
                .arg(spanText(std::abs(*state.hostMinusGpsS)),
                     *state.hostMinusGpsS > 0 ? tr("ahead of") : tr("behind"), state.gpsFrom);
    set(QStringLiteral("gps clock"), Notices::Weight::Problem, sentence);
}

void FeedAlarms::look(const LiveState &state)
{
    for (const FeedState &feed : state.feeds)
        lookAtFeed(feed);
    lookAtClock(state);
    set(QStringLiteral("recording"), Notices::Weight::Problem,
        state.recordTrouble.isEmpty() ? QString()
                                      : tr("The lines of the feeds wait in memory. %1 They are saved as soon "
                                           "as it is possible; leave this "
                                           "window open.")
                                            .arg(state.recordTrouble));
    set(QStringLiteral("lines lost"), Notices::Weight::Problem,
        state.linesLost == 0
            ? QString()
            : tr("%1 lines of the feeds found no more room in memory and are lost; the stamps are "
                 "not. Make room on the disk now.")
                  .arg(state.linesLost));
}

void FeedAlarms::forget()
{
    for (const QString &topic : std::exchange(m_said, {}))
        m_notices->settle(topic);
    m_stepsSaid = 0;
}

} // namespace holdfast
