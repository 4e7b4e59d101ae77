// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QHash>
#include <QJsonObject>
#include <QString>
#include <QStringList>

namespace holdfast
{

/// The words for what is collected and the family each belongs to (rock, biology, sediment, water); a family
/// decides which slots suit. From templates/kinds/kinds.json, so that a science party can add its own words.
class KindTable
{
public:
    [[nodiscard]] static Result<KindTable> parse(const QJsonObject &json, const QString &where);
    /// The table of the templates folder.
    [[nodiscard]] static Result<KindTable> load();

    /// The family of a kind, whatever its letter case; "" for a word that is not in the table (a logger's new
    /// word is kept, with a warning that its slot could not be judged).
    [[nodiscard]] QString familyOf(const QString &kind) const;
    [[nodiscard]] const QStringList &kinds() const { return m_kinds; }

private:
    QHash<QString, QString> m_family;
    QStringList m_kinds;
};

} // namespace holdfast
