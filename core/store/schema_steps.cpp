// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/schema.h"

#include "store/schema_custody.h"
#include "store/schema_find.h"
#include "store/schema_find_order.h"
#include "store/schema_lines.h"
#include "store/schema_papers.h"
#include "store/schema_readying.h"
#include "store/schema_sensor.h"

namespace holdfast
{

namespace
{

// The ledger and its heads are the record. All tables after them (but `installation` and the sensor log) are
// projections: made from the ledger, rebuilt from it, and compared with it by the audit.
// Times are microseconds since 1970 UTC in columns ending in _us.
constexpr const char *step1[] = {
    // One row an entry. `hash` is SHA-256 over the canonical form (ledger/canonical.h) of all other columns;
    // `prev` is
    // the hash of the station's entry before it. `lamport` orders the entries of several stations.
    R"(CREATE TABLE ledger (
        station TEXT NOT NULL,
        seq     INTEGER NOT NULL CHECK (seq > 0),
        lamport INTEGER NOT NULL,
        uuid    TEXT NOT NULL UNIQUE,
        time_us INTEGER NOT NULL,
        actor   TEXT NOT NULL,
        verb    TEXT NOT NULL,
        body    TEXT NOT NULL,
        prev    TEXT NOT NULL,
        hash    TEXT NOT NULL,
        PRIMARY KEY (station, seq)) STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX ledger_order ON ledger (lamport, station, seq))",
    // The last entry of each station, so that cutting off the end of a chain is found.
    R"(CREATE TABLE ledger_head (
        station TEXT NOT NULL PRIMARY KEY,
        seq     INTEGER NOT NULL,
        hash    TEXT NOT NULL) STRICT, WITHOUT ROWID)",
    // What belongs to this copy of the file and not to the record.
    R"(CREATE TABLE installation (
        key   TEXT NOT NULL PRIMARY KEY,
        value TEXT NOT NULL) STRICT, WITHOUT ROWID)",

    R"(CREATE TABLE cruise (
        code       TEXT NOT NULL PRIMARY KEY,
        uuid       TEXT NOT NULL,
        title      TEXT NOT NULL,
        id_pattern TEXT NOT NULL,
        opened_us  INTEGER NOT NULL) STRICT, WITHOUT ROWID)",
    R"(CREATE TABLE station (
        name      TEXT NOT NULL PRIMARY KEY,
        joined_us INTEGER NOT NULL) STRICT, WITHOUT ROWID)",
    R"(CREATE TABLE dive (
        number        INTEGER NOT NULL PRIMARY KEY CHECK (number > 0),
        uuid          TEXT NOT NULL UNIQUE,
        vehicle       TEXT NOT NULL,
        loadout       TEXT NOT NULL,
        loadout_json  TEXT NOT NULL,
        planned_us    INTEGER NOT NULL,
        launched_us   INTEGER,
        on_bottom_us  INTEGER,
        off_bottom_us INTEGER,
        on_deck_us    INTEGER,
        closed_us     INTEGER) STRICT)",
    // `accepts` lists families of kinds, blank between them. `place` orders the slots for unloading, lowest
    // first.
    R"(CREATE TABLE slot (
        dive      INTEGER NOT NULL REFERENCES dive (number),
        code      TEXT NOT NULL,
        container TEXT NOT NULL,
        accepts   TEXT NOT NULL,
        mixing    INTEGER NOT NULL CHECK (mixing IN (0, 1)),
        place     INTEGER NOT NULL,
        lid_open_us INTEGER,
        reachable INTEGER NOT NULL DEFAULT 1 CHECK (reachable IN (0, 1)),
        PRIMARY KEY (dive, code)) STRICT, WITHOUT ROWID)",
    // state: waiting, sample, failed, set aside
    R"(CREATE TABLE stamp (
        uuid    TEXT NOT NULL PRIMARY KEY,
        dive    INTEGER NOT NULL REFERENCES dive (number),
        time_us INTEGER NOT NULL,
        by_whom TEXT NOT NULL,
        state   TEXT NOT NULL CHECK (state IN ('waiting', 'sample', 'failed', 'set aside')),
        reason  TEXT NOT NULL DEFAULT '',
        seen    TEXT NOT NULL DEFAULT '{}') STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX stamp_dive ON stamp (dive, time_us))",
    // state: held, lost, void
    R"(CREATE TABLE sample (
        id          TEXT NOT NULL PRIMARY KEY,
        uuid        TEXT NOT NULL UNIQUE,
        dive        INTEGER NOT NULL REFERENCES dive (number),
        number      INTEGER NOT NULL CHECK (number > 0),
        stamp       TEXT NOT NULL UNIQUE REFERENCES stamp (uuid),
        time_us     INTEGER NOT NULL,
        slot        TEXT,
        kind        TEXT NOT NULL,
        family      TEXT NOT NULL,
        count       INTEGER NOT NULL CHECK (count > 0),
        description TEXT NOT NULL,
        tool        TEXT NOT NULL,
        asked_by    TEXT NOT NULL,
        permit      TEXT NOT NULL,
        logged_by   TEXT NOT NULL,
        state       TEXT NOT NULL CHECK (state IN ('held', 'lost', 'void')),
        warnings    TEXT NOT NULL,
        UNIQUE (dive, number),
        FOREIGN KEY (dive, slot) REFERENCES slot (dive, code)) STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX sample_slot ON sample (dive, slot))",
    // Every amendment of a sample: what a field was and what it became.
    R"(CREATE TABLE amendment (
        entry     TEXT NOT NULL,
        sample    TEXT NOT NULL REFERENCES sample (id),
        field     TEXT NOT NULL,
        old_value TEXT NOT NULL,
        new_value TEXT NOT NULL,
        reason    TEXT NOT NULL,
        by_whom   TEXT NOT NULL,
        time_us   INTEGER NOT NULL,
        PRIMARY KEY (entry, field)) STRICT, WITHOUT ROWID)",
    R"(CREATE TABLE lid (
        entry   TEXT NOT NULL PRIMARY KEY,
        dive    INTEGER NOT NULL,
        slot    TEXT NOT NULL,
        open    INTEGER NOT NULL CHECK (open IN (0, 1)),
        time_us INTEGER NOT NULL,
        FOREIGN KEY (dive, slot) REFERENCES slot (dive, code)) STRICT, WITHOUT ROWID)",
    // answer: as logged, empty, different, broken, extra
    R"(CREATE TABLE tally (
        dive    INTEGER NOT NULL,
        slot    TEXT NOT NULL,
        answer  TEXT NOT NULL CHECK (answer IN ('as logged', 'empty', 'different', 'broken', 'extra')),
        note    TEXT NOT NULL,
        by_whom TEXT NOT NULL,
        time_us INTEGER NOT NULL,
        PRIMARY KEY (dive, slot),
        FOREIGN KEY (dive, slot) REFERENCES slot (dive, code)) STRICT, WITHOUT ROWID)",
    // A part of a sample (parent = the sample) or of a specimen (parent = the specimen). A measured value is
    // text; count and span are null when nobody counted or the moment is the sample's own.
    R"(CREATE TABLE specimen (
        id          TEXT NOT NULL PRIMARY KEY,
        uuid        TEXT NOT NULL UNIQUE,
        sample      TEXT NOT NULL REFERENCES sample (id),
        parent      TEXT NOT NULL,
        number      INTEGER NOT NULL CHECK (number > 0),
        material    TEXT NOT NULL,
        purpose     TEXT NOT NULL,
        count       INTEGER CHECK (count > 0),
        mass_g      TEXT NOT NULL,
        size_mm     TEXT NOT NULL,
        description TEXT NOT NULL,
        found_on    TEXT NOT NULL,
        relation    TEXT NOT NULL,
        from_us     INTEGER,
        to_us       INTEGER,
        by_whom     TEXT NOT NULL,
        time_us     INTEGER NOT NULL,
        UNIQUE (parent, number)) STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX specimen_sample ON specimen (sample))",
    R"(CREATE TABLE specimen_amendment (
        entry     TEXT NOT NULL PRIMARY KEY,
        lamport   INTEGER NOT NULL,
        specimen  TEXT NOT NULL REFERENCES specimen (id),
        field     TEXT NOT NULL,
        old_value TEXT NOT NULL,
        new_value TEXT NOT NULL,
        reason    TEXT NOT NULL,
        by_whom   TEXT NOT NULL,
        time_us   INTEGER NOT NULL) STRICT, WITHOUT ROWID)",
    // `item` is the id of a sample or a specimen, here and below. All rows stay, the greatest lamport counts.
    R"(CREATE TABLE identification (
        entry         TEXT NOT NULL PRIMARY KEY,
        lamport       INTEGER NOT NULL,
        item          TEXT NOT NULL,
        name          TEXT NOT NULL,
        rank          TEXT NOT NULL,
        qualifier     TEXT NOT NULL,
        identified_by TEXT NOT NULL,
        date          TEXT NOT NULL,
        remark        TEXT NOT NULL,
        by_whom       TEXT NOT NULL,
        time_us       INTEGER NOT NULL) STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX identification_item ON identification (item))",
    R"(CREATE TABLE photograph (
        entry     TEXT NOT NULL PRIMARY KEY,
        item      TEXT NOT NULL,
        file_name TEXT NOT NULL,
        path      TEXT NOT NULL,
        sha256    TEXT NOT NULL,
        bytes     INTEGER NOT NULL,
        caption   TEXT NOT NULL,
        by_whom   TEXT NOT NULL,
        time_us   INTEGER NOT NULL) STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX photograph_item ON photograph (item))",
    // What an item was put into; both ways of counting formaldehyde are kept. The last row counts.
    R"(CREATE TABLE preservation (
        entry                TEXT NOT NULL PRIMARY KEY,
        lamport              INTEGER NOT NULL,
        item                 TEXT NOT NULL,
        preservative         TEXT NOT NULL,
        percent              TEXT NOT NULL,
        base                 TEXT NOT NULL,
        formalin_percent     TEXT NOT NULL,
        formaldehyde_percent TEXT NOT NULL,
        container            TEXT NOT NULL,
        container_number     INTEGER NOT NULL CHECK (container_number > 0),
        container_count      INTEGER NOT NULL CHECK (container_count >= container_number),
        warnings             TEXT NOT NULL,
        by_whom              TEXT NOT NULL,
        time_us              INTEGER NOT NULL) STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX preservation_item ON preservation (item))",
    // Where an item was put; `place` is a path, "ship/lab 2/freezer A/shelf 3". The last row counts.
    R"(CREATE TABLE storage (
        entry         TEXT NOT NULL PRIMARY KEY,
        lamport       INTEGER NOT NULL,
        item          TEXT NOT NULL,
        place         TEXT NOT NULL,
        temperature_c TEXT NOT NULL,
        warnings      TEXT NOT NULL,
        by_whom       TEXT NOT NULL,
        time_us       INTEGER NOT NULL) STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX storage_item ON storage (item))",
    R"(CREATE INDEX storage_place ON storage (place))",
    // One row a log file that was taken in. The values themselves are in the sensor log's tables under the
    // same uuid.
    R"(CREATE TABLE intake (
        uuid       TEXT NOT NULL PRIMARY KEY,
        dive       INTEGER NOT NULL REFERENCES dive (number),
        profile    TEXT NOT NULL,
        kind       TEXT NOT NULL,
        file_name  TEXT NOT NULL,
        sha256     TEXT NOT NULL,
        digest     TEXT NOT NULL,
        bytes      INTEGER NOT NULL,
        accepted   INTEGER NOT NULL,
        repaired   INTEGER NOT NULL,
        rejected   INTEGER NOT NULL,
        first_us   INTEGER,
        last_us    INTEGER,
        taken_us   INTEGER NOT NULL,
        by_whom    TEXT NOT NULL,
        replaced_by TEXT,
        UNIQUE (dive, sha256)) STRICT, WITHOUT ROWID)",
    // What is subtracted from the times of a kind of log, by a person's decision; the last one counts.
    R"(CREATE TABLE clock_offset (
        dive      INTEGER NOT NULL REFERENCES dive (number),
        log       TEXT NOT NULL,
        offset_us INTEGER NOT NULL,
        entry     TEXT NOT NULL,
        PRIMARY KEY (dive, log)) STRICT, WITHOUT ROWID)",
    // Fixes and water values as a person accepted them, JSON; all of them stay, the greatest `lamport`
    // counts.
    R"(CREATE TABLE accepted_value (
        entry   TEXT NOT NULL,
        sample  TEXT NOT NULL REFERENCES sample (id),
        lamport INTEGER NOT NULL,
        value   TEXT NOT NULL,
        reason  TEXT NOT NULL,
        by_whom TEXT NOT NULL,
        time_us INTEGER NOT NULL,
        PRIMARY KEY (entry, sample)) STRICT, WITHOUT ROWID)",
};

