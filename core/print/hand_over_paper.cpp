// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/hand_over_paper.h"

#include "custody/seals.h"
#include "dive/readers.h"
#include "print/page_text.h"
#include "store/sql.h"

#include <QJsonDocument>
#include <QSet>
#include <algorithm>

namespace holdfast
{

namespace
{

/// What a sheet shows of a confirmation: a typed name is to be signed by hand still.
SheetConfirmation shown(const QJsonObject &confirmation)
{
    const QString means = confirmation.value(QStringLiteral("means")).toString();
    if (means == QLatin1String("pin"))
        return {QStringLiteral("confirmed by PIN"), {}};
    if (means != QLatin1String("drawn"))
        return {};
    const QJsonObject data = confirmation.value(QStringLiteral("data")).toObject();
    const auto drawn = DrawnSignature::fromJson(data);
    if (!drawn)
        return {QStringLiteral("drawn, but damaged"), {}};
    return {QStringLiteral("drawn on screen, SHA-256 %1…")
                .arg(data.value(QStringLiteral("sha256")).toString().left(12)),
            *drawn};
}

HandOver offered(const HandOverInfo &info)
{
    HandOver block;
    block.relinquishedBy = info.from;
    block.relinquishedAt = info.time;
    block.place = info.place;
    block.giver = shown(info.confirmation);
    block.reason = joinedValues({info.code, info.purpose, info.carrier, info.tracking, info.remark});
    return block;
}

/// What one answer says of items and seals.
Done addAnswer(const Database &db, const QString &entry, HandOver &block)
{
    auto rows = query(
        db.connection(),
        QStringLiteral("SELECT item, what, reason FROM custody_event WHERE entry=? ORDER BY item"), {entry});
    if (!rows)
        return rows.error();
    while (rows->next()) {
        block.items << rows->text(0);
        if (rows->text(1) == QLatin1String("refused"))
            block.refused << QStringLiteral("%1: %2").arg(rows->text(0), rows->text(2));
    }
    auto seals =
        query(db.connection(),
              QStringLiteral("SELECT seal, what FROM seal_event WHERE entry=? ORDER BY seal"), {entry});
    if (!seals)
        return seals.error();
    QStringList before;
    QStringList after;
    while (seals->next()) {
        const bool intact = seals->text(1) == QLatin1String("intact");
        before << (intact ? seals->text(0) : QStringLiteral("%1 (broken)").arg(seals->text(0)));
        if (intact)
            after << seals->text(0);
    }
    block.sealsBefore = before.join(QStringLiteral(", "));
    block.sealsAfter = after.join(QStringLiteral(", "));
    return {};
}

/// The seals that are in force on what nobody has received yet.
Done addSealsInForce(const Database &db, HandOver &block)
{
    QStringList inForce;
    for (const QString &id : block.items) {
        auto rows =
            query(db.connection(),
                  QStringLiteral("SELECT DISTINCT seal FROM seal_item WHERE item=? ORDER BY seal"), {id});
        if (!rows)
            return rows.error();
        QStringList all;
        while (rows->next())
            all << rows->text(0);
        rows->reset();
        for (const QString &seal : std::as_const(all)) {
            const auto info = readSeal(db, seal);
            if (!info)
                return info.error();
            if (info->inForce() && !inForce.contains(seal))
                inForce << seal;
        }
    }
    block.sealsBefore = inForce.join(QStringLiteral(", "));
    return {};
}

} // namespace

Result<std::vector<HandOver>> handOverBlocks(const Database &db, const HandOverInfo &info)
{
    auto rows =
        query(db.connection(),
              QStringLiteral("SELECT receiver, condition, temperature_c, count, time_us, entry, remark, "
                             "confirmation FROM hand_over_answer WHERE offer=? ORDER BY time_us, lamport"),
              {info.offer});
    if (!rows)
        return rows.error();
    std::vector<HandOver> blocks;
    while (rows->next()) {
        HandOver block = offered(info);
        block.receivedBy = rows->text(0);
        const QString celsius = rows->text(2);
        block.condition =
            joinedValues({rows->text(1), celsius.isEmpty() ? QString() : celsius + QStringLiteral(" °C")});
        if (!rows->isNull(3))
            block.containers = static_cast<int>(rows->integer(3));
        block.receiver = shown(QJsonDocument::fromJson(rows->text(7).toUtf8()).object());
        block.condition = joinedValues({block.condition, rows->text(6)});
        block.receivedAt = utcFromMicroseconds(rows->integer(4));
        if (auto done = addAnswer(db, rows->text(5), block); !done)
            return done.error();
        blocks.push_back(std::move(block));
    }
    if (const QStringList open = info.open(); !open.isEmpty()) {
        HandOver block = offered(info);
        block.items = open;
        if (auto done = addSealsInForce(db, block); !done)
            return done.error();
        blocks.push_back(std::move(block));
    }
    return blocks;
}

Result<std::vector<HandOver>> handOversOfDive(const Database &db, int dive)
{
    const auto samples = readSamples(db, dive);
    if (!samples)
        return samples.error();
    QSet<QString> ids;
    for (const SampleInfo &sample : *samples)
        ids.insert(sample.id);
    const auto all = readHandOvers(db, false);
    if (!all)
        return all.error();
    std::vector<HandOver> blocks;
    for (const HandOverInfo &info : *all) {
        // A part's id is that of its sample with a dot and numbers behind it.
        const bool here = std::any_of(info.items.begin(), info.items.end(), [&ids](const QString &item) {
            QString id = item;
            while (!ids.contains(id) && id.contains(QLatin1Char('.')))
                id = id.left(id.lastIndexOf(QLatin1Char('.')));
            return ids.contains(id);
        });
        if (!here)
            continue;
        auto own = handOverBlocks(db, info);
        if (!own)
            return own.error();
        blocks.insert(blocks.end(), own->begin(), own->end());
    }
    return blocks;
}

QString handOverWord(const HandOverInfo &info, const QString &item)
{
    if (info.accepted.contains(item))
        return QStringLiteral("accepted");
    if (info.refused.contains(item))
        return QStringLiteral("refused");
    return info.withdrawn.contains(item) ? QStringLiteral("withdrawn") : QStringLiteral("in transit");
}

} // namespace holdfast
