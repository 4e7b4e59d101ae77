// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"

namespace holdfast
{

/// Into the tables: a dive's plan, also when the dive was planned already, by another station or by a person
/// who corrects the plan.
[[nodiscard]] VerbRules planVerbRules();

/// A slot that something is put into must be there: one that a later plan left out is mounted again, so that
/// nothing of what a station wrote without knowing of that plan gets lost. For projectors.
[[nodiscard]] Done needSlot(const Database &db, qint64 dive, const QString &code);

} // namespace holdfast
