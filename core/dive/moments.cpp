// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/moments.h"

#include "dive/act_steps.h"
#include "dive/phases.h"
#include "dive/verbs.h"

#include <QJsonArray>
#include <QJsonDocument>
#include <algorithm>

namespace holdfast
{

namespace
{

using namespace std::chrono_literals;

constexpr auto clockSlack = 1min;
constexpr auto farFromTheDive = 72h; // no dive of the vehicles this is made for lasts three days
constexpr auto farFuture = 24h;

QString s(const char *text)
{
    return QString::fromLatin1(text);
}

QString apart(Microseconds span)
{
    const auto minutes = std::chrono::duration_cast<std::chrono::minutes>(span).count();
    if (minutes < 120)
        return QStringLiteral("%1 min").arg(minutes);
    if (minutes < 72 * 60)
        return QStringLiteral("%1 h").arg(minutes / 60);
    return QStringLiteral("%1 days").arg(minutes / (24 * 60));
}

/// How far a moment is from the nearest other stamp or phase of its dive; nothing when it is the first.
Result<std::optional<Microseconds>> distance(const Database &db, const DiveInfo &dive, UtcTime at)
{
    std::vector<UtcTime> others;
    for (const auto &phase : phaseTimes(dive)) {
        if (phase)
            others.push_back(*phase);
    }
    const auto us = static_cast<qint64>(microsecondsOf(at));
    auto rows = query(db.connection(),
                      s("SELECT (SELECT max(time_us) FROM stamp WHERE dive=? AND time_us<?), "
                        "(SELECT min(time_us) FROM stamp WHERE dive=? AND time_us>?)"),
                      {dive.number, us, dive.number, us});
    if (!rows)
        return rows.error();
    if (rows->next()) {
        for (const int column : {0, 1}) {
            if (!rows->isNull(column))
                others.push_back(utcFromMicroseconds(rows->integer(column)));
        }
    }
    std::optional<Microseconds> nearest;
    for (const UtcTime other : others) {
        const Microseconds gap = at > other ? at - other : other - at;
        nearest = nearest ? std::min(*nearest, gap) : gap;
    }
    return nearest;
}

const QString beforeLaunch = s("its time is before the launch of the dive");
const QString afterDeck = s("its time is after the vehicle was on deck");

Done notInTheFuture(UtcTime at, UtcTime now)
{
    if (at <= now)
        return {};
    return fail(ErrorKind::Refused, QStringLiteral("%1 is after now (%2).").arg(toIso(at), toIso(now)));
}

/// When somebody first did something with the sample on deck.
Result<std::optional<UtcTime>> firstWork(const Database &db, const QString &id)
{
    auto row = query(db.connection(),
                     s("SELECT min(t) FROM (SELECT time_us AS t FROM preservation WHERE item=? UNION ALL "
                       "SELECT time_us FROM storage WHERE item=? UNION ALL SELECT time_us FROM custody_event "
                       "WHERE item=? UNION ALL SELECT time_us FROM specimen WHERE sample=?)"),
                     {id, id, id, id});
    if (!row)
        return row.error();
    if (!row->next() || row->isNull(0))
        return std::optional<UtcTime>();
    return std::optional<UtcTime>(utcFromMicroseconds(row->integer(0)));
}

/// Does the sample's new time stand with the dive and with what was done to it since?
Done fits(const Database &db, const DiveInfo &dive, const SampleInfo *sample, UtcTime at)
{
    if (dive.launched && at < *dive.launched)
        return fail(
            ErrorKind::Refused,
            QStringLiteral("%1 is before dive %2 was launched (%3). If that time is wrong, correct it "
                           "first.")
                .arg(toIso(at))
                .arg(dive.number)
                .arg(toIso(*dive.launched)));
    const bool seenTaken = !sample || sample->momentKnown;
    if (seenTaken && dive.onDeck && at > *dive.onDeck)
        return fail(ErrorKind::Refused,
                    QStringLiteral("%1 is after dive %2 was on deck (%3). If that time is wrong, correct it "
                                   "first.")
                        .arg(toIso(at))
                        .arg(dive.number)
                        .arg(toIso(*dive.onDeck)));
    if (!sample)
        return {};
    const auto worked = firstWork(db, sample->id);
    if (!worked)
        return worked.error();
    if (*worked && at > **worked)
        return fail(ErrorKind::Refused, QStringLiteral("%1 is after %2 was worked on or handed over (%3).")
                                            .arg(toIso(at), sample->id, toIso(**worked)));
    return {};
}

Done stampTimeCorrected(const Database &db, const Entry &e)
{
    const QJsonObject b = e.bodyObject();
    const QString stamp = b.value(s("stamp")).toString();
    const qint64 to = b.value(s("toUs")).toInteger();
    if (auto done = execSql(db.connection(), s("UPDATE stamp SET time_us=? WHERE uuid=?"), {to, stamp});
        !done)
        return done;
    auto row = query(db.connection(), s("SELECT id FROM sample WHERE stamp=?"), {stamp});
    if (!row)
        return row.error();
    if (!row->next())
        return {};
    const QString id = row->text(0);
    row->reset();
    const QString warnings =
        QString::fromUtf8(QJsonDocument(b.value(s("warnings")).toArray()).toJson(QJsonDocument::Compact));
    if (auto done = execSql(db.connection(), s("UPDATE sample SET time_us=?, warnings=? WHERE id=?"),
                            {to, warnings, id});
        !done)
        return done;
    const auto iso = [&b](const char *key) {
        return toIsoMicro(utcFromMicroseconds(b.value(QLatin1String(key)).toInteger()));
    };
    return execSql(
        db.connection(),
        s("INSERT INTO amendment (entry, sample, field, old_value, new_value, reason, by_whom, "
          "time_us) VALUES (?,?,'time',?,?,?,?,?)"),
        {e.uuid, id, iso("fromUs"), iso("toUs"), b.value(s("reason")).toString(), e.actor, e.timeUs});
}

Done phaseCorrected(const Database &db, const Entry &e)
{
    const QJsonObject b = e.bodyObject();
    return setPhase(db, b.value(s("phase")).toString(), b.value(s("dive")).toInteger(),
                    b.value(s("toUs")).toInteger());
}

} // namespace

std::optional<Phase> phaseFrom(const QString &word)
{
    for (const Phase phase : {Phase::Launched, Phase::OnBottom, Phase::OffBottom, Phase::OnDeck}) {
        if (phaseWord(phase) == word)
            return phase;
    }
    return {};
}

Result<QStringList> momentWarnings(const Database &db, const DiveInfo &dive, UtcTime at, UtcTime now)
{
    QStringList warnings;
    if (dive.launched && at < *dive.launched)
        warnings << beforeLaunch;
    if (dive.onDeck && at > *dive.onDeck)
        warnings << afterDeck;
    if (at > now + clockSlack)
        warnings << QStringLiteral("its time is %1 after the clock of the station that wrote it")
                        .arg(apart(at - now));
    const auto gap = distance(db, dive, at);
    if (!gap)
        return gap.error();
    if (*gap && **gap > farFromTheDive)
        warnings << QStringLiteral("its time is %1 from everything else of the dive").arg(apart(**gap));
    return warnings;
}

Done checkPhaseTime(const Database &db, const DiveInfo &dive, Phase phase, UtcTime at, UtcTime now)
{
    if (at > now + farFuture)
        return fail(ErrorKind::Refused,
                    QStringLiteral("Dive %1 %2 at %3 would be %4 from now (%5). Type the time again, or set "
                                   "the clock of this computer.")
                        .arg(dive.number)
                        .arg(phaseWord(phase), toIso(at), apart(at - now), toIso(now)));
    DiveInfo others = dive; // the phase's own earlier time is what is corrected
    (phase == Phase::Launched    ? others.launched
     : phase == Phase::OnBottom  ? others.onBottom
     : phase == Phase::OffBottom ? others.offBottom
                                 : others.onDeck)
        .reset();
    const auto gap = distance(db, others, at);
    if (!gap)
        return gap.error();
    if (*gap && **gap > farFromTheDive)
        return fail(ErrorKind::Refused,
                    QStringLiteral("Dive %1 %2 at %3 would be %4 from everything else of the dive. Type the "
                                   "time again; a wrong time recorded before is corrected first (holdfast "
                                   "correct, holdfast phase --reason).")
                        .arg(dive.number)
                        .arg(phaseWord(phase), toIso(at), apart(**gap)));
    return {};
}

Done correctStampTime(CruiseFile &file, const Act &act, const QString &stamp, UtcTime at,
                      const QString &reason)
{
    if (auto given = wantReason(reason); !given)
        return given;
    if (auto past = notInTheFuture(at, act.now); !past)
        return past;
    return file.write([&]() -> Done {
        const auto info = readStamp(file.db(), stamp);
        if (!info)
            return info.error();
        if (info->time == at)
            return {};
        const auto dive = readDive(file.db(), info->dive);
        if (!dive)
            return dive.error();
        const auto samples = readSamples(file.db(), info->dive);
        if (!samples)
            return samples.error();
        const auto sample = std::find_if(samples->begin(), samples->end(),
                                         [&](const SampleInfo &one) { return one.stamp == stamp; });
        const SampleInfo *its = sample == samples->end() ? nullptr : &*sample;
        if (auto good = fits(file.db(), *dive, its, at); !good)
            return good;
        // What was odd about the time before is no longer; all else that was said of the sample stays.
        QStringList warnings = its ? its->warnings : QStringList();
        warnings.removeIf([](const QString &w) { return w.startsWith(s("its time is ")); });
        return recorded(file, act, verb::stampTimeCorrected,
                        {{s("stamp"), stamp},
                         {s("fromUs"), static_cast<qint64>(microsecondsOf(info->time))},
                         {s("toUs"), static_cast<qint64>(microsecondsOf(at))},
                         {s("warnings"), QJsonArray::fromStringList(warnings)},
                         {s("reason"), reason.trimmed()}});
    });
}

Done correctPhase(CruiseFile &file, const Act &act, int dive, Phase phase, UtcTime at, const QString &reason)
{
    if (auto given = wantReason(reason); !given)
        return given;
    if (auto past = notInTheFuture(at, act.now); !past)
        return past;
    return file.write([&]() -> Done {
        const auto info = readDive(file.db(), dive);
        if (!info)
            return info.error();
        const auto times = phaseTimes(*info);
        const auto mine = static_cast<std::size_t>(phase);
        if (times[mine] == at)
            return {};
        for (std::size_t i = 0; i < times.size(); ++i) {
            if (times[i] && ((i < mine && at < *times[i]) || (i > mine && at > *times[i])))
                return fail(ErrorKind::Refused, QStringLiteral("Dive %1 can't be %2 at %3: it was %4 at %5.")
                                                    .arg(dive)
                                                    .arg(phaseWord(phase), toIso(at),
                                                         phaseWord(static_cast<Phase>(i)), toIso(*times[i])));
        }
        QJsonObject body{{s("dive"), dive},
                         {s("phase"), phaseWord(phase)},
                         {s("toUs"), static_cast<qint64>(microsecondsOf(at))},
                         {s("reason"), reason.trimmed()}};
        if (times[mine])
            body.insert(s("fromUs"), static_cast<qint64>(microsecondsOf(*times[mine])));
        return recorded(file, act, verb::phaseCorrected, body);
    });
}

VerbRules momentVerbRules()
{
    return {{verb::stampTimeCorrected, stampTimeCorrected}, {verb::phaseCorrected, phaseCorrected}};
}

} // namespace holdfast
