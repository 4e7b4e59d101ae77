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
    /// What must be shown where a preservative or coolant is chosen.
    [[nodiscard]] QStringList cautionsFor(const QString &substance) const;
    [[nodiscard]] const std::vector<HoldingLimit> &limits() const { return m_limits; }

private:
    std::vector<HoldingLimit> m_limits;
    std::vector<HoldingCaution> m_cautions;
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

/// When something happened to an item; none: not yet.
struct HeldTimes {
    UtcTime offBottom{};
    std::optional<UtcTime> preserved;
    std::optional<UtcTime> stored;
};

/// Reads the cold clock of an item at `now`: one reading for each limit, the earlier due first. The clock
/// runs from leaving the bottom (an animal leaves its cold water during the ascent). Storing meets a limit to
/// preservative only when no preservative is needed. What is done exactly at the limit is in time.
[[nodiscard]] std::vector<ClockReading> coldClock(const HoldingLimit &limit, const HeldTimes &times,
                                                  UtcTime now);

} // namespace holdfast
