// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/intake.h"
#include "store/sensor_log.h"

#include <QJsonObject>
#include <QStringList>

namespace holdfast
{

/// What the ledger says of one log that was taken in; core/dive/README.md lists the keys.
[[nodiscard]] Result<QJsonObject> intakeEntryBody(const QString &uuid, int dive, const IntakeData &data,
                                                  const PackedLog &packed, const QString &qualityLimits);

/// What a log in the sensor log says otherwise than its entry, one phrase each ("its profile"); empty when
/// they agree. A key that the entry of an earlier version does not have is not compared.
[[nodiscard]] Result<QStringList> differencesFromEntry(const QJsonObject &body, const LogFile &log,
                                                       const IntakeReport &stored);

} // namespace holdfast
