// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/cruise_tables_detail.h"

#include "custody/tally.h"
#include "store/sql.h"

namespace holdfast
{

namespace
{

using namespace table_words;

std::vector<TableSpec> collecting()
{
    return {
        {"cruise",
         "The cruise",
         "SELECT code, uuid, title, id_pattern, opened_us FROM cruise",
         {{"code", text, "", "Code of the cruise; begins every sample id.", "", true},
          {"uuid", text, "", "Identifier of the cruise record.", "", true},
          {"title", text, "", "Title."},
          {"id_pattern", text, "", "How sample ids are made."},
          {"opened", time, "", "When the record was begun, UTC.", "", true}},
         {"code"},
         "cruise"},
        {"stations",
         "Installations of the program that wrote entries",
         "SELECT name, joined_us, public_key, numbers_from FROM station ORDER BY name",
         {{"name", text, "", "Name of the station.", "", true},
          {"joined", time, "", "When it joined the cruise, UTC.", "", true},
          {"public_key", text, "", "Its Ed25519 key, hexadecimal; empty: it never announced one."},
          {"numbers_from", whole, "", "First number it gives to samples."}},
         {"name"},
         "station"},
        {"dives",
         "Dives",
         "SELECT number, uuid, vehicle, loadout, planned_us, launched_us, on_bottom_us, off_bottom_us, "
         "on_deck_us, closed_us, loadout_json FROM dive ORDER BY number",
         {{"number", whole, "", "Number of the dive in the cruise.", "", true},
          {"uuid", text, "", "Identifier of the dive.", "", true},
          {"vehicle", text, "", "Name of the vehicle.", "", true},
          {"loadout", text, "", "Name of the loadout template.", "", true},
          {"planned", time, "", "When the dive was planned, UTC."},
          {"launched", time, "", "Launch, UTC."},
          {"on_bottom", time, "", "Arrival at the seafloor, UTC."},
          {"off_bottom", time, "", "Leaving the seafloor, UTC."},
          {"on_deck", time, "", "Back on deck, UTC."},
          {"closed", time, "", "When the tally was complete and the dive was closed, UTC."},
          {"loadout_json", text, "", "Which boxes were mounted where, as JSON, with plan positions in mm."}},
         {"number"},
         "dive"},
        {"slots",
         "Slots of the vehicle on each dive",
         "SELECT dive, code, container, accepts, mixing, place, lid_open_us, reachable FROM slot ORDER BY "
         "dive, "
         "place",
         {diveColumn,
          {"code", text, "", "Code of the slot.", "", true},
          {"container", text, "", "Kind of container."},
          {"accepts", text, "", "Families of material it is made for, blank between them."},
          {"mixing", yesNo, "", "Whether several samples may lie together in it."},
          {"unload_order", whole, "", "Place in the order of unloading."},
          {"lid_open_since", time, "", "Since when its lid is open, UTC; empty when shut or without a lid."},
          {"reachable", yesNo, "", "Whether the manipulator can reach it."}},
         {"dive", "code"},
         "slot",
         {{{"dive"}, "dives", {"number"}}}},
        {"stamps",
         "Moments caught by a key press, and what became of each",
         "SELECT uuid, dive, time_us, by_whom, state, reason, seen FROM stamp ORDER BY dive, time_us",
         {{"uuid", text, "", "Identifier of the stamp.", "", true},
          diveColumn,
          {"time", time, "", "The key press, UTC.", "", true},
          {"by", text, "", byWhom, "", true},
          {"state", text, "", "What became of it.", "waiting|sample|failed|set aside", true},
          {"reason", text, "", "Reason for a failed attempt or for setting it aside."},
          {"seen", text, "", "What was known at that moment, as JSON."}},
         {"uuid"},
         "stamp",
         {{{"dive"}, "dives", {"number"}}}},
        {"sample_amendments",
         "Corrections of samples; the values before stay",
         "SELECT entry, sample, field, old_value, new_value, reason, by_whom, time_us FROM amendment ORDER "
         "BY "
         "time_us, sample, field",
         {{"entry", text, "", "Ledger entry (uuid) that made the correction.", "", true},
          {"sample", text, "", "Id of the sample.", "", true},
          {"field", text, "", "Field that was corrected.", "", true},
          {"before", text, "", "Value before."},
          {"after", text, "", "Value after."},
          reasonColumn,
          byColumn,
          recordedColumn},
         {"entry", "field"},
         "amendment",
         {{{"sample"}, "samples", {"id"}}}},
        {"lids",
         "Lids opened and shut",
         "SELECT entry, dive, slot, open, time_us FROM lid ORDER BY dive, time_us, entry",
         {entryColumn,
          diveColumn,
          {"slot", text, "", "Code of the slot.", "", true},
          {"open", yesNo, "", "Opened or shut."},
          {"time", time, "", "When, UTC."}},
         {"entry"},
         "lid",
         {{{"dive", "slot"}, "slots", {"dive", "code"}}}},
        {"tally",
         "What was found in each slot at recovery",
         "SELECT dive, slot, answer, note, by_whom, time_us, NULL FROM tally ORDER BY dive, slot",
         {diveColumn,
          {"slot", text, "", "Code of the slot.", "", true},
          {"answer", text, "", "How the find compares with the record.",
           "as logged|empty|different|broken|extra", true},
          {"note", text, "", "What was found."},
          byColumn,
          recordedColumn,
          {"outdated_by", text, "",
           "What changed in the slot after the answer, which is about something else since; empty: it "
           "holds."}},
         {"dive", "slot"},
         "tally",
         {{{"dive", "slot"}, "slots", {"dive", "code"}}}},
    };
}

} // namespace

namespace
{

/// What of a table no query gives: by which change an answer of the tally of an open dive is outdated.
class FilledIn
{
public:
    FilledIn(const Database &db, const TableSpec &spec)
        : m_db(&db), m_tally(QLatin1String(spec.name) == QLatin1String("tally"))
    {
    }
    Done fill(QVariantList &row)
    {
        if (!m_tally)
            return {};
        const int dive = row.at(0).toInt();
        if (!m_changed.contains(dive)) {
            const auto lines = readTally(*m_db, dive);
            if (!lines)
                return lines.error();
            QHash<QString, QString> changed;
            for (const TallyLine &line : *lines) {
                if (!line.changed.isEmpty())
                    changed.insert(line.slot.code, line.changed);
            }
            m_changed.insert(dive, changed);
        }
        const QString by = m_changed.value(dive).value(row.at(1).toString());
        if (!by.isEmpty())
            row.last() = by;
        return {};
    }

private:
    const Database *m_db;
    bool m_tally;
    QHash<int, QHash<QString, QString>> m_changed; ///< by dive and slot
};

} // namespace

const std::vector<TableSpec> &recordTables()
{
    static const std::vector<TableSpec> all = [] {
        std::vector<TableSpec> tables = collecting();
        for (auto more : {benchTables, custodyTables, logTables, readyingTables}) {
            for (TableSpec &t : more())
                tables.push_back(std::move(t));
        }
        return tables;
    }();
    return all;
}

Done writeRecordTable(PackageWriter &package, const Database &db, const TableSpec &spec)
{
    auto rows = query(db.connection(), QString::fromUtf8(spec.sql));
    if (!rows)
        return rows.error();
    auto table = TableWriter::begin(package, spec);
    if (!table)
        return table.error();
    FilledIn filledIn(db, spec);
    while (rows->next()) {
        QVariantList values;
        for (std::size_t i = 0; i < spec.columns.size(); ++i)
            values << (rows->isNull(static_cast<int>(i)) ? QVariant() : rows->value(static_cast<int>(i)));
        if (auto filled = filledIn.fill(values); !filled)
            return filled;
        if (auto written = table->row(values); !written)
            return written;
    }
    return table->end();
}

Result<QStringList> tablesNotDescribed(const Database &db)
{
    auto rows =
        query(db.connection(), QStringLiteral("SELECT name FROM sqlite_master WHERE type='table' ORDER BY "
                                              "name"));
    if (!rows)
        return rows.error();
    // The ledger goes into the package as text; samples have their values beside them; the rest belongs to
    // the copy of the file or is packed.
    QStringList described{
        QStringLiteral("ledger"),       QStringLiteral("ledger_head"),      QStringLiteral("sample"),
        QStringLiteral("installation"), QStringLiteral("log_file"),         QStringLiteral("log_block"),
        QStringLiteral("log_text"),     QStringLiteral("log_aside"),        QStringLiteral("log_recording"),
        QStringLiteral("log_received"), QStringLiteral("ledger_signature"), QStringLiteral("log_in_making")};
    for (const TableSpec &t : recordTables())
        described << QString::fromUtf8(t.coversTable);
    QStringList missing;
    while (rows->next()) {
        // The index for finding by any word is made from the other tables.
        const bool made = rows->text(0).startsWith(QStringLiteral("sqlite_")) ||
                          rows->text(0).startsWith(QStringLiteral("find_"));
        if (!made && !described.contains(rows->text(0)))
            missing << rows->text(0);
    }
    return missing;
}

} // namespace holdfast
