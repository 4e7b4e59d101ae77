// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/held_acts.h"

#include "store/sql.h"

#include <algorithm>

namespace holdfast
{

namespace
{

/// A sample, its specimens and their subsamples.
constexpr int mostLevels = 4;

bool coldEnough(const StoredAct &act, const HoldingLimit &limit)
{
    return act.temperatureC && *act.temperatureC <= limit.highestC;
}

} // namespace

Result<std::optional<PreservationInfo>> readPreservedNow(const Database &db, const QString &id)
{
    QString item = id;
    std::optional<UtcTime> until;
    for (int level = 0; level < mostLevels; ++level) {
        const auto all = readPreservations(db, item);
        if (!all)
            return all.error();
        const auto last = std::find_if(all->rbegin(), all->rend(), [&until](const PreservationInfo &p) {
            return !until || p.time <= *until;
        });
        if (last != all->rend())
            return std::optional(*last);
        auto part =
            query(db.connection(), QStringLiteral("SELECT parent, time_us FROM specimen WHERE id=?"), {item});
        if (!part)
            return part.error();
        if (!part->next())
            break;
        item = part->text(0);
        const UtcTime split = utcFromMicroseconds(part->integer(1));
        until = until ? std::min(*until, split) : split;
    }
    return std::optional<PreservationInfo>();
}

std::optional<HeldTimes> HeldActs::timesFor(const HoldingLimit &limit) const
{
    if (!begun)
        return {};
    HeldTimes times{*begun, {}, {}};
    if (!preserved.empty())
        times.preserved = *std::min_element(preserved.begin(), preserved.end());
    for (const StoredAct &act : stored) {
        if (coldEnough(act, limit) && (!times.stored || act.at < *times.stored))
            times.stored = act.at;
    }
    return times;
}

QString HeldActs::placeInQuestion(const HoldingLimit &limit) const
{
    const StoredAct *last = nullptr;
    for (const StoredAct &act : stored) {
        if (coldEnough(act, limit))
            return {};
        if (!act.temperatureC && (!last || act.at >= last->at))
            last = &act;
    }
    return last ? last->place : QString();
}

Result<HeldBook> HeldBook::read(const Database &db, const QString &sample)
{
    HeldBook book;
    const bool one = !sample.isEmpty();
    const auto run = [&](const QString &sql, const QString &only) {
        return one ? query(db.connection(), sql + only, {sample, sample}) : query(db.connection(), sql);
    };
    auto items = run(QStringLiteral("SELECT i.id, i.parent, i.time_us, coalesce(d.off_bottom_us, "
                                    "d.on_deck_us, d.closed_us) FROM (SELECT id, id AS sample, '' AS parent, "
                                    "time_us, dive FROM sample UNION ALL SELECT p.id, p.sample, p.parent, "
                                    "p.time_us, s.dive FROM specimen p JOIN sample s ON s.id=p.sample) i "
                                    "JOIN dive d ON d.number=i.dive"),
                     QStringLiteral(" WHERE i.sample=? OR i.id=?"));
    if (!items)
        return items.error();
    while (items->next()) {
        Kept kept{items->text(1), utcFromMicroseconds(items->integer(2)), {}};
        if (!items->isNull(3))
            kept.own.begun = utcFromMicroseconds(items->integer(3));
        book.m_items.insert(items->text(0), std::move(kept));
    }
    const QString ofSample =
        QStringLiteral(" WHERE item=? OR item IN (SELECT id FROM specimen WHERE sample=?)");
    auto preserved = run(QStringLiteral("SELECT item, time_us FROM preservation"), ofSample);
    if (!preserved)
        return preserved.error();
    while (preserved->next()) {
        const auto kept = book.m_items.find(preserved->text(0));
        if (kept != book.m_items.end())
            kept->own.preserved.push_back(utcFromMicroseconds(preserved->integer(1)));
    }
    auto stored = run(QStringLiteral("SELECT item, time_us, place, temperature_c FROM storage"), ofSample);
    if (!stored)
        return stored.error();
    while (stored->next()) {
        const auto kept = book.m_items.find(stored->text(0));
        if (kept == book.m_items.end())
            continue;
        StoredAct act{utcFromMicroseconds(stored->integer(1)), stored->text(2), {}};
        bool number = false;
        const double celsius = stored->text(3).toDouble(&number);
        if (number)
            act.temperatureC = celsius;
        kept->own.stored.push_back(std::move(act));
    }
    return book;
}

Result<HeldBook> HeldBook::readAll(const Database &db)
{
    return read(db, {});
}

Result<HeldBook> HeldBook::readOf(const Database &db, const QString &sample)
{
    return read(db, sample);
}

HeldActs HeldBook::of(const QString &id) const
{
    const auto self = m_items.constFind(id);
    if (self == m_items.constEnd())
        return {};
    HeldActs acts = self->own;
    UtcTime until = self->split;
    auto part = self;
    for (int level = 1; level < mostLevels && !part->parent.isEmpty(); ++level) {
        const auto parent = m_items.constFind(part->parent);
        if (parent == m_items.constEnd())
            break;
        until = std::min(until, part->split);
        for (const UtcTime at : parent->own.preserved) {
            if (at <= until)
                acts.preserved.push_back(at);
        }
        for (const StoredAct &act : parent->own.stored) {
            if (act.at <= until)
                acts.stored.push_back(act);
        }
        part = parent;
    }
    return acts;
}

} // namespace holdfast
