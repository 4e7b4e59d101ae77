// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive_phases.h"

#include "reading.h"

#include <QCoreApplication>

namespace holdfast
{

std::optional<Phase> phaseToCome(const DiveInfo &dive)
{
    const std::optional<UtcTime> times[] = {dive.launched, dive.onBottom, dive.offBottom, dive.onDeck};
    int next = 4;
    while (next > 0 && !times[next - 1])
        --next;
    return next < 4 ? static_cast<Phase>(next) : std::optional<Phase>();
}

QString phaseSpan(const DiveInfo &dive, UtcTime now)
{
    if (dive.closed)
        return QCoreApplication::translate("DiveDesk", "closed");
    const auto said = [now](Phase phase, UtcTime since) {
        const double gone = secondsBetween(since, now);
        return gone < 0 || gone > 48 * 3600.0 ? phaseWord(phase)
                                              : QStringLiteral("%1 %2").arg(phaseWord(phase), spanText(gone));
    };
    if (dive.onDeck)
        return said(Phase::OnDeck, *dive.onDeck);
    if (dive.offBottom)
        return said(Phase::OffBottom, *dive.offBottom);
    if (dive.onBottom)
        return said(Phase::OnBottom, *dive.onBottom);
    return dive.launched ? said(Phase::Launched, *dive.launched)
                         : QCoreApplication::translate("DiveDesk", "not launched yet");
}

} // namespace holdfast
