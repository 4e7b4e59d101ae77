// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/not_found.h"

#include "custody/inner_acts.h"
#include "dive/inner_acts.h"
#include "store/sql.h"

#include <algorithm>

namespace holdfast
{

namespace
{

/// Whether anything was recorded after `since` that shows where the sample, or a part of it, is.
Result<bool> seenSince(const Database &db, const QString &sample, UtcTime since)
{
    auto row =
        query(db.connection(),
              QStringLiteral(
                  "WITH family AS (SELECT ? AS id UNION ALL SELECT id FROM specimen WHERE sample=?) "
                  "SELECT 1 FROM (SELECT item, time_us FROM storage UNION ALL SELECT item, time_us FROM "
                  "preservation UNION ALL SELECT item, time_us FROM custody_event WHERE what IN "
                  "('accepted', 'claimed') UNION ALL SELECT sample, time_us FROM specimen UNION ALL SELECT "
                  "sample, time_us FROM amendment WHERE field IN ('slot', 'state')) WHERE time_us>? AND "
                  "item IN (SELECT id FROM family) LIMIT 1"),
              {sample, sample, static_cast<qint64>(microsecondsOf(since))});
    if (!row)
        return row.error();
    return row->next();
}

} // namespace

Result<std::vector<NotFound>> readNotFound(const Database &db)
{
    auto dives = query(db.connection(),
                       QStringLiteral("SELECT DISTINCT dive FROM tally WHERE answer='empty' ORDER BY dive"));
    if (!dives)
        return dives.error();
    std::vector<NotFound> all;
    while (dives->next()) {
        const int dive = static_cast<int>(dives->integer(0));
        const auto lines = readTally(db, dive);
        if (!lines)
            return lines.error();
        for (const TallyLine &line : *lines) {
            if (!line.answer || *line.answer != TallyAnswer::Empty || !line.time)
                continue;
            for (const QString &sample : line.slot.held) {
                const auto seen = seenSince(db, sample, *line.time);
                if (!seen)
                    return seen.error();
                if (!*seen)
                    all.push_back({sample, line.slot.code, line.by, dive, *line.time});
            }
        }
    }
    return all;
}

QString notFoundWords(const NotFound &missing)
{
    return QStringLiteral("was not found in slot %1 when it was unloaded").arg(missing.slot);
}

namespace
{

/// Inside a write.
Done recordEmpty(CruiseFile &file, const Act &act, int dive, const QString &slot, const QString &whereNow,
                 const QString &note)
{
    const QString word = whereNow.trimmed();
    const auto lines = readTally(file.db(), dive);
    if (!lines)
        return lines.error();
    const auto lineOf = [&lines](const QString &code) {
        return std::find_if(lines->begin(), lines->end(), [&code](const TallyLine &l) {
            return l.slot.code.compare(code, Qt::CaseInsensitive) == 0;
        });
    };
    const auto line = lineOf(slot.trimmed());
    const bool lost = word.compare(QStringLiteral("lost"), Qt::CaseInsensitive) == 0;
    const auto there = lineOf(word);
    if (word.isEmpty() || line == lines->end() || line->slot.held.isEmpty())
        return recordTally(file, act, dive, slot, TallyAnswer::Empty, note);
    if (!lost && (there == lines->end() || there == line))
        return fail(
            ErrorKind::Usage,
            QStringLiteral("\"%1\" is no other slot of dive %2: say lost, the slot where %3 is now, or "
                           "nothing while that is not known.")
                .arg(word)
                .arg(dive)
                .arg(line->slot.held.join(QStringLiteral(", "))));
    const QString reason = QStringLiteral("not found in %1 when it was unloaded").arg(line->slot.code);
    if (lost) {
        if (auto done = recordTally(file, act, dive, slot, TallyAnswer::Empty, note); !done)
            return done;
    }
    for (const QString &sample : line->slot.held) {
        if (lost) {
            if (auto done = recordSampleState(file, act, sample, QStringLiteral("lost"), reason); !done)
                return done;
        } else if (const auto moved = recordSampleMove(file, act, sample, there->slot.code, reason); !moved) {
            return moved.error();
        }
    }
    // What was moved is no longer logged here: the slot is empty as the ledger says.
    return lost ? Done() : recordTally(file, act, dive, slot, TallyAnswer::AsLogged, note);
}

} // namespace

Done tallyEmpty(CruiseFile &file, const Act &act, int dive, const QString &slot, const QString &whereNow,
                const QString &note)
{
    return file.write([&] { return recordEmpty(file, act, dive, slot, whereNow, note); });
}

} // namespace holdfast
