// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/leap_notes.h"

#include <algorithm>

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

QString noteOf(UtcTime midnight)
{
    return u"of the leap second %1, kept in order just before midnight as 23:59:59.999"_s.arg(
        leapSecondText(midnight));
}

UtcTime midnightBefore(UtcTime t)
{
    return UtcTime{std::chrono::floor<std::chrono::days>(t).time_since_epoch()};
}

} // namespace

QString noLeapSecond()
{
    return u"second 60 at a time that had no leap second (IERS Bulletin C)"_s;
}

bool mayBeLeapSecond(UtcTime t)
{
    return t - midnightBefore(t) <= std::chrono::seconds{1} && leapSecondBefore(t) != LeapSecond::None;
}

void noteLeapSecond(IntakeReport &report, UtcTime t, std::uint32_t line)
{
    const UtcTime midnight = midnightBefore(t);
    report.note(noteOf(midnight), line);
    const QString unknown =
        u"the log has the second %1, of which this program does not know whether it was "
        "announced as a leap second: compare with the IERS, Bulletin C."_s.arg(leapSecondText(midnight));
    if (leapSecondBefore(t) == LeapSecond::Unknown && !report.warnings.contains(unknown))
        report.warnings += unknown;
}

void warnOfLeapSecondsPassedOver(IntakeReport &report)
{
    if (!report.firstTime || !report.lastTime)
        return;
    for (const UtcTime midnight : leapSecondsBetween(*report.firstTime, *report.lastTime)) {
        const bool named = std::any_of(report.notes.begin(), report.notes.end(),
                                       [&](const ReasonCount &n) { return n.reason == noteOf(midnight); });
        if (!named)
            report.warnings +=
                u"the log runs over the leap second %1 and has no record of it: a clock that "
                "repeated or held a second is up to 1 s off there."_s.arg(leapSecondText(midnight));
    }
}

} // namespace holdfast
