// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/cruise_content.h"
#include "handoff/package_logs.h"

#include <QJsonObject>

namespace holdfast
{

/// Where everything comes from, as PROV-JSON (W3C member submission, 2013): logs, samples, specimens,
/// photographs and their fixes and water values are entities; collecting, splitting, preserving, taking in
/// and computing are activities; people, vehicles and the program are agents. Values carry the method, its
/// parameters, the clock offset and the program's version; each names the logs it used, with their SHA-256.
[[nodiscard]] QJsonObject provenanceJson(const CruiseContent &content, const QMap<QString, LogPaths> &logs);

} // namespace holdfast
