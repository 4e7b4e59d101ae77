// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"
#include "dive/readers.h"

namespace holdfast
{

/// What the party on deck found in a slot.
enum class TallyAnswer {
    AsLogged,  ///< what the ledger says is there, and nothing else (a free slot found empty is as logged too)
    Empty,     ///< the ledger says something is there, and nothing is
    Different, ///< something else is there
    Broken,    ///< it is there, damaged
    Extra,     ///< there is more than the ledger says
};
/// "as logged", "empty", …: the words of the record.
[[nodiscard]] QString tallyWord(TallyAnswer answer);
[[nodiscard]] Result<TallyAnswer> tallyAnswerFrom(const QString &word);

/// One slot at recovery, in the order of unloading.
struct TallyLine {
    SlotState slot;                    ///< with the samples the ledger puts there
    std::optional<TallyAnswer> answer; ///< none: still untallied
    QString note;
    QString by;
    std::optional<UtcTime> time;
    QString changed; ///< why the answer that was given no longer counts: what changed there after it
};

/// An answer counts until the content of its slot changes (tally_changes.h); from then on the slot is
/// untallied again. The tally of a closed dive stands.
[[nodiscard]] Result<std::vector<TallyLine>> readTally(const Database &db, int dive);

/// Records what was found in a slot; answered again it is a correction, and both answers stay in the ledger.
/// Different, Broken and Extra need a note that says what was found. Refused: Empty for a slot that the
/// ledger has empty (that is AsLogged), Broken for one.
[[nodiscard]] Done tallySlot(CruiseFile &file, const Act &act, int dive, const QString &slot,
                             TallyAnswer answer, const QString &note);

/// Closes the collecting of a dive. Refused while a stamp waits or a slot is untallied, naming them and what
/// changed in one that had been tallied.
[[nodiscard]] Done closeDive(CruiseFile &file, const Act &act, int dive);

/// The projectors of this folder and of all below it: what the program opens cruise files with.
[[nodiscard]] VerbRules allVerbRules();

} // namespace holdfast
