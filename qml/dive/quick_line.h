// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/actions.h"
#include "snapshot.h"

#include <QString>
#include <QStringList>
#include <vector>

namespace holdfast
{

/// What the quick line knows: the dive's slots, the words of the kinds table, and what this cruise has used.
struct QuickWords {
    QStringList slotCodes;
    KindTable kinds;
    UsedWords used;
};

/// One thing the quick line understood, shown before Enter.
struct QuickPart {
    enum class Means { Slot, Kind, Count, AskedBy, Permit, Tool, Description };
    Means means = Means::Description;
    QString text;
};
/// "slot", "kind", …: the label of a part.
[[nodiscard]] QString partWord(QuickPart::Means means);

struct QuickEntry {
    SampleDetails details; ///< kind is empty when none was understood
    std::vector<QuickPart> parts;
};

/// Reads the quick line. Words come in any order and letter case:
///   B2          a slot of the dive
///   coral       a kind: the longest run of up to three words that the kinds table or this cruise knows
///   k:rhodolith a kind of one word that is not known yet
///   3, x3, 3x   the count, 1 .. 9999
///   @Ana        who asked for it; @Ana_B is "Ana B"
///   p:stony     the permit's taxon; t:scoop the tool ("_" stands for a blank in both)
///   "B2 side"   words in quotation marks are description as they stand
///   the rest    description, in its order
/// The first of each wins; a second slot, kind or count is description.
[[nodiscard]] QuickEntry readQuickLine(const QString &text, const QuickWords &words);

/// Completions of the word being typed at the end of `text`, whole lines, best first, at most `most`: the
/// words of this cruise before those of the table, free slots that suit the kind before others. None when the
/// last word is complete (a blank follows) or nothing begins with it.
[[nodiscard]] QStringList completeQuickLine(const QString &text, const QuickWords &words,
                                            const std::vector<SlotState> &states, int most = 5);

/// A line that readQuickLine() reads as this sample's kind, count, description, people, permit and tool; the
/// slot is left out. What the line can't say (a quotation mark in a description) is left out too.
[[nodiscard]] QString quickLineOf(const SampleInfo &sample, const QuickWords &words);

} // namespace holdfast
