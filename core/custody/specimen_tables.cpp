// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/custody_verbs.h"
#include "custody/entry_body.h"
#include "custody/specimens.h"

namespace holdfast
{

namespace
{

Done specimenSplit(const Database &db, const Entry &e)
{
    const EntryBody b(e);
    const QVariant stated = b.wholeOrNull("timeUs");
    return execSql(
        db.connection(),
        QStringLiteral("INSERT INTO specimen (id, uuid, sample, parent, number, material, purpose, count, "
                       "mass_g, size_mm, description, found_on, relation, from_us, to_us, by_whom, time_us) "
                       "VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)"),
        {b.text("id"), b.text("specimen"), b.text("sample"), b.text("parent"), b.whole("number"),
         b.text("material"), b.text("purpose"), b.wholeOrNull("count"), b.text("massG"), b.text("sizeMm"),
         b.text("description"), b.text("foundOn"), b.text("relation"), b.wholeOrNull("fromUs"),
         b.wholeOrNull("toUs"), e.actor, stated.isNull() ? QVariant(e.timeUs) : stated});
}

Done specimenAmended(const Database &db, const Entry &e)
{
    // The columns a person may correct; any other name in an entry is damage, not a column to write to.
    static const QHash<QString, QString> columns{
        {QStringLiteral("material"), QStringLiteral("UPDATE specimen SET material=? WHERE id=?")},
        {QStringLiteral("purpose"), QStringLiteral("UPDATE specimen SET purpose=? WHERE id=?")},
        {QStringLiteral("count"),
         QStringLiteral("UPDATE specimen SET count=CAST(nullif(?, '') AS INTEGER) WHERE id=?")},
        {QStringLiteral("mass"), QStringLiteral("UPDATE specimen SET mass_g=? WHERE id=?")},
        {QStringLiteral("size"), QStringLiteral("UPDATE specimen SET size_mm=? WHERE id=?")},
        {QStringLiteral("description"), QStringLiteral("UPDATE specimen SET description=? WHERE id=?")},
    };
    const EntryBody b(e);
    const QString sql = columns.value(b.text("field"));
    if (sql.isEmpty())
        return fail(ErrorKind::Malformed,
                    QStringLiteral("A specimen has no field \"%1\".").arg(b.text("field")));
    if (auto done = execSql(db.connection(), sql, {b.text("new"), b.text("id")}); !done)
        return done;
    return execSql(
        db.connection(),
        QStringLiteral("INSERT INTO specimen_amendment (entry, lamport, specimen, field, "
                       "old_value, new_value, reason, by_whom, time_us) VALUES (?,?,?,?,?,?,?,?,?)"),
        {e.uuid, e.lamport, b.text("id"), b.text("field"), b.text("old"), b.text("new"), b.text("reason"),
         e.actor, e.timeUs});
}

Done specimenVoided(const Database &db, const Entry &e)
{
    const EntryBody b(e);
    if (auto done = execSql(db.connection(), QStringLiteral("UPDATE specimen SET state='void' WHERE id=?"),
                            {b.text("id")});
        !done)
        return done;
    return execSql(
        db.connection(),
        QStringLiteral("INSERT INTO specimen_amendment (entry, lamport, specimen, field, old_value, "
                       "new_value, reason, by_whom, time_us) VALUES (?,?,?,'state','held','void',"
                       "?,?,?)"),
        {e.uuid, e.lamport, b.text("id"), b.text("reason"), e.actor, e.timeUs});
}

Done itemIdentified(const Database &db, const Entry &e)
{
    const EntryBody b(e);
    return execSql(
        db.connection(),
        QStringLiteral("INSERT INTO identification (entry, lamport, item, name, rank, qualifier, "
                       "identified_by, date, remark, by_whom, time_us) VALUES (?,?,?,?,?,?,?,?,?,?,?)"),
        {e.uuid, e.lamport, b.text("id"), b.text("name"), b.text("rank"), b.text("qualifier"),
         b.text("identifiedBy"), b.text("date"), b.text("remark"), e.actor, e.timeUs});
}

Done photographLinked(const Database &db, const Entry &e)
{
    const EntryBody b(e);
    return execSql(db.connection(),
                   QStringLiteral("INSERT INTO photograph (entry, item, file_name, path, sha256, bytes, "
                                  "caption, by_whom, time_us) VALUES (?,?,?,?,?,?,?,?,?)"),
                   {e.uuid, b.text("id"), b.text("fileName"), b.text("path"), b.text("sha256"),
                    b.whole("bytes"), b.text("caption"), e.actor, e.timeUs});
}

} // namespace

VerbRules specimenVerbRules()
{
    return {
        {verb::specimenSplit, specimenSplit},       {verb::specimenVoided, specimenVoided},
        {verb::specimenAmended, specimenAmended},   {verb::itemIdentified, itemIdentified},
        {verb::photographLinked, photographLinked},
    };
}

} // namespace holdfast
