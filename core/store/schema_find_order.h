// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace holdfast
{

// What an item is in, where it is and who has it go by the time it was done; what was done at one time goes
// by the ledger's order: lamport, station, number. What a part was split off from counts for it until it has
// something of its own. A specimen that was split by mistake is void and keeps its number.
inline constexpr const char *findOrderTables[] = {
    R"(ALTER TABLE specimen ADD COLUMN state TEXT NOT NULL DEFAULT 'held' CHECK (state IN ('held', 'void')))",
    R"(DROP VIEW IF EXISTS find_source)",
    R"(DROP VIEW IF EXISTS find_holder)",
    R"(CREATE VIEW find_holder AS
        SELECT c.item AS item, c.time_us AS time_us, l.lamport AS lamport, l.station AS station, l.seq AS seq,
            CASE WHEN c.what='ended' THEN ''
                WHEN c.what='offered' AND c.carrier<>'' THEN c.carrier
                WHEN c.what='withdrawn' THEN ifnull((SELECT giver FROM hand_over h WHERE h.offer=c.offer), '')
                ELSE c.holder END AS holder
        FROM custody_event c JOIN ledger l ON l.uuid=c.entry WHERE c.what<>'secured')",
    R"(CREATE VIEW find_source AS
        SELECT i.id AS id, i.sample AS sample, i.parent AS parent, i.dive AS dive, i.since AS since, i.slot AS slot,
            i.what AS what,
            ifnull((SELECT group_concat(name, ' ') FROM identification d WHERE d.item=i.id), '') AS names,
            i.words || ' ' || coalesce(
                (SELECT preservative FROM preservation r JOIN ledger l ON l.uuid=r.entry WHERE r.item=i.id
                    ORDER BY r.time_us DESC, l.lamport DESC, l.station DESC, l.seq DESC LIMIT 1),
                (SELECT preservative FROM preservation r JOIN ledger l ON l.uuid=r.entry WHERE r.item=i.parent
                    AND r.time_us<=i.since
                    ORDER BY r.time_us DESC, l.lamport DESC, l.station DESC, l.seq DESC LIMIT 1),
                (SELECT preservative FROM preservation r JOIN ledger l ON l.uuid=r.entry WHERE r.item=i.sample
                    AND r.time_us<=min(i.since, i.parent_since)
                    ORDER BY r.time_us DESC, l.lamport DESC, l.station DESC, l.seq DESC LIMIT 1),
                '') AS words,
            ifnull((SELECT place FROM (
                SELECT t.place, t.time_us, l.lamport, l.station, l.seq FROM storage t
                    JOIN ledger l ON l.uuid=t.entry WHERE t.item=i.id UNION ALL
                SELECT c.place, c.time_us, l.lamport, l.station, l.seq FROM custody_event c
                    JOIN ledger l ON l.uuid=c.entry WHERE c.item=i.id AND c.place<>'')
                ORDER BY time_us DESC, lamport DESC, station DESC, seq DESC LIMIT 1), '') AS place,
            coalesce(
                (SELECT holder FROM find_holder h WHERE h.item=i.id
                    ORDER BY time_us DESC, lamport DESC, station DESC, seq DESC LIMIT 1),
                (SELECT holder FROM find_holder h WHERE h.item=i.parent AND h.time_us<=i.since
                    ORDER BY time_us DESC, lamport DESC, station DESC, seq DESC LIMIT 1),
                (SELECT holder FROM find_holder h WHERE h.item=i.sample AND h.time_us<=i.since
                    ORDER BY time_us DESC, lamport DESC, station DESC, seq DESC LIMIT 1),
                (SELECT person FROM custodian u JOIN ledger l ON l.uuid=u.entry WHERE u.dive=i.dive
                    ORDER BY u.time_us DESC, l.lamport DESC, l.station DESC, l.seq DESC LIMIT 1),
                '') AS holder,
            CASE WHEN i.state<>'held' THEN i.state ELSE ifnull(
                (SELECT CASE c.what WHEN 'ended' THEN c.reason WHEN 'offered' THEN 'in transit' ELSE 'held' END
                    FROM custody_event c JOIN ledger l ON l.uuid=c.entry WHERE c.item=i.id AND c.what<>'secured'
                    ORDER BY c.time_us DESC, l.lamport DESC, l.station DESC, l.seq DESC LIMIT 1), 'held')
                END AS state
        FROM (
            SELECT s.id AS id, s.id AS sample, '' AS parent, s.dive AS dive, s.time_us AS since,
                s.time_us AS parent_since, ifnull(s.slot, '') AS slot, s.kind || ' ' || s.family AS what,
                s.description || ' ' || s.tool || ' ' || s.asked_by || ' ' || s.permit AS words, s.state AS state
            FROM sample s
            UNION ALL
            SELECT p.id, p.sample, p.parent, s.dive, p.time_us,
                ifnull((SELECT q.time_us FROM specimen q WHERE q.id=p.parent), p.time_us), '',
                p.material || ' ' || p.purpose, p.description || ' ' || p.relation,
                CASE WHEN p.state='void' THEN 'void' ELSE s.state END
            FROM specimen p JOIN sample s ON s.id=p.sample) i)",
    // A late entry about what a part was split off concerns the part too.
    R"(CREATE TRIGGER find_preservation_parts AFTER INSERT ON preservation BEGIN
        UPDATE specimen SET relation=relation WHERE sample=NEW.item OR parent=NEW.item; END)",
    R"(CREATE TRIGGER find_preservation_parts_up AFTER UPDATE ON preservation BEGIN
        UPDATE specimen SET relation=relation WHERE sample=NEW.item OR parent=NEW.item; END)",
    // What stands in the index already is read again.
    R"(UPDATE sample SET warnings=warnings)",
    R"(UPDATE specimen SET relation=relation)",
};

} // namespace holdfast
