// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/ids.h"
#include "dive/cruise_file.h"

#include <QStringList>
#include <vector>

namespace holdfast
{

// Labels printed before there is anything to stick them on. Each has an id of its own, in a series beside
// that of the samples: "TK26-04-L017" is the 17th blank label of dive 4. Stuck on something and scanned, it
// is bound to that thing; from then on the label's id leads to it.

/// The id of blank label `number` by the cruise's pattern: the sample's number with an L before it.
[[nodiscard]] Result<QString> blankLabelId(const IdPattern &pattern, const QString &cruise, int dive,
                                           int number);

struct BlankRange {
    int first = 1;
    int count = 0;
};

/// The numbers of the next `count` blank labels of a dive are given away: call it when they are printed.
/// Error Usage: a count outside 1 .. 2000. NotFound: no such dive.
[[nodiscard]] Result<BlankRange> takeBlankLabels(CruiseFile &file, const Act &act, int dive, int count);

/// In the order of printing.
[[nodiscard]] Result<std::vector<BlankRange>> readBlankLabels(const Database &db, int dive);
/// The ids of a range; for printing it (again).
[[nodiscard]] Result<QStringList> blankLabelIds(const Database &db, int dive, const BlankRange &range);

/// Binds a blank label to a sample or specimen, both as scanned or typed. @return the item's id.
/// Refused: the label was never printed for this cruise; it is bound to something else and no reason is
/// given; it is bound to this very item already. NotFound: no such item. Malformed: a wrong check character.
[[nodiscard]] Result<QString> bindLabel(CruiseFile &file, const Act &act, const QString &label,
                                        const QString &item, const QString &reason = {});

/// The item that a blank label is bound to; empty when it is bound to none. `id` without check character.
[[nodiscard]] Result<QString> itemOfLabel(const Database &db, const QString &id);
/// The blank labels that an item carries.
[[nodiscard]] Result<QStringList> labelsOfItem(const Database &db, const QString &item);

[[nodiscard]] VerbRules blankLabelVerbRules();

} // namespace holdfast
