// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QJsonArray>
#include <QString>
#include <vector>

namespace holdfast
{

enum class FindingWeight { Error, Warning };

/// One thing that an archive would say on receipt.
struct PackageFinding {
    FindingWeight weight = FindingWeight::Error;
    QString rule; ///< where it stands: "RFC 8493 2.1.3", "Darwin Core text guide 2.1"
    QString file; ///< path in the package; empty: the whole
    QString sentence;
};

class PackageFindings
{
public:
    void error(const QString &rule, const QString &file, const QString &sentence)
    {
        add({FindingWeight::Error, rule, file, sentence});
    }
    void warning(const QString &rule, const QString &file, const QString &sentence)
    {
        add({FindingWeight::Warning, rule, file, sentence});
    }
    [[nodiscard]] const std::vector<PackageFinding> &all() const { return m_findings; }
    [[nodiscard]] int errors() const { return m_errors; }
    [[nodiscard]] int warnings() const { return static_cast<int>(m_findings.size()) - m_errors; }
    /// One line a finding; after `mostOfOneKind` of the same rule and file only their number.
    [[nodiscard]] QString text() const;
    [[nodiscard]] QJsonArray json() const;

    static constexpr int mostOfOneKind = 20;

private:
    void add(PackageFinding finding);
    std::vector<PackageFinding> m_findings;
    int m_errors = 0;
};

} // namespace holdfast
