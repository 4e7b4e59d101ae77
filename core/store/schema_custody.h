// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace holdfast
{

// Who had what: hand-overs, seals, amendments of what was recorded on deck and bench. Projections of the
// ledger. Confirmations are JSON. No row points to another table: stations may send what contradicts.
inline constexpr const char *custodyTables[] = {
    // Who answers for what a dive brings up, until the first hand-over.
    R"(CREATE TABLE custodian (
        entry   TEXT NOT NULL PRIMARY KEY,
        lamport INTEGER NOT NULL,
        dive    INTEGER NOT NULL,
        person  TEXT NOT NULL,
        by_whom TEXT NOT NULL,
        time_us INTEGER NOT NULL) STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX custodian_dive ON custodian (dive))",
    // One row a hand-over; `code` is what people call it by.
    R"(CREATE TABLE hand_over (
        entry        TEXT NOT NULL PRIMARY KEY,
        lamport      INTEGER NOT NULL,
        offer        TEXT NOT NULL,
        code         TEXT NOT NULL,
        giver        TEXT NOT NULL,
        receiver     TEXT NOT NULL,
        purpose      TEXT NOT NULL,
        carrier      TEXT NOT NULL,
        tracking     TEXT NOT NULL,
        due_back_us  INTEGER,
        basis        TEXT NOT NULL,
        place        TEXT NOT NULL,
        remark       TEXT NOT NULL,
        confirmation TEXT NOT NULL,
        by_whom      TEXT NOT NULL,
        time_us      INTEGER NOT NULL) STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX hand_over_offer ON hand_over (offer))",
    R"(CREATE INDEX hand_over_code ON hand_over (code))",
    // One row an answer of a receiver; an offer may be answered in parts.
    R"(CREATE TABLE hand_over_answer (
        entry         TEXT NOT NULL PRIMARY KEY,
        lamport       INTEGER NOT NULL,
        offer         TEXT NOT NULL,
        receiver      TEXT NOT NULL,
        condition     TEXT NOT NULL,
        temperature_c TEXT NOT NULL,
        count         INTEGER,
        remark        TEXT NOT NULL,
        confirmation  TEXT NOT NULL,
        by_whom       TEXT NOT NULL,
        time_us       INTEGER NOT NULL) STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX hand_over_answer_offer ON hand_over_answer (offer))",
    // One row an item and entry. what: offered, accepted, refused, withdrawn, claimed, secured, ended.
    R"(CREATE TABLE custody_event (
        entry   TEXT NOT NULL,
        item    TEXT NOT NULL,
        lamport INTEGER NOT NULL,
        what    TEXT NOT NULL,
        offer   TEXT NOT NULL,
        holder  TEXT NOT NULL,
        other   TEXT NOT NULL,
        carrier TEXT NOT NULL,
        basis   TEXT NOT NULL,
        place   TEXT NOT NULL,
        reason  TEXT NOT NULL,
        by_whom TEXT NOT NULL,
        time_us INTEGER NOT NULL,
        PRIMARY KEY (entry, item)) STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX custody_event_item ON custody_event (item))",
    R"(CREATE INDEX custody_event_offer ON custody_event (offer, item))",
    // what: applied, intact, broken (by somebody), found broken, found missing
    R"(CREATE TABLE seal_event (
        entry   TEXT NOT NULL,
        seal    TEXT NOT NULL,
        lamport INTEGER NOT NULL,
        what    TEXT NOT NULL,
        place   TEXT NOT NULL,
        reason  TEXT NOT NULL,
        by_whom TEXT NOT NULL,
        time_us INTEGER NOT NULL,
        PRIMARY KEY (entry, seal)) STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX seal_event_seal ON seal_event (seal))",
    // What a seal closes, from when it was applied.
    R"(CREATE TABLE seal_item (
        entry TEXT NOT NULL,
        item  TEXT NOT NULL,
        seal  TEXT NOT NULL,
        PRIMARY KEY (entry, item)) STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX seal_item_item ON seal_item (item))",
    R"(CREATE INDEX seal_item_seal ON seal_item (seal))",
    // A correction of one value of an earlier entry: what it was and what it became.
    R"(CREATE TABLE entry_amendment (
        entry     TEXT NOT NULL PRIMARY KEY,
        lamport   INTEGER NOT NULL,
        target    TEXT NOT NULL,
        field     TEXT NOT NULL,
        old_value TEXT NOT NULL,
        new_value TEXT NOT NULL,
        reason    TEXT NOT NULL,
        by_whom   TEXT NOT NULL,
        time_us   INTEGER NOT NULL) STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX entry_amendment_target ON entry_amendment (target))",
};

} // namespace holdfast
