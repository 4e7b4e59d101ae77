// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QString>
#include <optional>

namespace holdfast
{

// Lines as a person types them when readying a dive, on the screen and on the command line. All pure; an
// error is of kind Usage and says what was expected, with an example.

/// "soft coral 2-6": words and how many, at least and at most; "3 mud cruise": at least three, for the whole
/// cruise.
struct WantedWords {
    QString kind;
    int least = 0;
    std::optional<int> most;
    bool wholeCruise = false;
    bool off = false; ///< "coral off": off the plan
};
[[nodiscard]] Result<WantedWords> parseWanted(const QString &line);

/// "stony 10 permit 26/17": the word behind p:, the number it allows, the permit's name.
struct PermitWords {
    QString taxon, title;
    std::optional<int> most; ///< none for "stony off": the limit is taken away
};
[[nodiscard]] Result<PermitWords> parsePermit(const QString &line);

/// "pilot Tomas B": the post, then the name.
struct WatchWords {
    QString role, person;
};
[[nodiscard]] Result<WatchWords> parseWatch(const QString &line);

} // namespace holdfast
