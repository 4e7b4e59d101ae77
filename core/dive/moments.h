// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/actions.h"

namespace holdfast
{

// Times that people recorded, looked at again: what is odd about one, and its correction. The earlier time
// stays in the record.

/// What is odd about the moment of a stamp: before the launch, after the vehicle was on deck, more than a
/// minute after the clock it is written by, or more than three days from everything else of its dive. A slip
/// of the keyboard looks like this; so does a wrong clock, so nothing is refused.
[[nodiscard]] Result<QStringList> momentWarnings(const Database &db, const DiveInfo &dive, UtcTime at,
                                                 UtcTime now);

/// A phase is said by a person who can say it again: Error Refused when its time is more than a day after
/// `now`, or three days from everything else of the dive.
[[nodiscard]] Done checkPhaseTime(const Database &db, const DiveInfo &dive, Phase phase, UtcTime at,
                                  UtcTime now);

/// The sample's time follows; its fix and water values then differ from those accepted before and must be
/// computed again. Also after the dive was closed. Refused: a time in the future, before the launch or after
/// the vehicle was on deck, or after the sample was worked on. Nothing is written when the time is the same.
[[nodiscard]] Done correctStampTime(CruiseFile &file, const Act &act, const QString &stamp, UtcTime at,
                                    const QString &reason);

/// Also after the dive was closed, and for a phase that nobody had recorded. Refused: a time in the future or
/// against the order of the phases. Nothing is written when the time is the same.
[[nodiscard]] Done correctPhase(CruiseFile &file, const Act &act, int dive, Phase phase, UtcTime at,
                                const QString &reason);

/// The phase of a word as in "off bottom"; nothing for another word.
[[nodiscard]] std::optional<Phase> phaseFrom(const QString &word);

[[nodiscard]] VerbRules momentVerbRules();

} // namespace holdfast
