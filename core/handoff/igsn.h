// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/cruise_content.h"
#include "handoff/dataset_about.h"

#include <QJsonObject>

namespace holdfast
{

/// What a registry of physical samples asks of rocks, cores and sediments and of their parts: the elements of
/// the IGSN metadata kernel (IGSN e.V., description schema 1.1, 3 July 2017) as JSON, with its lists of
/// words. The kernel has no word for a place in storage, a water depth or a tool: those keys are ours. No
/// IGSN is invented: `igsn` is empty until one is registered ashore, `name` is the field id.
[[nodiscard]] QJsonObject igsnJson(const CruiseContent &content, const DatasetAbout &about);

} // namespace holdfast
