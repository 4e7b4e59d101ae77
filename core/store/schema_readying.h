// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace holdfast
{

// Readying a dive: the checklist, the watch, the limits of permits and the collection plan. Projections of
// the ledger as the tables of the first step are.
inline constexpr const char *readyingTables[] = {
    // One row a point that was checked; taken back, the row goes.
    R"(CREATE TABLE ready_check (
        dive     INTEGER NOT NULL REFERENCES dive (number),
        item     TEXT NOT NULL,
        subject  TEXT NOT NULL,
        in_order INTEGER NOT NULL CHECK (in_order IN (0, 1)),
        seen     TEXT NOT NULL,
        note     TEXT NOT NULL,
        by_whom  TEXT NOT NULL,
        time_us  INTEGER NOT NULL,
        PRIMARY KEY (dive, item, subject)) STRICT, WITHOUT ROWID)",
    // Who has a post now; the changes are in the ledger.
    R"(CREATE TABLE watch (
        dive     INTEGER NOT NULL REFERENCES dive (number),
        role     TEXT NOT NULL,
        person   TEXT NOT NULL,
        since_us INTEGER NOT NULL,
        PRIMARY KEY (dive, role)) STRICT, WITHOUT ROWID)",
    R"(CREATE TABLE permit_limit (
        taxon   TEXT NOT NULL COLLATE NOCASE PRIMARY KEY,
        most    INTEGER NOT NULL CHECK (most >= 0),
        title   TEXT NOT NULL,
        by_whom TEXT NOT NULL,
        time_us INTEGER NOT NULL) STRICT, WITHOUT ROWID)",
    // dive 0: the whole cruise. `kind` is a kind or a family of kinds.
    R"(CREATE TABLE wanted (
        dive    INTEGER NOT NULL,
        kind    TEXT NOT NULL,
        least   INTEGER NOT NULL,
        most    INTEGER,
        by_whom TEXT NOT NULL,
        time_us INTEGER NOT NULL,
        PRIMARY KEY (dive, kind)) STRICT, WITHOUT ROWID)",
};

} // namespace holdfast
