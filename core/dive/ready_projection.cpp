// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/ready_projection.h"

#include "dive/verbs.h"

#include <QJsonObject>

namespace holdfast
{

namespace
{

struct Body {
    QJsonObject o;
    explicit Body(const Entry &entry) : o(entry.bodyObject()) {}
    [[nodiscard]] QString text(const char *key) const
    {
        const QString t = o.value(QLatin1String(key)).toString();
        return t.isNull() ? QStringLiteral("") : t;
    }
    [[nodiscard]] qint64 whole(const char *key) const { return o.value(QLatin1String(key)).toInteger(); }
    [[nodiscard]] bool has(const char *key) const { return o.contains(QLatin1String(key)); }
    [[nodiscard]] QVariant wholeOrNull(const char *key) const
    {
        return has(key) ? QVariant(whole(key)) : QVariant(QMetaType(QMetaType::LongLong));
    }
};

Done run(const Database &db, const char *sql, std::initializer_list<QVariant> values)
{
    return execSql(db.connection(), QString::fromLatin1(sql), values);
}

Done readyChecked(const Database &db, const Entry &e)
{
    const Body b(e);
    if (b.text("state") == QLatin1String("open"))
        return run(db, "DELETE FROM ready_check WHERE dive=? AND item=? AND subject=?",
                   {b.whole("dive"), b.text("item"), b.text("subject")});
    return run(
        db,
        "INSERT INTO ready_check (dive, item, subject, in_order, seen, note, by_whom, time_us) VALUES "
        "(?,?,?,?,?,?,?,?) ON CONFLICT (dive, item, subject) DO UPDATE SET in_order=excluded.in_order, "
        "seen=excluded.seen, note=excluded.note, by_whom=excluded.by_whom, time_us=excluded.time_us",
        {b.whole("dive"), b.text("item"), b.text("subject"),
         b.text("state") == QLatin1String("in order") ? 1 : 0, b.text("seen"), b.text("note"), e.actor,
         e.timeUs});
}

Done watchChanged(const Database &db, const Entry &e)
{
    const Body b(e);
    if (b.text("to").isEmpty())
        return run(db, "DELETE FROM watch WHERE dive=? AND role=?", {b.whole("dive"), b.text("role")});
    return run(
        db,
        "INSERT INTO watch (dive, role, person, since_us) VALUES (?,?,?,?) ON CONFLICT (dive, role) DO "
        "UPDATE SET person=excluded.person, since_us=excluded.since_us",
        {b.whole("dive"), b.text("role"), b.text("to"), e.timeUs});
}

Done permitLimited(const Database &db, const Entry &e)
{
    const Body b(e);
    if (!b.has("most"))
        return run(db, "DELETE FROM permit_limit WHERE taxon=?", {b.text("taxon")});
    return run(
        db,
        "INSERT INTO permit_limit (taxon, most, title, by_whom, time_us) VALUES (?,?,?,?,?) ON CONFLICT "
        "(taxon) DO UPDATE SET taxon=excluded.taxon, most=excluded.most, title=excluded.title, "
        "by_whom=excluded.by_whom, time_us=excluded.time_us",
        {b.text("taxon"), b.whole("most"), b.text("title"), e.actor, e.timeUs});
}

Done itemWanted(const Database &db, const Entry &e)
{
    const Body b(e);
    if (b.o.value(QStringLiteral("dropped")).toBool())
        return run(db, "DELETE FROM wanted WHERE dive=? AND kind=?", {b.whole("dive"), b.text("kind")});
    return run(
        db,
        "INSERT INTO wanted (dive, kind, least, most, by_whom, time_us) VALUES (?,?,?,?,?,?) ON CONFLICT "
        "(dive, kind) DO UPDATE SET least=excluded.least, most=excluded.most, by_whom=excluded.by_whom, "
        "time_us=excluded.time_us",
        {b.whole("dive"), b.text("kind"), b.whole("least"), b.wholeOrNull("most"), e.actor, e.timeUs});
}

} // namespace

VerbRules readyVerbRules()
{
    return {{verb::readyChecked, readyChecked},
            {verb::watchChanged, watchChanged},
            {verb::permitLimited, permitLimited},
            {verb::itemWanted, itemWanted}};
}

} // namespace holdfast
