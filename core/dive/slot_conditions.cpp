// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/slot_conditions.h"

#include "dive/verbs.h"

#include <algorithm>

namespace holdfast
{

namespace
{

/// One entry a slot; all of them or none.
Done recordSlots(CruiseFile &file, const Act &act, int dive, const QStringList &codes, const QString &verb,
                 const QJsonObject &body, const QString &reason)
{
    return file.write([&]() -> Done {
        const auto info = readDive(file.db(), dive);
        if (!info)
            return info.error();
        if (info->closed)
            return fail(ErrorKind::Refused,
                        QStringLiteral("Dive %1 was closed at %2; its slots stay as they are.")
                            .arg(dive)
                            .arg(toIso(*info->closed)));
        const auto all = readSlots(file.db(), dive);
        if (!all)
            return all.error();
        for (const QString &code : codes) {
            const bool there =
                std::any_of(all->begin(), all->end(), [&code](const SlotState &s) { return s.code == code; });
            if (!there)
                return fail(ErrorKind::NotFound,
                            QStringLiteral("Dive %1 has no slot \"%2\".").arg(dive).arg(code));
            QJsonObject said = body;
            said.insert(QStringLiteral("dive"), dive);
            said.insert(QStringLiteral("slot"), code);
            if (!reason.isEmpty())
                said.insert(QStringLiteral("reason"), reason);
            if (auto entry = file.record(act, verb, said); !entry)
                return entry.error();
        }
        return {};
    });
}

/// A span in which a lid was open.
struct OpenSpan {
    UtcTime from{}, to{};
    bool still = false;
};

std::vector<OpenSpan> openSpans(const QString &slot, const std::vector<LidMove> &lids, UtcTime now)
{
    std::vector<OpenSpan> spans;
    for (const LidMove &move : lids) {
        if (move.slot != slot)
            continue;
        const bool isOpen = !spans.empty() && spans.back().still;
        if (move.open && !isOpen)
            spans.push_back({move.time, std::max(now, move.time), true});
        else if (!move.open && isOpen) {
            spans.back().to = move.time;
            spans.back().still = false;
        }
    }
    return spans;
}

const BoxSpec *boxOf(const Loadout &loadout, const QString &code)
{
    for (const BoxSpec &box : loadout.boxes) {
        for (const SlotSpec &slot : box.slotList) {
            if (slot.code == code)
                return &box;
        }
    }
    return nullptr;
}

} // namespace

Result<std::vector<LidMove>> readLids(const Database &db, int dive)
{
    auto rows = query(
        db.connection(),
        QStringLiteral("SELECT slot, open, time_us FROM lid WHERE dive=? ORDER BY time_us, entry"), {dive});
    if (!rows)
        return rows.error();
    std::vector<LidMove> moves;
    while (rows->next())
        moves.push_back({rows->text(0), rows->integer(1) != 0, utcFromMicroseconds(rows->integer(2))});
    return moves;
}

Done moveLids(CruiseFile &file, const Act &act, int dive, const QStringList &codes, bool open, UtcTime at,
              const QString &reason)
{
    return recordSlots(
        file, act, dive, codes, verb::lidMoved,
        {{QStringLiteral("open"), open}, {QStringLiteral("timeUs"), static_cast<qint64>(microsecondsOf(at))}},
        reason);
}

Done setReaches(CruiseFile &file, const Act &act, int dive, const QStringList &codes, bool reachable,
                const QString &reason)
{
    return recordSlots(file, act, dive, codes, verb::reachChanged, {{QStringLiteral("reachable"), reachable}},
                       reason);
}

QMap<QString, SlotExposure> slotExposures(const Loadout &loadout, const std::vector<SampleInfo> &samples,
                                          const std::vector<LidMove> &lids, UtcTime now)
{
    QMap<QString, SlotExposure> all;
    for (const LidMove &move : lids)
        all.insert(move.slot, {});
    for (auto it = all.begin(); it != all.end(); ++it) {
        SlotExposure &exposure = it.value();
        std::optional<UtcTime> since;
        for (const SampleInfo &sample : samples) {
            if (sample.slot == it.key() && sample.state == QLatin1String("held") &&
                (!since || sample.time < *since))
                since = sample.time;
        }
        const BoxSpec *box = boxOf(loadout, it.key());
        for (const OpenSpan &span : openSpans(it.key(), lids, now)) {
            if (span.still)
                exposure.openSince = span.from;
            const UtcTime from = since ? std::max(*since, span.from) : span.from;
            if (from >= span.to && !span.still)
                continue; // shut before anything lay in it
            ++exposure.timesOpened;
            exposure.openS += std::max(0.0, secondsBetween(from, span.to));
            for (const SampleInfo &other : samples) {
                if (since && box && other.slot != it.key() && boxOf(loadout, other.slot) == box &&
                    other.state != QLatin1String("void") && other.time > from && other.time <= span.to &&
                    !exposure.takenBeside.contains(other.id))
                    exposure.takenBeside << other.id;
            }
        }
    }
    return all;
}

} // namespace holdfast
