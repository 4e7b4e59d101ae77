// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/package_findings.h"

#include <QJsonObject>

namespace holdfast
{

namespace
{

QString weightWord(FindingWeight weight)
{
    return weight == FindingWeight::Error ? QStringLiteral("error") : QStringLiteral("warning");
}

} // namespace

void PackageFindings::add(PackageFinding finding)
{
    m_errors += finding.weight == FindingWeight::Error ? 1 : 0;
    m_findings.push_back(std::move(finding));
}

QString PackageFindings::text() const
{
    QString out;
    QMap<QString, int> shown;
    QMap<QString, int> hidden;
    for (const PackageFinding &f : m_findings) {
        const QString kind =
            weightWord(f.weight) + QStringLiteral("  [") + f.rule + QStringLiteral("] ") + f.file;
        if (++shown[kind] > mostOfOneKind) {
            ++hidden[kind];
            continue;
        }
        out += QStringLiteral("%1%2%3\n")
                   .arg(kind, f.file.isEmpty() ? QString() : QStringLiteral(": "), f.sentence);
    }
    for (auto it = hidden.begin(); it != hidden.end(); ++it)
        out += QStringLiteral("%1: and %2 more of this kind\n").arg(it.key()).arg(it.value());
    return out;
}

QJsonArray PackageFindings::json() const
{
    QJsonArray list;
    for (const PackageFinding &f : m_findings)
        list.append(QJsonObject{{QStringLiteral("weight"), weightWord(f.weight)},
                                {QStringLiteral("rule"), f.rule},
                                {QStringLiteral("file"), f.file},
                                {QStringLiteral("sentence"), f.sentence}});
    return list;
}

} // namespace holdfast
