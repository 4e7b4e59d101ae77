// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/kinds.h"

#include "base/template_folder.h"

#include <QJsonArray>

namespace holdfast
{

Result<KindTable> KindTable::parse(const QJsonObject &json, const QString &where)
{
    KindTable table;
    const QJsonObject families = json.value(QStringLiteral("families")).toObject();
    for (auto it = families.begin(); it != families.end(); ++it) {
        for (const QJsonValue word : it.value().toArray()) {
            const QString kind = word.toString().trimmed();
            const QString key = kind.toLower();
            if (kind.isEmpty())
                return fail(
                    ErrorKind::Malformed,
                    QStringLiteral("%1: family \"%2\" must be a list of words.").arg(where, it.key()));
            if (table.m_family.contains(key) && table.m_family.value(key) != it.key())
                return fail(ErrorKind::Malformed,
                            QStringLiteral("%1: \"%2\" stands in two families, %3 and %4.")
                                .arg(where, kind, table.m_family.value(key), it.key()));
            table.m_family.insert(key, it.key());
            table.m_kinds << kind;
        }
    }
    if (table.m_kinds.isEmpty())
        return fail(
            ErrorKind::Malformed,
            QStringLiteral("%1: \"families\" must hold lists of words under rock, biology, sediment, water.")
                .arg(where));
    return table;
}

Result<KindTable> KindTable::load()
{
    const auto json = readTemplate(QStringLiteral("kinds"), QStringLiteral("kinds"));
    if (!json)
        return json.error();
    return parse(*json, QStringLiteral("templates/kinds/kinds.json"));
}

QString KindTable::familyOf(const QString &kind) const
{
    return m_family.value(kind.trimmed().toLower());
}

} // namespace holdfast
