// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/actions.h"

#include "base/ids.h"
#include "dive/act_steps.h"
#include "dive/loadout.h"
#include "dive/one_line.h"
#include "dive/verbs.h"

#include <algorithm>

namespace holdfast
{

namespace
{

Done checkPlan(int number, const QString &vehicle, const QJsonObject &loadout)
{
    if (number < 1 || number > 99999)
        return fail(ErrorKind::Usage,
                    QStringLiteral("A dive's number must be 1 to 99999, not %1.").arg(number));
    if (vehicle.isEmpty())
        return fail(ErrorKind::Usage, QStringLiteral("The vehicle's name is needed."));
    if (auto line = wantOneLine(vehicle, QStringLiteral("The vehicle's name")); !line)
        return line;
    if (auto good = parseLoadout(loadout, QStringLiteral("The loadout")); !good)
        return good.error();
    return {};
}

} // namespace

Done planDive(CruiseFile &file, const Act &act, int number, const QString &vehicle,
              const QJsonObject &loadout)
{
    const QString name = vehicle.trimmed();
    if (auto good = checkPlan(number, name, loadout); !good)
        return good;
    return file.write([&]() -> Done {
        const auto dives = readDives(file.db());
        if (!dives)
            return dives.error();
        for (const DiveInfo &dive : *dives) {
            if (dive.number == number)
                return fail(ErrorKind::Duplicate,
                            QStringLiteral("Dive %1 is in the file already (vehicle %2); the "
                                           "next free number is %3.")
                                .arg(number)
                                .arg(dive.vehicle)
                                .arg(dives->back().number + 1));
        }
        return recorded(file, act, verb::divePlanned,
                        {{QStringLiteral("number"), number},
                         {QStringLiteral("uuid"), newUuid()},
                         {QStringLiteral("vehicle"), name},
                         {QStringLiteral("loadout"), loadout}});
    });
}

Done planDiveAgain(CruiseFile &file, const Act &act, int number, const QString &vehicle,
                   const QJsonObject &loadout, const QString &reason)
{
    if (auto given = wantReason(reason); !given)
        return given;
    const QString name = vehicle.trimmed();
    if (auto good = checkPlan(number, name, loadout); !good)
        return good;
    return file.write([&]() -> Done {
        if (auto dive = readDive(file.db(), number); !dive)
            return dive.error();
        return recorded(file, act, verb::divePlannedAgain,
                        {{QStringLiteral("number"), number},
                         {QStringLiteral("vehicle"), name},
                         {QStringLiteral("loadout"), loadout},
                         {QStringLiteral("reason"), reason.trimmed()}});
    });
}

} // namespace holdfast
