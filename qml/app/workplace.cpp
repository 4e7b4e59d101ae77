// SPDX-License-Identifier: GPL-3.0-or-later
#include "workplace.h"

namespace holdfast
{

QVariantMap Workplace::properties()
{
    const auto held = [](auto *object) { return QVariant::fromValue(object); };
    return {{QStringLiteral("notices"), held(&notices)}, {QStringLiteral("places"), held(&places)},
            {QStringLiteral("desk"), held(&desk)},       {QStringLiteral("feeds"), held(&feeds)},
            {QStringLiteral("dive"), held(&dive)},       {QStringLiteral("recovery"), held(&recovery)},
            {QStringLiteral("ready"), held(&ready)},     {QStringLiteral("pictures"), held(&pictures)},
            {QStringLiteral("loadout"), held(&loadout)}, {QStringLiteral("units"), held(&units)},
            {QStringLiteral("found"), held(&found)},     {QStringLiteral("cruise"), held(&cruise)},
            {QStringLiteral("papers"), held(&papers)},   {QStringLiteral("handoff"), held(&handoff)},
            {QStringLiteral("bench"), held(&bench)},     {QStringLiteral("custody"), held(&custody)},
            {QStringLiteral("scan"), held(&scan)},       {QStringLiteral("exchange"), held(&exchange)}};
}

QVariantMap Workplace::readingProperties()
{
    QVariantMap all = properties();
    for (const char *unused : {"notices", "places", "recovery", "cruise", "papers", "loadout", "handoff",
                               "bench", "custody", "scan", "exchange"})
        all.remove(QLatin1String(unused));
    return all;
}

} // namespace holdfast
