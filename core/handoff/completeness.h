// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/dataset_about.h"

#include <QJsonObject>
#include <vector>

namespace holdfast
{

struct CruiseContent; // cruise_content.h

// What an archive would ask for and does not get: a grid of samples and specimens by requirements. Which
// requirements are asked of what, and their limits, stand in templates/handoff/rules.json.

enum class CellState {
    NotAsked, ///< the requirement is not about this row
    Met,
    Doubtful, ///< there, but an archive would ask
    Missing,
};
[[nodiscard]] QString cellWord(CellState state); ///< "", "met", "doubtful", "missing"

enum class RowKind { Cruise, Dive, Sample, Specimen };

struct CompletenessCell {
    CellState state = CellState::NotAsked;
    QString word;     ///< short, for the grid: "no fix", "±84 m", "none"
    QString sentence; ///< what is wrong; empty when met
};

struct CompletenessRow {
    RowKind kind = RowKind::Sample;
    QString id; ///< of the item; the cruise's code; "dive 4"
    int dive = 0;
    std::vector<CompletenessCell> cells; ///< one for each requirement
};

struct Requirement {
    QString check;                         ///< one of checkNames()
    QString title;                         ///< head of its column
    QStringList families;                  ///< asked only of these; empty: of all
    CellState weight = CellState::Missing; ///< what an unmet one counts as
    double limit = 0;                      ///< metres, for the uncertainty
    QString mend; ///< where it is mended: cruise, ready, dive, recovery, bench, custody
};

class CompletenessRules
{
public:
    /// Error Malformed names the rule, the field and what was expected (templates/handoff/README.md).
    [[nodiscard]] static Result<CompletenessRules> parse(const QJsonObject &json, const QString &where);
    /// templates/handoff/rules.json
    [[nodiscard]] static Result<CompletenessRules> load();
    [[nodiscard]] const std::vector<Requirement> &requirements() const { return m_requirements; }

private:
    std::vector<Requirement> m_requirements;
};

/// The names that a rule's "check" may have.
[[nodiscard]] const QStringList &checkNames();

struct OpenPoint {
    QString row;
    int dive = 0;
    QString requirement; ///< its title
    CellState state = CellState::Missing;
    QString sentence;
    QString mend;
};

struct CompletenessGrid {
    std::vector<Requirement> requirements;
    std::vector<CompletenessRow> rows; ///< the cruise, then each dive, its samples and their specimens

    [[nodiscard]] std::vector<OpenPoint> openPoints() const;
    [[nodiscard]] int count(CellState state) const;
    [[nodiscard]] QString text() const; ///< for people: counts, then one line an open point
    [[nodiscard]] QJsonObject json() const;
};

/// Judges the content. Pure. Void samples have no row; lost ones are asked only for what can still be known.
/// A sample that was split is asked for names, preservation and storage through its specimens.
[[nodiscard]] CompletenessGrid judgeCompleteness(const CruiseContent &content, const DatasetAbout &about,
                                                 const CompletenessRules &rules);

} // namespace holdfast
