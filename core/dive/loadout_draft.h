// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/loadout.h"

namespace holdfast
{

// A loadout while a person works on it: it may be unfinished or wrong; faultsOf() says what is left to mend.
// All pure.

struct BoxDraft {
    QString title, container, where;
    QStringList accepts; ///< families
    bool lid = false, mixing = false, round = false;
    int unload = 1;
    QRect area;                     ///< in the plan, mm
    std::vector<SlotSpec> slotList; ///< of each the code and the area count
};
struct LoadoutDraft {
    QString name, title;
    QSize size{2000, 2400}; ///< of the plan, mm
    std::vector<BoxDraft> boxes;
};

[[nodiscard]] LoadoutDraft draftOf(const Loadout &loadout);
/// The template as templates/loadouts/README.md describes it.
[[nodiscard]] QJsonObject jsonOf(const LoadoutDraft &draft);
/// What is wrong, in sentences, the first to mend first; empty: it can be saved and used.
[[nodiscard]] QStringList faultsOf(const LoadoutDraft &draft);

/// Slots in rows and columns: "B 3x1" is B1 B2 B3 one above the other; "C 2x4 5" begins at C5.
struct SlotGrid {
    QString prefix;
    int rows = 1, columns = 1, first = 1;
};
[[nodiscard]] Result<SlotGrid> parseSlotGrid(const QString &text);
/// Lays the slots of a box out anew, row by row, with a little room between them.
void layOutSlots(BoxDraft &box, const SlotGrid &grid);

/// Moves or stretches a box with its slots; it stays inside the plan and larger than 40 mm.
void moveBox(LoadoutDraft &draft, std::size_t box, QPoint byMm);
void stretchBox(LoadoutDraft &draft, std::size_t box, QPoint byMm);
/// Adds a box of one slot where there is room; returns its place in the list.
std::size_t addBox(LoadoutDraft &draft);

} // namespace holdfast
