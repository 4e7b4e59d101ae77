// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QJsonObject>
#include <QString>
#include <QStringList>

namespace holdfast
{

/// Where the JSON templates are: the folder named by the environment variable HOLDFAST_TEMPLATES when it is
/// set, else beside the program (../templates from a build, ../share/holdfast/templates from an
/// installation). Error NotFound with the places that were looked at.
[[nodiscard]] Result<QString> templateFolder();

/// Reads `<templates>/<kind>/<name>.json`. A name is letters, digits, '-' and '_' only; a wrong one, a
/// missing file (with the names that are there) and text that is no JSON object (with line and column) each
/// give one sentence.
[[nodiscard]] Result<QJsonObject> readTemplate(const QString &kind, const QString &name);

/// The names of the templates of a kind, sorted.
[[nodiscard]] Result<QStringList> templateNames(const QString &kind);

/// Reads a JSON object from bytes; `where` names the file in the sentence of an error.
[[nodiscard]] Result<QJsonObject> parseJsonObject(const QByteArray &bytes, const QString &where);

} // namespace holdfast
