// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace holdfast
{

// Labels that were printed with an id of their own and no sample behind it. A projection, as all such tables.
inline constexpr const char *blankLabelTables[] = {
    // One row a print; the numbers of a dive are given once.
    R"(CREATE TABLE blank_label (
        entry   TEXT NOT NULL PRIMARY KEY,
        dive    INTEGER NOT NULL REFERENCES dive (number),
        first   INTEGER NOT NULL CHECK (first > 0),
        count   INTEGER NOT NULL CHECK (count > 0),
        by_whom TEXT NOT NULL,
        time_us INTEGER NOT NULL) STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX blank_label_dive ON blank_label (dive))",
    // What a label was stuck on. All rows stay, the greatest lamport counts for a label.
    R"(CREATE TABLE label_binding (
        entry   TEXT NOT NULL PRIMARY KEY,
        lamport INTEGER NOT NULL,
        label   TEXT NOT NULL,
        item    TEXT NOT NULL,
        reason  TEXT NOT NULL,
        by_whom TEXT NOT NULL,
        time_us INTEGER NOT NULL) STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX label_binding_label ON label_binding (label))",
    R"(CREATE INDEX label_binding_item ON label_binding (item))",
};

} // namespace holdfast
