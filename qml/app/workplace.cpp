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
            {QStringLiteral("cruise"), held(&cruise)},   {QStringLiteral("papers"), held(&papers)},
            {QStringLiteral("handoff"), held(&handoff)}};
}

} // namespace holdfast
