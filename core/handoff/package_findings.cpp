// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/package_findings.h"

#include "handoff/safe_cell.h"

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
    ++(finding.weight == FindingWeight::Error ? m_errors : m_warnings);
    const Kind kind{finding.weight, finding.rule, finding.file};
    const Kind ofRule{finding.weight, finding.rule, {}};
    if (m_keptOfKind.value(kind) >= mostKeptOfKind) {
        ++m_more[kind];
        return;
    }
    if (m_keptOfRule.value(ofRule) >= mostKeptOfRule) {
        ++m_more[ofRule];
        return;
    }
    ++m_keptOfKind[kind];
    ++m_keptOfRule[ofRule];
    if (finding.sentence.size() > mostSentence)
        finding.sentence = finding.sentence.left(mostSentence) + QStringLiteral("…");
    m_kept.push_back(std::move(finding));
}

QString PackageFindings::headOf(const Kind &kind)
{
    return weightWord(kind.weight) + QStringLiteral("  [") + kind.rule + QStringLiteral("] ") +
           visibleText(kind.file);
}

QString PackageFindings::text() const
{
    QString out;
    QMap<Kind, int> shown;
    QMap<Kind, int> hidden = m_more;
    for (const PackageFinding &f : m_kept) {
        const Kind kind{f.weight, f.rule, f.file};
        if (++shown[kind] > mostOfOneKind) {
            ++hidden[kind];
            continue;
        }
        out += QStringLiteral("%1%2%3\n")
                   .arg(headOf(kind), f.file.isEmpty() ? QString() : QStringLiteral(": "),
                        visibleText(f.sentence));
    }
    for (auto it = hidden.begin(); it != hidden.end(); ++it)
        out += QStringLiteral("%1%2and %3 more of this kind\n")
                   .arg(headOf(it.key()), it.key().file.isEmpty() ? QString() : QStringLiteral(": "))
                   .arg(it.value());
    return out;
}

QJsonArray PackageFindings::json() const
{
    QJsonArray list;
    const auto said = [](const Kind &kind, const QString &sentence) {
        return QJsonObject{{QStringLiteral("weight"), weightWord(kind.weight)},
                           {QStringLiteral("rule"), kind.rule},
                           {QStringLiteral("file"), kind.file},
                           {QStringLiteral("sentence"), sentence}};
    };
    for (const PackageFinding &f : m_kept)
        list.append(said({f.weight, f.rule, f.file}, f.sentence));
    for (auto it = m_more.begin(); it != m_more.end(); ++it) {
        QJsonObject more = said(it.key(), QStringLiteral("and %1 more of this kind").arg(it.value()));
        more.insert(QStringLiteral("more"), it.value());
        list.append(more);
    }
    return list;
}

} // namespace holdfast
