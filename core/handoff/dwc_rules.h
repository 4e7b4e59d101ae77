// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"

#include <QString>
#include <optional>

namespace holdfast
{

// Rules for single values of Darwin Core tables, each with its source. Pure.

/// An eventDate: ISO 8601 extended, a date, an instant or an interval. Source: Darwin Core term eventDate;
/// OBIS manual, dates.
struct EventDate {
    UtcTime from{}, to{};
    bool hasTime = false; ///< more than a date
    bool zoned = true;    ///< every time has a zone
};
/// Nothing for week, ordinal and duration forms, for an end before its begin and for what is no date.
[[nodiscard]] std::optional<EventDate> readEventDate(const QString &text);

/// Nothing wrong: an empty text; else the reason.
[[nodiscard]] QString wrongScientificName(const QString &name);
[[nodiscard]] QString wrongBasisOfRecord(const QString &basis);
[[nodiscard]] QString wrongVocabularyUri(const QString &uri, const QString &collection);

} // namespace holdfast
