// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace holdfast
{

// The sensor log: what the instruments said, in packed blocks. It is not made from the ledger and never
// rebuilt; the ledger's intake entry carries the file's SHA-256 and the digest of its blocks, which prove it.
inline constexpr const char *sensorLogTables[] = {
    // One row a log file. `uuid` is that of the intake; `columns` says what the blocks hold
    // (store/sensor_blocks.h); `digest` is the SHA-256 over the sums of its blocks in order. A log that
    // another
    // one has replaced is no longer in use, but stays.
    R"(CREATE TABLE log_file (
        id           INTEGER PRIMARY KEY,
        uuid         TEXT NOT NULL UNIQUE,
        dive         INTEGER NOT NULL,
        kind         TEXT NOT NULL CHECK (kind IN ('position', 'ctd', 'velocity')),
        profile      TEXT NOT NULL,
        profile_json TEXT NOT NULL,
        file_name    TEXT NOT NULL,
        sha256       TEXT NOT NULL,
        bytes        INTEGER NOT NULL,
        rows         INTEGER NOT NULL,
        first_us     INTEGER NOT NULL,
        last_us      INTEGER NOT NULL,
        columns      TEXT NOT NULL,
        digest       TEXT NOT NULL,
        in_use       INTEGER NOT NULL DEFAULT 1 CHECK (in_use IN (0, 1)),
        UNIQUE (dive, sha256)) STRICT)",
    R"(CREATE TABLE log_block (
        id       INTEGER PRIMARY KEY,
        file     INTEGER NOT NULL REFERENCES log_file (id),
        seq      INTEGER NOT NULL,
        first_us INTEGER NOT NULL,
        last_us  INTEGER NOT NULL,
        rows     INTEGER NOT NULL,
        sha256   BLOB NOT NULL,
        data     BLOB NOT NULL,
        UNIQUE (file, seq)) STRICT)",
    R"(CREATE INDEX log_block_time ON log_block (file, first_us, last_us))",
    // The file's own bytes, packed piece by piece (feed/text_pack.h).
    R"(CREATE TABLE log_text (
        id    INTEGER PRIMARY KEY,
        file  INTEGER NOT NULL REFERENCES log_file (id),
        seq   INTEGER NOT NULL,
        bytes INTEGER NOT NULL,
        data  BLOB NOT NULL,
        UNIQUE (file, seq)) STRICT)",
    // What was said about its lines, counted by reason; a warning has no line.
    R"(CREATE TABLE log_remark (
        id         INTEGER PRIMARY KEY,
        file       INTEGER NOT NULL REFERENCES log_file (id),
        what       TEXT NOT NULL CHECK (what IN ('repaired', 'rejected', 'noted', 'warning')),
        reason     TEXT NOT NULL,
        count      INTEGER NOT NULL,
        first_line INTEGER NOT NULL) STRICT)",
    R"(CREATE INDEX log_remark_file ON log_remark (file))",
    // The lines that were not used.
    R"(CREATE TABLE log_aside (
        id     INTEGER PRIMARY KEY,
        file   INTEGER NOT NULL REFERENCES log_file (id),
        line   INTEGER NOT NULL,
        reason TEXT NOT NULL,
        text   BLOB NOT NULL) STRICT)",
    R"(CREATE INDEX log_aside_file ON log_aside (file))",
};

} // namespace holdfast
