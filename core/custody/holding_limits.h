// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"
#include "base/utc_time.h"

#include <QJsonObject>
#include <QStringList>
#include <optional>
#include <vector>

namespace holdfast
{

// How long and how warm material may be held (templates/holding, its README has the fields), and the cold
// clock that counts against it. Pure: times are passed in.

struct HoldingLimit {
    QStringList materials; ///< materials or families, small letters
    QString purpose;       ///< empty: any
    QStringList preservatives;
    std::optional<int> coldMinutes;     ///< from off bottom until stored or preserved; 1 or more
    std::optional<int> preserveMinutes; ///< from off bottom until preserved; 1 or more
    int warnMinutes = 30;
    double lowestC = 0, highestC = 0;
    QString note, source;
};

/// Whether `word` stands in `text` as a word of its own, in any case and with small figures read as plain
/// ones
/// ("HgCl2"): "methanol" is no ethanol.
[[nodiscard]] bool standsIn(const QString &word, const QString &text);

struct HoldingCaution {
    QStringList words;
    QString text;
};

class HoldingTable
{
public:
    /// Error Malformed names the line, the field and what was expected.
    [[nodiscard]] static Result<HoldingTable> parse(const QJsonObject &json, const QString &where);
    /// templates/holding/common.json
    [[nodiscard]] static Result<HoldingTable> load();

    /// The limit for a material (with its family) and a purpose, whatever the letter case; null when no line
    /// suits. The README of templates/holding has the order of looking.
    [[nodiscard]] const HoldingLimit *find(const QString &material, const QString &family,
                                           const QString &purpose) const;
    /// What must be shown where a preservative or coolant is chosen: the cautions of whose words one stands
    /// in it (standsIn).
    [[nodiscard]] QStringList cautionsFor(const QString &substance) const;
    /// What must be shown where a kind of animal is collected, split, handed over or packed that may be
    /// protected; by the same rule.
    [[nodiscard]] QStringList cautionsForKind(const QString &kind) const;
    [[nodiscard]] const std::vector<HoldingLimit> &limits() const { return m_limits; }

private:
    std::vector<HoldingLimit> m_limits;
    std::vector<HoldingCaution> m_cautions, m_kindCautions;
};

enum class ClockState {
    Running, ///< time is left
    Warning, ///< less than warnMinutes are left
    Over,    ///< the limit has passed and it is not done
    Met,     ///< done in time
    MetLate, ///< done after the limit
};
[[nodiscard]] QString clockWord(ClockState state);

struct ClockReading {
    QString what; ///< "into the cold", "into preservative"
    UtcTime due{};
    double leftMinutes = 0; ///< until `due`, at `now` or at the moment it was done; negative: too late
    ClockState state = ClockState::Running;
};

/// "into the cold"
[[nodiscard]] QString coldWords();
/// "into the cold 12 minutes after the limit", of a reading that was met late.
[[nodiscard]] QString lateWords(const ClockReading &reading);

/// When something happened to an item; none: not yet.
struct HeldTimes {
    UtcTime begun{}; ///< off bottom, or the latest it can have been where nobody recorded that
    std::optional<UtcTime> preserved;
    std::optional<UtcTime> stored; ///< where it is cold enough
};

/// Reads the cold clock of an item at `now`: one reading for each limit, the earlier due first. The clock
/// runs from leaving the bottom (an animal leaves its cold water during the ascent). Storing meets a limit to
/// preservative only when no preservative is needed. What is done exactly at the limit is in time.
[[nodiscard]] std::vector<ClockReading> coldClock(const HoldingLimit &limit, const HeldTimes &times,
                                                  UtcTime now);

} // namespace holdfast
