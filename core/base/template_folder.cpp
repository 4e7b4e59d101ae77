// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/template_folder.h"

#include "base/user_templates.h"

#include <QCoreApplication>
#include <QDir>
#include <QFile>
#include <QJsonDocument>
#include <QRegularExpression>

namespace holdfast
{

Result<QString> templateFolder()
{
    const QString named = qEnvironmentVariable("HOLDFAST_TEMPLATES");
    if (!named.isEmpty()) {
        if (QDir(named).exists())
            return named;
        return fail(ErrorKind::NotFound,
                    QStringLiteral("HOLDFAST_TEMPLATES names the folder %1, which is not there.").arg(named));
    }
    const QString program = QCoreApplication::applicationDirPath();
    const QStringList places{program + QStringLiteral("/../templates"),
                             program + QStringLiteral("/../share/holdfast/templates"),
                             qEnvironmentVariable("HOLDFAST_SOURCE_DIR") + QStringLiteral("/templates")};
    for (const QString &place : places) {
        if (QDir(place).exists(QStringLiteral("loadouts")))
            return QDir::cleanPath(place);
    }
    return fail(ErrorKind::NotFound,
                QStringLiteral("The templates are not where they should be (looked in %1 and %2); set "
                               "HOLDFAST_TEMPLATES to their folder.")
                    .arg(QDir::cleanPath(places.at(0)), QDir::cleanPath(places.at(1))));
}

Result<QStringList> templateNames(const QString &kind)
{
    const auto folder = templateFolder();
    if (!folder)
        return folder.error();
    QStringList names;
    for (const QString &place : {*folder, userTemplateFolder()}) {
        const QStringList files = QDir(place + QLatin1Char('/') + kind)
                                      .entryList({QStringLiteral("*.json")}, QDir::Files, QDir::Name);
        for (const QString &file : files)
            names << file.chopped(5);
    }
    names.removeDuplicates();
    names.sort();
    return names;
}

Result<QJsonObject> parseJsonObject(const QByteArray &bytes, const QString &where)
{
    QJsonParseError problem;
    const QJsonDocument document = QJsonDocument::fromJson(bytes, &problem);
    if (problem.error != QJsonParseError::NoError) {
        const QByteArray before = bytes.left(problem.offset);
        const qsizetype line = before.count('\n') + 1;
        const qsizetype column = before.size() - before.lastIndexOf('\n');
        return fail(ErrorKind::Malformed, QStringLiteral("%1, line %2, column %3: %4.")
                                              .arg(where)
                                              .arg(line)
                                              .arg(column)
                                              .arg(problem.errorString()));
    }
    if (!document.isObject())
        return fail(ErrorKind::Malformed, QStringLiteral("%1 must hold one JSON object { … }.").arg(where));
    return document.object();
}

Result<QJsonObject> readTemplate(const QString &kind, const QString &name)
{
    static const QRegularExpression good(QStringLiteral("^[A-Za-z0-9_-]+\\z"));
    const auto folder = templateFolder();
    if (!folder)
        return folder.error();
    QString path = QStringLiteral("%1/%2/%3.json").arg(*folder, kind, name);
    if (!QFile::exists(path))
        path = QStringLiteral("%1/%2/%3.json").arg(userTemplateFolder(), kind, name);
    QFile file(path);
    if (!good.match(name).hasMatch() || !file.open(QIODevice::ReadOnly)) {
        const auto names = templateNames(kind);
        return fail(ErrorKind::NotFound,
                    QStringLiteral("There is no template \"%1\" in templates/%2; there are: %3.")
                        .arg(name, kind, names ? names->join(QStringLiteral(", ")) : QString()));
    }
    return parseJsonObject(file.readAll(), QStringLiteral("templates/%1/%2.json").arg(kind, name));
}

} // namespace holdfast
