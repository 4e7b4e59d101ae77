// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/completeness.h"

#include "base/template_folder.h"

#include <QJsonArray>

namespace holdfast
{

namespace
{

Error wrong(const QString &where, qsizetype rule, const QString &what)
{
    return fail(ErrorKind::Malformed, QStringLiteral("%1: rule %2: %3.").arg(where).arg(rule + 1).arg(what));
}

Result<Requirement> requirementOf(const QJsonObject &o, const QString &where, qsizetype number)
{
    Requirement r;
    r.check = o.value(QStringLiteral("check")).toString();
    r.title = o.value(QStringLiteral("title")).toString();
    r.mend = o.value(QStringLiteral("mend")).toString();
    if (!checkNames().contains(r.check))
        return wrong(where, number,
                     QStringLiteral("\"check\" must be one of %1, not \"%2\"")
                         .arg(checkNames().join(QStringLiteral(", ")), r.check));
    if (r.title.isEmpty())
        return wrong(where, number, QStringLiteral("\"title\" must not be empty"));
    static const QStringList places{QStringLiteral("cruise"), QStringLiteral("ready"),
                                    QStringLiteral("dive"),   QStringLiteral("recovery"),
                                    QStringLiteral("bench"),  QStringLiteral("custody")};
    if (!places.contains(r.mend))
        return wrong(where, number,
                     QStringLiteral("\"mend\" must be one of %1").arg(places.join(QStringLiteral(", "))));
    const QString weight = o.value(QStringLiteral("weight")).toString(QStringLiteral("missing"));
    if (weight != QLatin1String("missing") && weight != QLatin1String("doubtful"))
        return wrong(where, number,
                     QStringLiteral("\"weight\" must be missing or doubtful, not \"%1\"").arg(weight));
    r.weight = weight == QLatin1String("doubtful") ? CellState::Doubtful : CellState::Missing;
    const QJsonArray families = o.value(QStringLiteral("families")).toArray();
    for (const QJsonValue &f : families)
        r.families << f.toString();
    r.limit = o.value(QStringLiteral("limitM")).toDouble();
    if (r.check == QLatin1String("uncertainty") && r.limit <= 0)
        return wrong(where, number, QStringLiteral("\"limitM\" must be a number of metres above 0"));
    return r;
}

} // namespace

const QStringList &checkNames()
{
    static const QStringList names{
        QStringLiteral("licence"),        QStringLiteral("contact"),    QStringLiteral("closed"),
        QStringLiteral("logs"),           QStringLiteral("fix"),        QStringLiteral("uncertainty"),
        QStringLiteral("water"),          QStringLiteral("accepted"),   QStringLiteral("permit"),
        QStringLiteral("identification"), QStringLiteral("photograph"), QStringLiteral("preservation"),
        QStringLiteral("storage"),        QStringLiteral("custody")};
    return names;
}

Result<CompletenessRules> CompletenessRules::parse(const QJsonObject &json, const QString &where)
{
    const QJsonArray list = json.value(QStringLiteral("rules")).toArray();
    if (list.isEmpty())
        return fail(ErrorKind::Malformed,
                    QStringLiteral("%1: \"rules\" must be a list of rules.").arg(where));
    CompletenessRules rules;
    for (qsizetype i = 0; i < list.size(); ++i) {
        auto r = requirementOf(list.at(i).toObject(), where, i);
        if (!r)
            return r.error();
        rules.m_requirements.push_back(std::move(*r));
    }
    return rules;
}

Result<CompletenessRules> CompletenessRules::load()
{
    const auto json = readTemplate(QStringLiteral("handoff"), QStringLiteral("rules"));
    if (!json)
        return json.error();
    return parse(*json, QStringLiteral("templates/handoff/rules.json"));
}

} // namespace holdfast