// Several stations. A station's key vouches for the head of its chain, and so for every entry up to there
// (ledger/signature.h); only the newest signature of each key is kept, it covers what the earlier ones did.
constexpr const char *stations[] = {
    R"(CREATE TABLE ledger_signature (
        station    TEXT NOT NULL,
        public_key TEXT NOT NULL,
        seq        INTEGER NOT NULL,
        hash       TEXT NOT NULL,
        signature  TEXT NOT NULL,
        PRIMARY KEY (station, public_key)) STRICT, WITHOUT ROWID)",
    // Empty for a station that has never announced a key.
    R"(ALTER TABLE station ADD COLUMN public_key TEXT NOT NULL DEFAULT '')",
    // The first number this station gives to samples; the next station's first is where its own end.
    R"(ALTER TABLE station ADD COLUMN numbers_from INTEGER NOT NULL DEFAULT 1)",
    // An entry that could not be put into the tables because of another station's entry: a conflict that a
    // person must see. The entry itself is in the ledger like any other.
    R"(CREATE TABLE held_back (
        entry TEXT NOT NULL PRIMARY KEY,
        why   TEXT NOT NULL) STRICT, WITHOUT ROWID)",
};

constexpr const char *shipLogs[] = {
    // Whose rows a log of kind 'position' has: the vehicle's positions, the ship's, or what the ship's
    // acoustics measured of the vehicle.
    R"(ALTER TABLE log_file ADD COLUMN role TEXT NOT NULL DEFAULT 'vehicle'
        CHECK (role IN ('vehicle', 'ship', 'acoustic')))",
    // What a person decided about the sensors of a CTD log; the last one counts. The offset is decimal text.
    R"(CREATE TABLE sensor_correction (
        entry           TEXT NOT NULL PRIMARY KEY,
        lamport         INTEGER NOT NULL,
        intake          TEXT NOT NULL REFERENCES intake (uuid),
        lag_us          INTEGER NOT NULL,
        pressure_offset TEXT NOT NULL,
        reason          TEXT NOT NULL,
        by_whom         TEXT NOT NULL,
        time_us         INTEGER NOT NULL) STRICT, WITHOUT ROWID)",
    R"(CREATE INDEX sensor_correction_intake ON sensor_correction (intake))",
};

// A log that is being put into the file piece by piece, so that nobody waits for it. Until its last piece is
// there, with the ledger's entry, it counts for nothing; what was left half is taken out again.
constexpr const char *logsInTheMaking[] = {
    R"(CREATE TABLE log_in_making (file INTEGER PRIMARY KEY REFERENCES log_file (id)) STRICT)",
};

constexpr SchemaStep steps[] = {
    {1, "the ledger, cruise, dives, samples, tally and logs", step1},
    {2, "the sensor log", sensorLogTables},
    {3, "several stations and their keys", stations},
    {4, "live feeds and the lines received from them", receivedLineTables},
    {5, "readying a dive: checklist, watch, permits, plan", readyingTables},
    {6, "ship and acoustic logs, sensor corrections", shipLogs},
    {7, "hand-overs, seals and amendments of entries", custodyTables},
    {8, "finding by any word", findTables},
    {9, "blank labels", blankLabelTables},
    {10, "logs that are put in piece by piece", logsInTheMaking},
    {11, "finding in the order of time, void specimens", findOrderTables},
};

} // namespace

std::span<const SchemaStep> schemaSteps()
{
    return steps;
}

} // namespace holdfast
