// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/table_spec.h"

namespace holdfast
{

/// A quantity of a sample's water values with the codes by which archives know it and its unit.
struct VocabularyTerm {
    QString quantity; ///< as in quantitiesOf()
    QString type;     ///< for people
    QString p01, p01Meaning;
    QString unit, p06, p06Meaning;
    double factor = 1; ///< from the unit of quantitiesOf() to this one
    QString method;
    QString
        status; ///< "resolved": looked up at the vocabulary server; "seen": found in use elsewhere; "memory"
    QString source; ///< where code and meaning are from

    [[nodiscard]] QString p01Uri() const;
    [[nodiscard]] QString p06Uri() const;
};

/// templates/handoff/vocabulary.json. Error Malformed names the quantity and the key: a code that is not one,
/// a quantity that samples do not have or that stands twice, another status.
[[nodiscard]] Result<std::vector<VocabularyTerm>> loadVocabulary();
[[nodiscard]] Result<std::vector<VocabularyTerm>> parseVocabulary(const QJsonObject &json,
                                                                  const QString &where);

/// Table vocabulary_codes: what each code means, where that is from, and whether somebody has resolved it.
[[nodiscard]] const TableSpec &vocabularyTable();
[[nodiscard]] Done writeVocabularyTable(PackageWriter &package, const std::vector<VocabularyTerm> &terms);

} // namespace holdfast
