// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace holdfast
{

// An index for finding samples and specimens by any word: no record and no projection. Triggers keep one row
// an item in step with the projection tables, in the same transaction, so it is as durable and as right as
// they are; whatever fills or rebuilds those, fills this. `find_text` is the word index over it.
//
// The holder here is that of the last event in order of time, which is what custody_chain.h says too but for
// histories that contradict themselves.
inline constexpr const char *findTables[] = {
    R"(CREATE TABLE find_item (
        n      INTEGER PRIMARY KEY,
        id     TEXT NOT NULL UNIQUE,
        sample TEXT NOT NULL,
        dive   INTEGER NOT NULL,
        slot   TEXT NOT NULL,
        what   TEXT NOT NULL,
        names  TEXT NOT NULL,
        words  TEXT NOT NULL,
        place  TEXT NOT NULL,
        holder TEXT NOT NULL,
        state  TEXT NOT NULL) STRICT)",
    R"(CREATE INDEX find_item_dive ON find_item (dive))",
    R"(CREATE VIRTUAL TABLE find_text USING fts5 (id, slot, what, names, words, place, holder, state,
        content='find_item', content_rowid='n', prefix='2 3', tokenize='unicode61 remove_diacritics 2'))",
    R"(CREATE VIEW find_source AS
        SELECT i.id AS id, i.sample AS sample, i.parent AS parent, i.dive AS dive, i.since AS since, i.slot AS slot,
            i.what AS what,
            ifnull((SELECT group_concat(name, ' ') FROM identification d WHERE d.item=i.id), '') AS names,
            i.words || ' ' || ifnull((SELECT preservative FROM preservation r WHERE r.item=i.id
                ORDER BY lamport DESC, entry DESC LIMIT 1), '') AS words,
            ifnull((SELECT place FROM (SELECT place, time_us FROM storage t WHERE t.item=i.id UNION ALL
                SELECT place, time_us FROM custody_event c WHERE c.item=i.id AND c.place<>'')
                ORDER BY time_us DESC LIMIT 1), '') AS place,
            coalesce(
                (SELECT holder FROM find_holder h WHERE h.item=i.id ORDER BY time_us DESC, lamport DESC LIMIT 1),
                (SELECT holder FROM find_holder h WHERE h.item=i.parent AND h.time_us<=i.since
                    ORDER BY time_us DESC, lamport DESC LIMIT 1),
                (SELECT holder FROM find_holder h WHERE h.item=i.sample AND h.time_us<=i.since
                    ORDER BY time_us DESC, lamport DESC LIMIT 1),
                (SELECT person FROM custodian u WHERE u.dive=i.dive ORDER BY time_us DESC, lamport DESC LIMIT 1),
                '') AS holder,
            CASE WHEN i.state<>'held' THEN i.state ELSE ifnull(
                (SELECT CASE c.what WHEN 'ended' THEN c.reason WHEN 'offered' THEN 'in transit' ELSE 'held' END
                    FROM custody_event c WHERE c.item=i.id AND c.what<>'secured'
                    ORDER BY time_us DESC, lamport DESC LIMIT 1), 'held') END AS state
        FROM (
            SELECT s.id AS id, s.id AS sample, '' AS parent, s.dive AS dive, s.time_us AS since,
                ifnull(s.slot, '') AS slot, s.kind || ' ' || s.family AS what,
                s.description || ' ' || s.tool || ' ' || s.asked_by || ' ' || s.permit AS words, s.state AS state
            FROM sample s
            UNION ALL
            SELECT p.id, p.sample, p.parent, s.dive, p.time_us, '', p.material || ' ' || p.purpose,
                p.description || ' ' || p.relation, s.state
            FROM specimen p JOIN sample s ON s.id=p.sample) i)",
    // Who has it after each event.
    R"(CREATE VIEW find_holder AS
        SELECT c.item AS item, c.time_us AS time_us, c.lamport AS lamport,
            CASE WHEN c.what='ended' THEN ''
                WHEN c.what='offered' AND c.carrier<>'' THEN c.carrier
                WHEN c.what='withdrawn' THEN ifnull((SELECT giver FROM hand_over h WHERE h.offer=c.offer), '')
                ELSE c.holder END AS holder
        FROM custody_event c WHERE c.what<>'secured')",

    R"(CREATE TRIGGER find_added AFTER INSERT ON find_item BEGIN
        INSERT INTO find_text (rowid, id, slot, what, names, words, place, holder, state)
            VALUES (NEW.n, NEW.id, NEW.slot, NEW.what, NEW.names, NEW.words, NEW.place, NEW.holder, NEW.state);
        END)",
    R"(CREATE TRIGGER find_removed AFTER DELETE ON find_item BEGIN
        INSERT INTO find_text (find_text, rowid, id, slot, what, names, words, place, holder, state) VALUES
            ('delete', OLD.n, OLD.id, OLD.slot, OLD.what, OLD.names, OLD.words, OLD.place, OLD.holder, OLD.state);
        END)",
    R"(CREATE TRIGGER find_changed AFTER UPDATE ON find_item BEGIN
        INSERT INTO find_text (find_text, rowid, id, slot, what, names, words, place, holder, state) VALUES
            ('delete', OLD.n, OLD.id, OLD.slot, OLD.what, OLD.names, OLD.words, OLD.place, OLD.holder, OLD.state);
        INSERT INTO find_text (rowid, id, slot, what, names, words, place, holder, state)
            VALUES (NEW.n, NEW.id, NEW.slot, NEW.what, NEW.names, NEW.words, NEW.place, NEW.holder, NEW.state);
        END)",
    R"(CREATE TRIGGER find_sample_gone AFTER DELETE ON sample BEGIN DELETE FROM find_item WHERE id=OLD.id; END)",
    R"(CREATE TRIGGER find_specimen_gone AFTER DELETE ON specimen BEGIN DELETE FROM find_item WHERE id=OLD.id; END)",

