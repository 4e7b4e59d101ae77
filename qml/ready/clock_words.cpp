// SPDX-License-Identifier: GPL-3.0-or-later
#include "clock_words.h"

#include "feed_list.h"

#include <QCoreApplication>
#include <algorithm>
#include <cmath>

namespace holdfast
{

namespace
{

QString tr(const char *text)
{
    return QCoreApplication::translate("ReadyDesk", text);
}

bool surelyWithin(const ClockOffset &offset, double limitS)
{
    return std::abs(offset.seconds) + offset.uncertainty95S <= limitS;
}

QString numbers(const ClockOffset &offset)
{
    return tr("%1 ±%2 s")
        .arg(FeedList::signedSeconds(offset.seconds))
        .arg(std::max(offset.uncertainty95S, 0.01), 0, 'f', 2);
}

} // namespace

QString clockWords(const LiveState &state, double limitS)
{
    QStringList words, unknown;
    int late = 0;
    const auto add = [&](const QString &name, const ClockOffset &offset) {
        const bool good = surelyWithin(offset, limitS);
        late += good ? 0 : 1;
        words << (good ? QString() : QStringLiteral("! ")) + name + u' ' + numbers(offset);
    };
    if (state.hostMinusGps)
        add(tr("this computer"), *state.hostMinusGps);
    for (const FeedState &feed : state.feeds) {
        if (!feed.offset)
            unknown << feed.name;
        else // feed less GPS = feed less computer, less (GPS less computer)
            add(feed.name, state.hostMinusGps ? between(*feed.offset, {-state.hostMinusGps->seconds,
                                                                       state.hostMinusGps->uncertainty95S})
                                              : *feed.offset);
    }
    if (words.isEmpty())
        return {};
    const QString against = state.hostMinusGps ? tr("GPS time (%1)").arg(state.gpsFrom)
                                               : tr("this computer's clock, no feed tells GPS time");
    QString said =
        late == 0 ? tr("clocks within %1 s of %2: %3") : tr("! %4 not surely within %1 s of %2: %3");
    said = said.arg(limitS).arg(against, words.join(QStringLiteral(", ")));
    if (late > 0)
        said = said.arg(late);
    if (!unknown.isEmpty())
        said += tr("; not measured yet: %1").arg(unknown.join(QStringLiteral(", ")));
    return said;
}

} // namespace holdfast
