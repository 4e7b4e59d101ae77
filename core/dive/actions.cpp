// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/actions.h"

#include "base/ids.h"
#include "dive/act_steps.h"
#include "dive/inner_acts.h"
#include "dive/moments.h"
#include "dive/numbers.h"
#include "dive/one_line.h"
#include "dive/phases.h"
#include "dive/readiness.h"
#include "dive/verbs.h"

#include <QJsonArray>
#include <QJsonDocument>
#include <algorithm>

namespace holdfast
{

namespace
{

Result<DiveInfo> openDive(const CruiseFile &file, int number)
{
    auto dive = readDive(file.db(), number);
    if (dive && dive->closed)
        return fail(ErrorKind::Refused,
                    QStringLiteral(
                        "Dive %1 was closed at %2; nothing can be added to its collecting. A correction is "
                        "still possible.")
                        .arg(number)
                        .arg(toIso(*dive->closed)));
    return dive;
}

Result<SlotState> findSlot(const std::vector<SlotState> &all, const QString &code, int dive)
{
    const auto found =
        std::find_if(all.begin(), all.end(), [&](const SlotState &s) { return s.code == code; });
    if (found != all.end())
        return *found;
    QStringList codes;
    for (const SlotState &slot : all)
        codes << slot.code;
    codes.sort();
    return fail(ErrorKind::NotFound, QStringLiteral("Dive %1 has no slot \"%2\"; its slots are %3.")
                                         .arg(dive)
                                         .arg(code, codes.join(QStringLiteral(" "))));
}

Result<StampInfo> stampThatIs(const CruiseFile &file, const QString &uuid, const QStringList &states)
{
    auto stamp = readStamp(file.db(), uuid);
    if (stamp && !states.contains(stamp->state))
        return fail(ErrorKind::Refused, QStringLiteral("The stamp of %1 is %2 already.")
                                            .arg(toIso(stamp->time), stamp->state == QLatin1String("sample")
                                                                         ? QStringLiteral("a sample")
                                                                         : stamp->state));
    return stamp;
}

Result<LoggedSample> recordSample(CruiseFile &file, const Act &act, const QString &stampUuid,
                                  const SampleDetails &details, const KindTable &kinds)
{
    const auto stamp = stampThatIs(file, stampUuid, {QStringLiteral("waiting")});
    if (!stamp)
        return stamp.error();
    const auto dive = openDive(file, stamp->dive);
    if (!dive)
        return dive.error();
    const QString kind = details.kind.trimmed();
    if (kind.isEmpty())
        return fail(ErrorKind::Usage,
                    QStringLiteral("What was taken? A kind is needed, as in rock, coral or water."));
    if (details.count < 1 || details.count > 100000)
        return fail(ErrorKind::Usage, QStringLiteral("The count must be 1 to 100000."));
    for (const auto &[text, what] : {std::pair{kind, QStringLiteral("The kind")},
                                     std::pair{details.tool.trimmed(), QStringLiteral("The tool")},
                                     std::pair{details.askedBy.trimmed(), QStringLiteral("Who asked")},
                                     std::pair{details.permit.trimmed(), QStringLiteral("The permit")}}) {
        if (auto line = wantOneLine(text, what); !line)
            return line.error();
    }
    const QString family = kinds.familyOf(kind);
    LoggedSample logged;
    // A find has a span; its stamp is the moment when somebody found it, on deck as it should be.
    const QJsonObject seen = QJsonDocument::fromJson(stamp->seen.toUtf8()).object();
    if (!seen.contains(verb::seenFrom)) {
        auto odd = momentWarnings(file.db(), *dive, stamp->time, act.now);
        if (!odd)
            return odd.error();
        logged.warnings = std::move(*odd);
    }
    const QString slotCode = details.slot.trimmed().toUpper();
    if (!slotCode.isEmpty()) {
        const auto all = readSlots(file.db(), stamp->dive);
        if (!all)
            return all.error();
        const auto slot = findSlot(*all, slotCode, stamp->dive);
        if (!slot)
            return slot.error();
        const auto warnings = mayPlace(*slot, kind, family, *all);
        if (!warnings)
            return warnings.error();
        logged.warnings += *warnings;
    }
    const auto permits = readPermits(file.db());
    if (!permits)
        return permits.error();
    const auto wanted = readWanted(file.db(), stamp->dive);
    if (!wanted)
        return wanted.error();
    logged.warnings += overLimits(*permits, *wanted, kind, family, details.permit, details.count);
    const auto number = nextSampleNumber(file.db(), file.station(), stamp->dive);
    if (!number)
        return number.error();
    const auto cruise = readCruise(file.db());
    if (!cruise)
        return cruise.error();
    const auto pattern = IdPattern::fromText(cruise->idPattern);
    if (!pattern)
        return pattern.error();
    logged.id = pattern->sampleId(cruise->code, stamp->dive, *number);
    auto done = recorded(file, act, verb::sampleLogged,
                         {{QStringLiteral("sample"), newUuid()},
                          {QStringLiteral("id"), logged.id},
                          {QStringLiteral("number"), *number},
                          {QStringLiteral("stamp"), stampUuid},
                          {QStringLiteral("slot"), slotCode},
                          {QStringLiteral("kind"), kind},
                          {QStringLiteral("family"), family},
                          {QStringLiteral("count"), details.count},
                          {QStringLiteral("description"), details.description.trimmed()},
                          {QStringLiteral("tool"), details.tool.trimmed()},
                          {QStringLiteral("askedBy"), details.askedBy.trimmed()},
                          {QStringLiteral("permit"), details.permit.trimmed()},
                          {QStringLiteral("warnings"), QJsonArray::fromStringList(logged.warnings)}});
    if (!done)
        return done.error();
    return logged;
}

Done recordMove(CruiseFile &file, const Act &act, const SampleInfo &sample, const QString &to,
                const QString &reason, const QStringList &warnings)
{
    return recorded(file, act, verb::sampleMoved,
                    {{QStringLiteral("id"), sample.id},
                     {QStringLiteral("from"), sample.slot},
                     {QStringLiteral("to"), to},
                     {QStringLiteral("reason"), reason.trimmed()},
                     {QStringLiteral("warnings"), QJsonArray::fromStringList(warnings)}});
}

/// May `sample` go to `code`, with `ignored` (the other one of a swap) thought away?
Result<QStringList> mayMove(const CruiseFile &file, const SampleInfo &sample, const QString &code,
                            const QString &ignored = {})
{
    if (code.isEmpty())
        return QStringList();
    auto all = readSlots(file.db(), sample.dive);
    if (!all)
        return all.error();
    for (SlotState &slot : *all) {
        for (const QString &gone : {sample.id, ignored}) {
            const qsizetype i = slot.held.indexOf(gone);
            if (i >= 0) {
                slot.held.removeAt(i);
                slot.heldKinds.removeAt(i);
            }
        }
    }
    const auto slot = findSlot(*all, code, sample.dive);
    if (!slot)
        return slot.error();
    return mayPlace(*slot, sample.kind, sample.family, *all);
}

} // namespace

QString phaseWord(Phase phase)
{
    switch (phase) {
    case Phase::Launched:
        return QStringLiteral("launched");
    case Phase::OnBottom:
        return QStringLiteral("on bottom");
    case Phase::OffBottom:
        return QStringLiteral("off bottom");
    case Phase::OnDeck:
        break;
    }
    return QStringLiteral("on deck");
}

Done takeBackPhase(CruiseFile &file, const Act &act, int dive, Phase phase)
{
    return file.write([&]() -> Done {
        const auto info = openDive(file, dive);
        if (!info)
            return info.error();
        const auto times = phaseTimes(*info);
        const auto mine = static_cast<std::size_t>(phase);
        if (!times[mine])
            return fail(ErrorKind::Refused,
                        QStringLiteral("Dive %1 is not recorded as %2.").arg(dive).arg(phaseWord(phase)));
        for (std::size_t i = mine + 1; i < times.size(); ++i) {
            if (times[i])
                return fail(ErrorKind::Refused,
                            QStringLiteral("Dive %1 was %2 after that, at %3: take that back first.")
                                .arg(dive)
                                .arg(phaseWord(static_cast<Phase>(i)), toIso(*times[i])));
        }
        return recorded(file, act, verb::phaseTakenBack,
                        {{QStringLiteral("dive"), dive},
                         {QStringLiteral("phase"), phaseWord(phase)},
                         {QStringLiteral("was"), static_cast<qint64>(microsecondsOf(*times[mine]))}});
    });
}

Done reachPhase(CruiseFile &file, const Act &act, int dive, Phase phase, UtcTime at)
{
    return file.write([&]() -> Done {
        const auto info = openDive(file, dive);
        if (!info)
            return info.error();
        if (auto sane = checkPhaseTime(file.db(), *info, phase, at, act.now); !sane)
            return sane;
        const auto times = phaseTimes(*info);
        const auto mine = static_cast<std::size_t>(phase);
        for (std::size_t i = 0; i < times.size(); ++i) {
            if (times[i] && ((i < mine && at < *times[i]) || (i > mine && at > *times[i])))
                return fail(ErrorKind::Refused, QStringLiteral("Dive %1 can't be %2 at %3: it was %4 at %5.")
                                                    .arg(dive)
                                                    .arg(phaseWord(phase), toIso(at),
                                                         phaseWord(static_cast<Phase>(i)), toIso(*times[i])));
        }
        return recorded(file, act, verb::phaseReached,
                        {{QStringLiteral("dive"), dive},
                         {QStringLiteral("phase"), phaseWord(phase)},
                         {QStringLiteral("timeUs"), static_cast<qint64>(microsecondsOf(at))}});
    });
}

Result<QString> takeStamp(CruiseFile &file, const Act &act, int dive, UtcTime at, const QJsonObject &seen)
{
    return file.write([&] { return recordStamp(file, act, dive, at, seen); });
}

Result<QString> recordStamp(CruiseFile &file, const Act &act, int dive, UtcTime at, const QJsonObject &seen)
{
    if (auto open = openDive(file, dive); !open)
        return open.error();
    const QString uuid = newUuid();
    auto done = recorded(file, act, verb::stampTaken,
                         {{QStringLiteral("stamp"), uuid},
                          {QStringLiteral("dive"), dive},
                          {QStringLiteral("timeUs"), static_cast<qint64>(microsecondsOf(at))},
                          {QStringLiteral("seen"), seen}});
    if (!done)
        return done.error();
    return uuid;
}

namespace
{

Done endStamp(CruiseFile &file, const Act &act, const QString &stamp, const QString &verb,
              const QString &reason)
{
    if (auto given = wantReason(reason); !given)
        return given;
    return file.write([&]() -> Done {
        if (auto waiting = stampThatIs(file, stamp, {QStringLiteral("waiting")}); !waiting)
            return waiting.error();
        return recorded(file, act, verb,
                        {{QStringLiteral("stamp"), stamp}, {QStringLiteral("reason"), reason.trimmed()}});
    });
}

} // namespace

Done failStamp(CruiseFile &file, const Act &act, const QString &stamp, const QString &reason)
{
    return endStamp(file, act, stamp, verb::stampFailed, reason);
}

Done setStampAside(CruiseFile &file, const Act &act, const QString &stamp, const QString &reason)
{
    return endStamp(file, act, stamp, verb::stampSetAside, reason);
}

Done reopenStamp(CruiseFile &file, const Act &act, const QString &stamp)
{
    return file.write([&]() -> Done {
        if (auto ended = stampThatIs(file, stamp, {QStringLiteral("failed"), QStringLiteral("set aside")});
            !ended)
            return ended.error();
        return recorded(file, act, verb::stampReopened, {{QStringLiteral("stamp"), stamp}});
    });
}

Result<LoggedSample> logSample(CruiseFile &file, const Act &act, const QString &stamp,
                               const SampleDetails &details, const KindTable &kinds)
{
    return file.write([&] { return recordSample(file, act, stamp, details, kinds); });
}

Result<LoggedSample> stampSample(CruiseFile &file, const Act &act, int dive, UtcTime at,
                                 const SampleDetails &details, const KindTable &kinds,
                                 const QJsonObject &seen)
{
    return file.write([&] { return recordStampedSample(file, act, dive, at, details, kinds, seen); });
}

Result<LoggedSample> recordStampedSample(CruiseFile &file, const Act &act, int dive, UtcTime at,
                                         const SampleDetails &details, const KindTable &kinds,
                                         const QJsonObject &seen)
{
    const auto stamp = recordStamp(file, act, dive, at, seen);
    if (!stamp)
        return stamp.error();
    return recordSample(file, act, *stamp, details, kinds);
}

Result<QStringList> moveSample(CruiseFile &file, const Act &act, const QString &id, const QString &slot,
                               const QString &reason)
{
    return file.write([&] { return recordSampleMove(file, act, id, slot, reason); });
}

Result<QStringList> recordSampleMove(CruiseFile &file, const Act &act, const QString &id, const QString &slot,
                                     const QString &reason)
{
    const auto sample = readSample(file.db(), id);
    if (!sample)
        return sample.error();
    const QString to = slot.trimmed().toUpper();
    if (to == sample->slot)
        return fail(
            ErrorKind::Refused,
            QStringLiteral("%1 is in %2 already.").arg(id, to.isEmpty() ? QStringLiteral("no slot") : to));
    auto warnings = mayMove(file, *sample, to);
    if (!warnings)
        return warnings;
    if (auto done = recordMove(file, act, *sample, to, reason, *warnings); !done)
        return done.error();
    return warnings;
}

Done swapSamples(CruiseFile &file, const Act &act, const QString &first, const QString &second,
                 const QString &reason)
{
    return file.write([&]() -> Done {
        const auto a = readSample(file.db(), first);
        const auto b = readSample(file.db(), second);
        if (!a)
            return a.error();
        if (!b)
            return b.error();
        if (a->dive != b->dive)
            return fail(ErrorKind::Refused, QStringLiteral("%1 and %2 are of two dives.").arg(first, second));
        const auto aThere = mayMove(file, *a, b->slot, b->id);
        const auto bThere = mayMove(file, *b, a->slot, a->id);
        if (!aThere)
            return aThere.error();
        if (!bThere)
            return bThere.error();
        if (auto done = recordMove(file, act, *a, b->slot, reason, *aThere); !done)
            return done;
        return recordMove(file, act, *b, a->slot, reason, *bThere);
    });
}

namespace
{

/// A sample's warnings once it is amended: what it exceeds of permits and plans is looked at again.
Result<QStringList> warningsWith(const Database &db, SampleInfo sample, const QJsonArray &changes)
{
    auto permits = readPermits(db);
    if (!permits)
        return permits.error();
    auto wanted = readWanted(db, sample.dive);
    if (!wanted)
        return wanted.error();
    takeOut(*permits, *wanted, sample);
    bool counts = false;
    for (const QJsonValue v : changes) {
        const QString field = v.toObject().value(QStringLiteral("field")).toString();
        const QString value = v.toObject().value(QStringLiteral("new")).toString();
        if (field == QLatin1String("count"))
            sample.count = value.toInt();
        else if (field == QLatin1String("kind"))
            sample.kind = value;
        else if (field == QLatin1String("family"))
            sample.family = value;
        else if (field == QLatin1String("permit"))
            sample.permit = value;
        else
            continue;
        counts = true;
    }
    if (!counts || sample.state == QLatin1String("void"))
        return sample.warnings;
    QStringList warnings = sample.warnings;
    warnings.removeIf(isOfLimits);
    return warnings + overLimits(*permits, *wanted, sample.kind, sample.family, sample.permit, sample.count);
}

} // namespace

Done amendSample(CruiseFile &file, const Act &act, const QString &id, const QMap<QString, QString> &fields,
                 const QString &reason, const KindTable &kinds)
{
    return file.write([&]() { return recordSampleAmendment(file, act, id, fields, reason, kinds); });
}

Done recordSampleAmendment(CruiseFile &file, const Act &act, const QString &id,
                           const QMap<QString, QString> &fields, const QString &reason,
                           const KindTable &kinds)
{
    const auto sample = readSample(file.db(), id);
    if (!sample)
        return sample.error();
    const QMap<QString, QString> now{{QStringLiteral("kind"), sample->kind},
                                     {QStringLiteral("count"), QString::number(sample->count)},
                                     {QStringLiteral("description"), sample->description},
                                     {QStringLiteral("tool"), sample->tool},
                                     {QStringLiteral("asked by"), sample->askedBy},
                                     {QStringLiteral("permit"), sample->permit}};
    QJsonArray changes;
    const auto add = [&changes](const QString &field, const QString &oldValue, const QString &newValue) {
        changes.append(QJsonObject{{QStringLiteral("field"), field},
                                   {QStringLiteral("old"), oldValue},
                                   {QStringLiteral("new"), newValue}});
    };
    for (auto it = fields.begin(); it != fields.end(); ++it) {
        const QString value = it.value().trimmed();
        if (!now.contains(it.key()))
            return fail(ErrorKind::Usage,
                        QStringLiteral("A sample has no field \"%1\"; it has %2 and time.")
                            .arg(it.key(), QStringList(now.keys()).join(QStringLiteral(", "))));
        if (it.key() == QLatin1String("count") && (value.toInt() < 1 || value.toInt() > 100000))
            return fail(ErrorKind::Usage,
                        QStringLiteral("The count must be 1 to 100000, not \"%1\".").arg(value));
        if (it.key() == QLatin1String("kind") && value.isEmpty())
            return fail(ErrorKind::Usage, QStringLiteral("A kind is needed, as in rock, coral or water."));
        if (it.key() != QLatin1String("description")) {
            if (auto line = wantOneLine(value, QStringLiteral("The new text for \"%1\"").arg(it.key()));
                !line)
                return line;
        }
        if (value == now.value(it.key()))
            continue;
        add(it.key(), now.value(it.key()), value);
        if (it.key() == QLatin1String("kind") && kinds.familyOf(value) != sample->family)
            add(QStringLiteral("family"), sample->family, kinds.familyOf(value));
    }
    if (changes.isEmpty())
        return {};
    QJsonObject body{{QStringLiteral("id"), id},
                     {QStringLiteral("changes"), changes},
                     {QStringLiteral("reason"), reason.trimmed()}};
    const auto warnings = warningsWith(file.db(), *sample, changes);
    if (!warnings)
        return warnings.error();
    if (*warnings != sample->warnings)
        body.insert(QStringLiteral("warnings"), QJsonArray::fromStringList(*warnings));
    return recorded(file, act, verb::sampleAmended, body);
}

Done setSampleState(CruiseFile &file, const Act &act, const QString &id, const QString &state,
                    const QString &reason)
{
    return file.write([&] { return recordSampleState(file, act, id, state, reason); });
}

Done recordSampleState(CruiseFile &file, const Act &act, const QString &id, const QString &state,
                       const QString &reason)
{
    static const QStringList states{QStringLiteral("held"), QStringLiteral("lost"), QStringLiteral("void")};
    if (!states.contains(state))
        return fail(ErrorKind::Usage,
                    QStringLiteral("A sample is held, lost or void, not \"%1\".").arg(state));
    if (auto given = wantReason(reason); !given)
        return given;
    const auto sample = readSample(file.db(), id);
    if (!sample)
        return sample.error();
    if (sample->state == state)
        return fail(ErrorKind::Refused, QStringLiteral("%1 is %2 already.").arg(id, state));
    if (state == QLatin1String("held")) {
        if (auto may = mayMove(file, *sample, sample->slot); !may)
            return may.error();
    }
    return recorded(file, act, verb::sampleState,
                    {{QStringLiteral("id"), id},
                     {QStringLiteral("from"), sample->state},
                     {QStringLiteral("to"), state},
                     {QStringLiteral("reason"), reason.trimmed()}});
}

} // namespace holdfast
