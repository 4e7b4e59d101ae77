// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace holdfast
{

// Received lines: what the live feeds sent, as it came, before anybody read it. Not made from the ledger: the
// entry that closes a recording carries its counts and the digest of its blocks, which prove it.
inline constexpr const char *receivedLineTables[] = {
    // The live feeds of a station, as set by people.
    R"(CREATE TABLE feed (
        station        TEXT NOT NULL,
        name           TEXT NOT NULL,
        address        TEXT NOT NULL,
        profile        TEXT NOT NULL,
        silent_after_ms INTEGER NOT NULL CHECK (silent_after_ms > 0),
        place          INTEGER NOT NULL,
        PRIMARY KEY (station, name)) STRICT, WITHOUT ROWID)",
    // A recording that was closed: from there on nothing can be added to it unseen.
    R"(CREATE TABLE recording (
        uuid      TEXT NOT NULL PRIMARY KEY,
        dive      INTEGER NOT NULL REFERENCES dive (number),
        feed      TEXT NOT NULL,
        address   TEXT NOT NULL,
        profile   TEXT NOT NULL,
        begun_us  INTEGER NOT NULL,
        lines     INTEGER NOT NULL,
        bytes     INTEGER NOT NULL,
        blocks    INTEGER NOT NULL,
        first_us  INTEGER NOT NULL,
        last_us   INTEGER NOT NULL,
        digest    TEXT NOT NULL,
        ending    TEXT NOT NULL,
        closed_us INTEGER NOT NULL,
        by_whom   TEXT NOT NULL) STRICT, WITHOUT ROWID)",
    // One row for each time that a feed was opened and sent something.
    R"(CREATE TABLE log_recording (
        id           INTEGER PRIMARY KEY,
        uuid         TEXT NOT NULL UNIQUE,
        dive         INTEGER NOT NULL,
        station      TEXT NOT NULL,
        feed         TEXT NOT NULL,
        address      TEXT NOT NULL,
        profile      TEXT NOT NULL,
        profile_json TEXT NOT NULL,
        begun_us     INTEGER NOT NULL) STRICT)",
    R"(CREATE INDEX log_recording_dive ON log_recording (dive, feed))",
    // About a second of one feed (feed/line_pack.h).
    R"(CREATE TABLE log_received (
        id        INTEGER PRIMARY KEY,
        recording INTEGER NOT NULL REFERENCES log_recording (id),
        seq       INTEGER NOT NULL,
        first_us  INTEGER NOT NULL,
        last_us   INTEGER NOT NULL,
        lines     INTEGER NOT NULL,
        bytes     INTEGER NOT NULL,
        sha256    BLOB NOT NULL,
        data      BLOB NOT NULL,
        UNIQUE (recording, seq)) STRICT)",
};

} // namespace holdfast
