// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/hand_over_paper.h"

#include "dive/readers.h"
#include "print/page_text.h"
#include "store/sql.h"

#include <QSet>
#include <algorithm>

namespace holdfast
{

namespace
{

HandOver offered(const HandOverInfo &info)
{
    HandOver block;
    block.relinquishedBy = info.from;
    block.place = info.place;
    block.reason = joinedValues({info.code, info.purpose, info.carrier, info.tracking, info.remark});
    return block;
}

} // namespace

Result<std::vector<HandOver>> handOverBlocks(const Database &db, const HandOverInfo &info)
{
    auto rows = query(db.connection(),
                      QStringLiteral("SELECT receiver, condition, temperature_c, count, time_us FROM "
                                     "hand_over_answer WHERE offer=? ORDER BY time_us, lamport"),
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
        block.time = utcFromMicroseconds(rows->integer(4));
        blocks.push_back(std::move(block));
    }
    if (!info.open().isEmpty())
        blocks.push_back(offered(info));
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
