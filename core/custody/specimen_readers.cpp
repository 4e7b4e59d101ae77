// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/ids.h"
#include "custody/specimens.h"

namespace holdfast
{

namespace
{

const QString specimenColumns = QStringLiteral(
    "id, uuid, sample, parent, number, material, purpose, count, mass_g, size_mm, description, "
    "found_on, relation, from_us, to_us, by_whom, time_us, state");

SpecimenInfo specimenFromRow(const Statement &row)
{
    SpecimenInfo s;
    s.id = row.text(0);
    s.uuid = row.text(1);
    s.sample = row.text(2);
    s.parent = row.text(3);
    s.number = static_cast<int>(row.integer(4));
    s.details.material = row.text(5);
    s.details.purpose = row.text(6);
    if (!row.isNull(7))
        s.details.count = static_cast<int>(row.integer(7));
    s.details.massG = row.text(8);
    s.details.sizeMm = row.text(9);
    s.details.description = row.text(10);
    s.details.foundOn = row.text(11);
    s.details.relation = row.text(12);
    if (!row.isNull(13))
        s.details.span = TimeSpan{utcFromMicroseconds(row.integer(13)), utcFromMicroseconds(row.integer(14))};
    s.by = row.text(15);
    s.time = utcFromMicroseconds(row.integer(16));
    s.state = row.text(17);
    return s;
}

} // namespace

Result<std::vector<SpecimenInfo>> readSpecimens(const Database &db, const QString &sample)
{
    auto rows =
        query(db.connection(),
              QStringLiteral("SELECT %1 FROM specimen WHERE sample=? ORDER BY time_us, parent, number")
                  .arg(specimenColumns),
              {sample});
    if (!rows)
        return rows.error();
    std::vector<SpecimenInfo> out;
    while (rows->next())
        out.push_back(specimenFromRow(*rows));
    return out;
}

Result<SpecimenInfo> readSpecimen(const Database &db, const QString &id)
{
    const auto read = readPrintedId(id);
    if (!read)
        return read.error();
    auto row = query(db.connection(),
                     QStringLiteral("SELECT %1 FROM specimen WHERE id=?").arg(specimenColumns), {read->id});
    if (!row)
        return row.error();
    if (!row->next())
        return fail(ErrorKind::NotFound, QStringLiteral("No specimen has the id %1.").arg(read->id));
    return specimenFromRow(*row);
}

Result<std::vector<Identification>> readIdentifications(const Database &db, const QString &id)
{
    auto rows =
        query(db.connection(),
              QStringLiteral("SELECT i.item, i.name, i.rank, i.qualifier, i.identified_by, i.date, i.remark, "
                             "i.by_whom, i.time_us FROM identification i JOIN ledger l ON l.uuid=i.entry "
                             "WHERE i.item=? ORDER BY l.lamport, l.station, l.seq"),
              {id});
    if (!rows)
        return rows.error();
    std::vector<Identification> out;
    while (rows->next())
        out.push_back({rows->text(0), rows->text(1), rows->text(2), rows->text(3), rows->text(4),
                       rows->text(5), rows->text(6), rows->text(7), utcFromMicroseconds(rows->integer(8))});
    return out;
}

Result<std::vector<Photograph>> readPhotographs(const Database &db, const QString &id)
{
    auto rows = query(db.connection(),
                      QStringLiteral("SELECT item, file_name, path, sha256, caption, by_whom, bytes, time_us "
                                     "FROM photograph WHERE item=? ORDER BY time_us, entry"),
                      {id});
    if (!rows)
        return rows.error();
    std::vector<Photograph> out;
    while (rows->next())
        out.push_back({rows->text(0), rows->text(1), rows->text(2), rows->text(3), rows->text(4),
                       rows->text(5), rows->integer(6), utcFromMicroseconds(rows->integer(7))});
    return out;
}

Result<std::vector<SpecimenAmendment>> readSpecimenAmendments(const Database &db, const QString &id)
{
    auto rows = query(db.connection(),
                      QStringLiteral("SELECT a.field, a.old_value, a.new_value, a.reason, a.by_whom, "
                                     "a.time_us FROM specimen_amendment a JOIN ledger l ON l.uuid=a.entry "
                                     "WHERE a.specimen=? ORDER BY l.lamport, l.station, l.seq"),
                      {id});
    if (!rows)
        return rows.error();
    std::vector<SpecimenAmendment> out;
    while (rows->next())
        out.push_back({rows->text(0), rows->text(1), rows->text(2), rows->text(3), rows->text(4),
                       utcFromMicroseconds(rows->integer(5))});
    return out;
}

} // namespace holdfast
