// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/seals.h"

#include "custody/custody_lists.h"
#include "custody/custody_verbs.h"
#include "custody/entry_body.h"
#include "custody/items.h"
#include "custody/preservation.h"
#include "dive/act_steps.h"

#include <QRegularExpression>

namespace holdfast
{

namespace
{

Done insertSealEvent(const Database &db, const Entry &e, const QString &what)
{
    const EntryBody b(e);
    return execSql(db.connection(),
                   QStringLiteral("INSERT INTO seal_event (entry, seal, lamport, what, place, reason, "
                                  "by_whom, time_us) VALUES (?,?,?,?,?,?,?,?)"),
                   {e.uuid, b.text("seal"), e.lamport, what, b.text("place"), b.text("reason"), e.actor,
                    b.whole("timeUs")});
}

Done projectApplied(const Database &db, const Entry &e)
{
    if (auto done = insertSealEvent(db, e, QStringLiteral("applied")); !done)
        return done;
    const EntryBody b(e);
    for (const QJsonValue v : b.list("items")) {
        if (auto done = execSql(db.connection(),
                                QStringLiteral("INSERT INTO seal_item (entry, item, seal) VALUES (?,?,?)"),
                                {e.uuid, v.toString(), b.text("seal")});
            !done)
            return done;
    }
    return {};
}

Done projectInspected(const Database &db, const Entry &e)
{
    const QString found = EntryBody(e).text("found");
    return insertSealEvent(db, e,
                           found == QLatin1String("intact") ? found : QStringLiteral("found %1").arg(found));
}

Done projectBroken(const Database &db, const Entry &e)
{
    return insertSealEvent(db, e, QStringLiteral("broken"));
}

qint64 us(UtcTime t)
{
    return static_cast<qint64>(microsecondsOf(t));
}

} // namespace

Result<QString> checkedSeal(const QString &number)
{
    static const QRegularExpression good(QStringLiteral("^[A-Z0-9][A-Z0-9-]{0,39}$"));
    const QString seal = number.trimmed().toUpper();
    if (good.match(seal).hasMatch())
        return seal;
    return fail(
        ErrorKind::Usage,
        QStringLiteral("\"%1\" is no seal number: letters, digits and hyphens, at most 40.").arg(number));
}

Result<ListedItems> applySeal(CruiseFile &file, const Act &act, const SealDetails &details)
{
    const auto seal = checkedSeal(details.seal);
    if (!seal)
        return seal.error();
    QString place = QStringLiteral("");
    if (!details.box.trimmed().isEmpty()) {
        const auto path = checkedPlace(details.box);
        if (!path)
            return path.error();
        place = *path;
    }
    if (auto good = checkStatedTime(details.at, act.now); !good)
        return good.error();
    return file.write([&]() -> Result<ListedItems> {
        const auto used = readSeal(file.db(), *seal);
        if (used)
            return fail(
                ErrorKind::Duplicate,
                QStringLiteral("Seal %1 was used before (%2 by %3 at %4); a number is never used again.")
                    .arg(*seal, used->state, used->by, toIso(used->time)));
        if (used.error().kind != ErrorKind::NotFound)
            return used.error();
        auto listed = listedIds(file.db(), details.ids, details.box, false);
        if (!listed)
            return listed.error();
        for (const QString &id : listed->ids) {
            if (const auto item = readItemAtHand(file.db(), id); !item)
                return item.error();
        }
        if (auto done = recordEntry(file, act, verb::sealApplied,
                                    {{QStringLiteral("seal"), *seal},
                                     {QStringLiteral("items"), QJsonArray::fromStringList(listed->ids)},
                                     {QStringLiteral("place"), place},
                                     {QStringLiteral("reason"), details.reason.trimmed()},
                                     {QStringLiteral("timeUs"), us(details.at)}});
            !done)
            return done.error();
        return listed;
    });
}

Done inspectSeal(CruiseFile &file, const Act &act, const QString &number, SealSight sight,
                 const QString &remark, UtcTime at)
{
    if (auto good = checkStatedTime(at, act.now); !good)
        return good;
    const QString found = sight == SealSight::Intact   ? QStringLiteral("intact")
                          : sight == SealSight::Broken ? QStringLiteral("broken")
                                                       : QStringLiteral("missing");
    return file.write([&]() -> Done {
        const auto seal = readSeal(file.db(), number);
        if (!seal)
            return seal.error();
        if (sight == SealSight::Intact && !seal->inForce())
            return fail(ErrorKind::Refused,
                        QStringLiteral("Seal %1 can't be intact: it was %2 at %3. Read the number again.")
                            .arg(seal->seal, seal->state, toIso(seal->time)));
        return recordEntry(file, act, verb::sealInspected,
                           {{QStringLiteral("seal"), seal->seal},
                            {QStringLiteral("found"), found},
                            {QStringLiteral("reason"), remark.trimmed()},
                            {QStringLiteral("timeUs"), us(at)}});
    });
}

Done breakSeal(CruiseFile &file, const Act &act, const QString &number, const QString &reason, UtcTime at)
{
    for (const Done &check : {wantReason(reason), checkStatedTime(at, act.now)}) {
        if (!check)
            return check;
    }
    return file.write([&]() -> Done {
        const auto seal = readSeal(file.db(), number);
        if (!seal)
            return seal.error();
        if (!seal->inForce())
            return fail(ErrorKind::Refused, QStringLiteral("Seal %1 was %2 already, at %3.")
                                                .arg(seal->seal, seal->state, toIso(seal->time)));
        return recordEntry(file, act, verb::sealBroken,
                           {{QStringLiteral("seal"), seal->seal},
                            {QStringLiteral("reason"), reason.trimmed()},
                            {QStringLiteral("timeUs"), us(at)}});
    });
}

Result<SealInfo> readSeal(const Database &db, const QString &number)
{
    const auto seal = checkedSeal(number);
    if (!seal)
        return seal.error();
    auto row = query(
        db.connection(),
        QStringLiteral("SELECT e.what, e.by_whom, e.reason, e.time_us FROM seal_event e JOIN ledger l ON "
                       "l.uuid=e.entry WHERE e.seal=? ORDER BY l.lamport DESC, l.station DESC, "
                       "l.seq DESC LIMIT 1"),
        {*seal});
    if (!row)
        return row.error();
    if (!row->next())
        return fail(ErrorKind::NotFound, QStringLiteral("No seal %1 was applied in this cruise.").arg(*seal));
    SealInfo info{*seal, {}, row->text(0), row->text(1), row->text(2), utcFromMicroseconds(row->integer(3))};
    auto items =
        query(db.connection(),
              QStringLiteral("SELECT DISTINCT item FROM seal_item WHERE seal=? ORDER BY item"), {*seal});
    if (!items)
        return items.error();
    while (items->next())
        info.items << items->text(0);
    return info;
}

VerbRules sealVerbRules()
{
    return {{verb::sealApplied, projectApplied},
            {verb::sealInspected, projectInspected},
            {verb::sealBroken, projectBroken}};
}

} // namespace holdfast
