// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QJsonObject>
#include <QString>

namespace holdfast
{

/// Where templates that a person made are kept: the folder named by HOLDFAST_USER_TEMPLATES when it is set,
/// else "holdfast/templates" of the account's data folder. It need not be there yet. readTemplate() and
/// templateNames() look here too; the program's own templates come first.
[[nodiscard]] QString userTemplateFolder();

/// Writes `<user templates>/<kind>/<name>.json`, whole or not at all; one of that name that a person made is
/// replaced. Errors: Usage for a name that is not letters, digits, '-' and '_', Duplicate for one of the
/// program's own, Unwritable.
[[nodiscard]] Done saveUserTemplate(const QString &kind, const QString &name, const QJsonObject &json);

} // namespace holdfast
