// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/custody_lists.h"
#include "custody/history.h"

namespace holdfast
{

QString historyText(const History &history)
{
    QString text;
    for (const HistoryLine &l : history.lines) {
        text +=
            QStringLiteral("%1  %2%3  (%4, %5%6)\n")
                .arg(toIso(l.at), l.about == history.id ? QString() : QStringLiteral("[%1] ").arg(l.about),
                     l.sentence, l.who, l.ref,
                     l.written - l.at > std::chrono::minutes(1)
                         ? QStringLiteral(", written %1").arg(toIso(l.written))
                         : QString());
        for (const QString &struck : l.struck)
            text += QStringLiteral("                          struck: %1\n").arg(struck);
    }
    text += QStringLiteral("Custody:\n");
    for (const CustodyPeriod &p : history.custody.periods)
        text += QStringLiteral("  %1 to %2  %3\n")
                    .arg(toIso(p.from), p.to ? toIso(*p.to) : QStringLiteral("now                     "),
                         custodyText(p));
    for (const CustodyFinding &f : history.custody.findings)
        text +=
            QStringLiteral("  %1 %2: %3%4\n")
                .arg(f.explained ? QStringLiteral("explained") : QStringLiteral("BREAK"), findingWord(f.what),
                     f.sentence, f.ref.isEmpty() ? QString() : QStringLiteral("  [%1]").arg(f.ref));
    return text;
}

} // namespace holdfast
