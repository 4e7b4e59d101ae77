// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QJsonArray>
#include <QMap>
#include <QString>
#include <tuple>
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

/// All that was found, counted; kept with their sentences are so many of each kind as a person reads, so that
/// a package made of nothing but faults does not fill the memory.
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
    /// The first `mostKeptOfKind` of the same weight, rule and file, and of all files `mostKeptOfRule`.
    [[nodiscard]] const std::vector<PackageFinding> &kept() const { return m_kept; }
    [[nodiscard]] int errors() const { return m_errors; }     ///< all of them
    [[nodiscard]] int warnings() const { return m_warnings; } ///< all of them
    /// One line a finding; after `mostOfOneKind` of the same rule and file only their number.
    [[nodiscard]] QString text() const;
    /// The kept ones; those beyond as one of each kind, with their number as "more".
    [[nodiscard]] QJsonArray json() const;

    static constexpr int mostOfOneKind = 20;
    static constexpr int mostKeptOfKind = 200;
    static constexpr int mostKeptOfRule = 1000;
    static constexpr int mostSentence = 2000; ///< characters; a longer one is cut

private:
    /// What is counted together. Without a file: those of files of which none is kept any more.
    struct Kind {
        FindingWeight weight = FindingWeight::Error;
        QString rule, file;
        bool operator<(const Kind &o) const
        {
            return std::tie(weight, rule, file) < std::tie(o.weight, o.rule, o.file);
        }
    };
    static QString headOf(const Kind &kind);
    void add(PackageFinding finding);

    std::vector<PackageFinding> m_kept;
    QMap<Kind, int> m_keptOfRule; ///< by kind without file
    QMap<Kind, int> m_keptOfKind;
    QMap<Kind, int> m_more; ///< counted only
    int m_errors = 0, m_warnings = 0;
};

} // namespace holdfast