// Reads one item again. The view is asked for one id at a time: only then does it look up that item alone.
#define HOLDFAST_FIND(NAME, CHANGE, ID)                                                                      \
    "CREATE TRIGGER find_" NAME " AFTER " CHANGE " BEGIN "                                                   \
    "INSERT INTO find_item (id, sample, dive, slot, what, names, words, place, holder, state) "              \
    "SELECT id, sample, dive, slot, what, names, words, place, holder, state FROM find_source WHERE id=" ID  \
    " ON CONFLICT (id) DO UPDATE SET slot=excluded.slot, what=excluded.what, names=excluded.names, "         \
    "words=excluded.words, place=excluded.place, holder=excluded.holder, state=excluded.state; END"
    HOLDFAST_FIND("sample_in", "INSERT ON sample", "NEW.id"),
    HOLDFAST_FIND("sample_up", "UPDATE ON sample", "NEW.id"),
    HOLDFAST_FIND("specimen_in", "INSERT ON specimen", "NEW.id"),
    HOLDFAST_FIND("specimen_up", "UPDATE ON specimen", "NEW.id"),
    HOLDFAST_FIND("identification_in", "INSERT ON identification", "NEW.item"),
    HOLDFAST_FIND("identification_up", "UPDATE ON identification", "NEW.item"),
    HOLDFAST_FIND("preservation_in", "INSERT ON preservation", "NEW.item"),
    HOLDFAST_FIND("preservation_up", "UPDATE ON preservation", "NEW.item"),
    HOLDFAST_FIND("storage_in", "INSERT ON storage", "NEW.item"),
    HOLDFAST_FIND("storage_up", "UPDATE ON storage", "NEW.item"),
    HOLDFAST_FIND("custody_in", "INSERT ON custody_event", "NEW.item"),
    HOLDFAST_FIND("custody_up", "UPDATE ON custody_event", "NEW.item"),
#undef HOLDFAST_FIND
    // What concerns several items touches their rows, whose own triggers then read them again. A part had
    // what its parent had until it was split off, so a late entry about the parent concerns it too.
    R"(CREATE TRIGGER find_sample_parts AFTER UPDATE ON sample WHEN OLD.state<>NEW.state BEGIN
        UPDATE specimen SET relation=relation WHERE sample=NEW.id; END)",
    R"(CREATE TRIGGER find_custody_parts AFTER INSERT ON custody_event BEGIN
        UPDATE specimen SET relation=relation WHERE parent=NEW.item AND time_us>=NEW.time_us;
        UPDATE specimen SET relation=relation WHERE sample=NEW.item AND time_us>=NEW.time_us; END)",
    R"(CREATE TRIGGER find_custody_parts_up AFTER UPDATE ON custody_event WHEN OLD.time_us<>NEW.time_us BEGIN
        UPDATE specimen SET relation=relation WHERE parent=NEW.item;
        UPDATE specimen SET relation=relation WHERE sample=NEW.item; END)",
    R"(CREATE TRIGGER find_custodian_in AFTER INSERT ON custodian BEGIN
        UPDATE sample SET warnings=warnings WHERE dive=NEW.dive;
        UPDATE specimen SET relation=relation WHERE sample IN (SELECT id FROM sample WHERE dive=NEW.dive); END)",
    R"(CREATE TRIGGER find_custodian_up AFTER UPDATE ON custodian BEGIN
        UPDATE sample SET warnings=warnings WHERE dive=NEW.dive;
        UPDATE specimen SET relation=relation WHERE sample IN (SELECT id FROM sample WHERE dive=NEW.dive); END)",

    // States of one sample are looked up for each of its parts.
    R"(CREATE INDEX amendment_sample ON amendment (sample))",
    // What is in the file already.
    R"(INSERT INTO find_item (id, sample, dive, slot, what, names, words, place, holder, state)
        SELECT id, sample, dive, slot, what, names, words, place, holder, state FROM find_source)",
};

} // namespace holdfast
