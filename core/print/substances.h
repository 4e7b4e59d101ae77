// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QStringList>
#include <vector>

namespace holdfast
{

/// A liquid or coolant as transport rules name it: reminders for people, never a clearance.
struct Substance {
    QString key = {};
    QStringList words = {};
    QString un = {};
    QString shippingName = {};
    QString hazardClass = {};
    QString packingGroup = {};
    QString labelWord = {}; ///< the hazard in a word, for labels: "FLAMMABLE"; may be empty
    QString caution = {};
    QString source = {};
};

/// The table of templates/hazards (its README describes the fields).
struct SubstanceTable {
    QString title = {};
    QStringList cautions = {};
    std::vector<Substance> substances = {};

    /// By key; null when there is none.
    [[nodiscard]] const Substance *find(const QString &key) const;
    /// The first substance one of whose words stands in `preservative` as a word of its own, in any case;
    /// null when there is none.
    [[nodiscard]] const Substance *named(const QString &preservative) const;
};

[[nodiscard]] Result<SubstanceTable> readSubstances(const QByteArray &json, const QString &where);
[[nodiscard]] Result<SubstanceTable> loadSubstances(const QString &folder, const QString &name);

} // namespace holdfast
