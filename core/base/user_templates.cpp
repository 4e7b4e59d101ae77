// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/user_templates.h"

#include "base/output_file.h"
#include "base/template_folder.h"

#include <QDir>
#include <QFileInfo>
#include <QJsonDocument>
#include <QRegularExpression>
#include <QStandardPaths>

namespace holdfast
{

QString userTemplateFolder()
{
    const QString named = qEnvironmentVariable("HOLDFAST_USER_TEMPLATES");
    return named.isEmpty() ? QStandardPaths::writableLocation(QStandardPaths::GenericDataLocation) +
                                 QStringLiteral("/holdfast/templates")
                           : named;
}

Done saveUserTemplate(const QString &kind, const QString &name, const QJsonObject &json)
{
    static const QRegularExpression good(QStringLiteral("^[A-Za-z0-9_-]{1,40}$"));
    if (!good.match(name).hasMatch())
        return fail(
            ErrorKind::Usage,
            QStringLiteral("\"%1\" can't be a template's name: letters, digits, - and _ only, at most 40.")
                .arg(name));
    const auto own = templateFolder();
    if (own && QFileInfo::exists(QStringLiteral("%1/%2/%3.json").arg(*own, kind, name)))
        return fail(
            ErrorKind::Duplicate,
            QStringLiteral("\"%1\" is one of the program's own templates; choose another name.").arg(name));
    const QString folder = userTemplateFolder() + QLatin1Char('/') + kind;
    const QString path = QStringLiteral("%1/%2.json").arg(folder, name);
    const QByteArray bytes = QJsonDocument(json).toJson(QJsonDocument::Indented);
    if (!QDir().mkpath(folder))
        return fail(ErrorKind::Unwritable, QStringLiteral("The folder %1 can't be made.").arg(folder));
    return writeOutput(path, [&bytes](const TakePiece &take) { return take(bytes); });
}

} // namespace holdfast
