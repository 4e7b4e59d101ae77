// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/cruise_tables_detail.h"

namespace holdfast
{

using namespace table_words;

std::vector<TableSpec> benchTables()
{
    return {
        {"specimens",
         "Specimens and subsamples",
         "SELECT id, uuid, sample, parent, number, material, purpose, count, mass_g, size_mm, description, "
         "found_on, relation, from_us, to_us, by_whom, time_us, state FROM specimen ORDER BY sample, "
         "time_us, id",
         {{"id", text, "", "Id: that of its parent, a full stop and a number.", "", true},
          {"uuid", text, "", "Identifier of the record.", "", true},
          {"sample", text, "", "Id of the sample it comes from.", "", true},
          {"parent", text, "", "Id of the sample or specimen it was split from.", "", true},
          {"number", whole, "", "Number among the parts of its parent.", "", true},
          {"material", text, "", "What it is."},
          {"purpose", text, "", "What it is for."},
          {"count", whole, "", "Individuals; empty: not counted."},
          {"mass_g", number, "g", "Mass as weighed; empty: not weighed."},
          {"size_mm", text, "mm", "Size as measured."},
          {"description", text, "", "Description."},
          {"found_on", text, "", "Id of the thing it sat on or in; empty for a part of its parent."},
          {"relation", text, "", "How it belonged to that thing."},
          {"collected_from", time, "", "Begin of the span in which an associate was collected, UTC."},
          {"collected_to", time, "", "End of that span, UTC."},
          byColumn,
          {"split", time, "", "When it was split off, UTC."},
          {"state", text, "", "held, or void: split by mistake, its number is not given again."}},
         {"id"},
         "specimen",
         {{{"sample"}, "samples", {"id"}}}},
        {"specimen_amendments",
         "Corrections of specimens; the values before stay",
         "SELECT entry, specimen, field, old_value, new_value, reason, by_whom, a.time_us FROM "
         "specimen_amendment a JOIN ledger l ON l.uuid=a.entry ORDER BY l.lamport, l.station, l.seq",
         {entryColumn,
          {"specimen", text, "", "Id of the specimen.", "", true},
          {"field", text, "", "Field that was corrected.", "", true},
          {"before", text, "", "Value before."},
          {"after", text, "", "Value after."},
          reasonColumn,
          byColumn,
          recordedColumn},
         {"entry"},
         "specimen_amendment",
         {{{"specimen"}, "specimens", {"id"}}}},
        {"identifications",
         "Names given; the last one of an item counts",
         "SELECT entry, item, name, rank, qualifier, identified_by, date, remark, by_whom, i.time_us FROM "
         "identification i JOIN ledger l ON l.uuid=i.entry ORDER BY l.lamport, l.station, l.seq",
         {entryColumn,
          itemColumn,
          {"name", text, "", "Name as given.", "", true},
          {"rank", text, "", "Rank of the name."},
          {"qualifier", text, "", "Sign of doubt, as in cf. or aff."},
          {"identified_by", text, "", "Person who identified it."},
          {"date", text, "", "Day of the identification, yyyy-mm-dd."},
          {"remark", text, "", "Remark."},
          byColumn,
          recordedColumn},
         {"entry"},
         "identification"},
        {"photographs",
         "Photographs linked to items",
         "SELECT entry, item, file_name, CASE WHEN path GLOB '/*' OR path GLOB '?:*' OR path GLOB '\\*' THEN "
         "file_name ELSE path END, sha256, bytes, caption, by_whom, time_us FROM photograph ORDER BY item, "
         "time_us, entry",
         {entryColumn,
          itemColumn,
          {"file_name", text, "", "Name of the file.", "", true},
          {"path", text, "",
           "Where the file lay when it was linked, from the folder of the cruise file on; its name when "
           "elsewhere."},
          {"sha256", text, "", "SHA-256 of the file.", "", true},
          {"bytes", whole, "byte", "Size of the file."},
          {"caption", text, "", "Caption."},
          byColumn,
          recordedColumn},
         {"entry"},
         "photograph"},
        {"preservation",
         "What items were put into; the last row of an item counts",
         "SELECT entry, item, preservative, percent, base, formalin_percent, formaldehyde_percent, "
         "container, container_number, container_count, warnings, by_whom, p.time_us FROM preservation p "
         "JOIN ledger l ON l.uuid=p.entry ORDER BY p.time_us, l.lamport, l.station, l.seq",
         {entryColumn,
          itemColumn,
          {"preservative", text, "", "Preservative.", "", true},
          {"percent", number, "%", "Concentration as given."},
          {"base", text, "", "What the percent counts, for formalin and formaldehyde.",
           "formalin|formaldehyde"},
          {"formalin_percent", number, "%", "As formalin (37 % formaldehyde by mass counts as 100 %)."},
          {"formaldehyde_percent", number, "%", "As formaldehyde."},
          {"container", text, "", "Kind of container."},
          {"container_number", whole, "", "Which of its containers."},
          {"container_count", whole, "", "Of how many."},
          {"warnings", text, "", warningText},
          byColumn,
          {"time", time, "", "When it went in, UTC."}},
         {"entry"},
         "preservation"},
        {"storage",
         "Where items were put; the last row of an item counts",
         "SELECT entry, item, place, temperature_c, warnings, by_whom, s.time_us FROM storage s JOIN ledger "
         "l "
         "ON l.uuid=s.entry ORDER BY s.time_us, l.lamport, l.station, l.seq",
         {entryColumn,
          itemColumn,
          {"place", text, "", "Path from the largest part to the smallest.", "", true},
          {"temperature_degC", number, "degC", "Temperature of the place."},
          {"warnings", text, "", warningText},
          byColumn,
          {"time", time, "", "When it was put there, UTC."}},
         {"entry"},
         "storage"},
    };
}

} // namespace holdfast
