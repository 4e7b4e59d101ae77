// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/tally.h"

#include "custody/blank_labels.h"
#include "custody/custody_verbs.h"
#include "custody/entry_amendment.h"
#include "custody/hand_over.h"
#include "custody/inner_acts.h"
#include "custody/preservation.h"
#include "custody/seals.h"
#include "custody/specimens.h"
#include "custody/tally_changes.h"
#include "dive/plan_projection.h"
#include "dive/projection.h"
#include "dive/verbs.h"

#include <algorithm>

namespace holdfast
{

namespace
{

const std::array<std::pair<TallyAnswer, QString>, 5> words{{
    {TallyAnswer::AsLogged, QStringLiteral("as logged")},
    {TallyAnswer::Empty, QStringLiteral("empty")},
    {TallyAnswer::Different, QStringLiteral("different")},
    {TallyAnswer::Broken, QStringLiteral("broken")},
    {TallyAnswer::Extra, QStringLiteral("extra")},
}};

Done projectSlotTallied(const Database &db, const Entry &e)
{
    const QJsonObject b = e.bodyObject();
    const auto text = [&b](const char *key) {
        const QString t = b.value(QLatin1String(key)).toString();
        return t.isNull() ? QStringLiteral("") : t;
    };
    const qint64 dive = b.value(QStringLiteral("dive")).toInteger();
    if (auto there = needSlot(db, dive, text("slot")); !there)
        return there;
    return execSql(
        db.connection(),
        QStringLiteral("INSERT INTO tally (dive, slot, answer, note, by_whom, time_us) VALUES (?,?,?,?,?,?) "
                       "ON CONFLICT (dive, slot) DO UPDATE SET answer=excluded.answer, note=excluded.note, "
                       "by_whom=excluded.by_whom, time_us=excluded.time_us"),
        {dive, text("slot"), text("answer"), text("note"), e.actor, e.timeUs});
}

Done suits(const SlotState &slot, TallyAnswer answer, const QString &note)
{
    const bool logged = !slot.held.isEmpty();
    if (!logged && (answer == TallyAnswer::Empty || answer == TallyAnswer::Broken))
        return fail(ErrorKind::Refused,
                    QStringLiteral("The ledger has nothing in %1: if it is empty, that is \"as "
                                   "logged\"; if something is there, that is \"extra\".")
                        .arg(slot.code));
    const bool needsNote =
        answer == TallyAnswer::Different || answer == TallyAnswer::Broken || answer == TallyAnswer::Extra;
    if (needsNote && note.trimmed().isEmpty())
        return fail(ErrorKind::Usage,
                    QStringLiteral("Say in a few words what was found in %1; it stays with the record.")
                        .arg(slot.code));
    return {};
}

} // namespace

QString tallyWord(TallyAnswer answer)
{
    return std::find_if(words.begin(), words.end(), [answer](const auto &w) { return w.first == answer; })
        ->second;
}

Result<TallyAnswer> tallyAnswerFrom(const QString &word)
{
    QStringList known;
    for (const auto &[answer, text] : words) {
        if (text == word.trimmed().toLower())
            return answer;
        known << text;
    }
    return fail(ErrorKind::Usage, QStringLiteral("\"%1\" is no answer of a tally; the answers are: %2.")
                                      .arg(word, known.join(QStringLiteral(", "))));
}

Result<std::vector<TallyLine>> readTally(const Database &db, int dive)
{
    auto all = readSlots(db, dive);
    if (!all)
        return all.error();
    std::vector<TallyLine> lines;
    for (SlotState &slot : *all)
        lines.push_back({std::move(slot), {}, {}, {}, {}, {}});
    auto rows =
        query(db.connection(),
              QStringLiteral("SELECT slot, answer, note, by_whom, time_us FROM tally WHERE dive=?"), {dive});
    if (!rows)
        return rows.error();
    bool answered = false;
    while (rows->next()) {
        const QString code = rows->text(0);
        const auto line =
            std::find_if(lines.begin(), lines.end(), [&](const TallyLine &l) { return l.slot.code == code; });
        const auto answer = tallyAnswerFrom(rows->text(1));
        if (line == lines.end() || !answer)
            continue; // the table's foreign key and CHECK rule both out
        line->answer = *answer;
        line->note = rows->text(2);
        line->by = rows->text(3);
        line->time = utcFromMicroseconds(rows->integer(4));
        answered = true;
    }
    if (!answered)
        return lines;
    const auto info = readDive(db, dive);
    if (!info)
        return info.error();
    if (info->closed)
        return lines;
    const auto changed = changedSinceTally(db, dive);
    if (!changed)
        return changed.error();
    for (TallyLine &line : lines) {
        const auto what = changed->constFind(line.slot.code);
        if (line.answer && what != changed->constEnd())
            line = {std::move(line.slot), {}, {}, {}, {}, *what};
    }
    return lines;
}

Done tallySlot(CruiseFile &file, const Act &act, int dive, const QString &slot, TallyAnswer answer,
               const QString &note)
{
    return file.write([&] { return recordTally(file, act, dive, slot, answer, note); });
}

Done recordTally(CruiseFile &file, const Act &act, int dive, const QString &slot, TallyAnswer answer,
                 const QString &note)
{
    const auto info = readDive(file.db(), dive);
    if (!info)
        return info.error();
    if (info->closed)
        return fail(ErrorKind::Refused, QStringLiteral("Dive %1 was closed at %2; its tally stands.")
                                            .arg(dive)
                                            .arg(toIso(*info->closed)));
    const auto lines = readTally(file.db(), dive);
    if (!lines)
        return lines.error();
    const QString code = slot.trimmed().toUpper();
    const auto line =
        std::find_if(lines->begin(), lines->end(), [&](const TallyLine &l) { return l.slot.code == code; });
    if (line == lines->end())
        return fail(ErrorKind::NotFound, QStringLiteral("Dive %1 has no slot \"%2\".").arg(dive).arg(slot));
    if (auto good = suits(line->slot, answer, note); !good)
        return good;
    auto entry = file.record(act, verb::slotTallied,
                             {{QStringLiteral("dive"), dive},
                              {QStringLiteral("slot"), code},
                              {QStringLiteral("answer"), tallyWord(answer)},
                              {QStringLiteral("note"), note.trimmed()}});
    if (!entry)
        return entry.error();
    return {};
}

Done closeDive(CruiseFile &file, const Act &act, int dive)
{
    return file.write([&]() -> Done {
        const auto info = readDive(file.db(), dive);
        if (!info)
            return info.error();
        if (info->closed)
            return fail(ErrorKind::Refused, QStringLiteral("Dive %1 is closed already.").arg(dive));
        const auto lines = readTally(file.db(), dive);
        if (!lines)
            return lines.error();
        QStringList untallied;
        QStringList changed;
        for (const TallyLine &line : *lines) {
            if (!line.answer)
                untallied << line.slot.code;
            if (!line.changed.isEmpty())
                changed << QStringLiteral("%1 was tallied, but then %2").arg(line.slot.code, line.changed);
        }
        if (!untallied.isEmpty())
            return fail(ErrorKind::Refused,
                        QStringLiteral("Dive %1 can't be closed: still untallied are %2.%3")
                            .arg(dive)
                            .arg(untallied.join(QStringLiteral(", ")),
                                 changed.isEmpty() ? QString()
                                                   : QStringLiteral(" To be looked at again: %1.")
                                                         .arg(changed.join(QStringLiteral("; ")))));
        const auto stamps = readStamps(file.db(), dive);
        if (!stamps)
            return stamps.error();
        for (const StampInfo &stamp : *stamps) {
            if (stamp.state == QLatin1String("waiting"))
                return fail(ErrorKind::Refused,
                            QStringLiteral("Dive %1 can't be closed: the stamp of %2 still waits to "
                                           "become a sample, a failed attempt or to be set aside.")
                                .arg(dive)
                                .arg(toIso(stamp.time)));
        }
        auto entry = file.record(act, verb::diveClosed, {{QStringLiteral("dive"), dive}});
        if (!entry)
            return entry.error();
        return {};
    });
}

VerbRules allVerbRules()
{
    VerbRules rules = diveVerbRules();
    rules.insert(verb::slotTallied, projectSlotTallied);
    rules.insert(specimenVerbRules());
    rules.insert(preservationVerbRules());
    rules.insert(handOverVerbRules());
    rules.insert(sealVerbRules());
    rules.insert(entryAmendmentVerbRules());
    rules.insert(blankLabelVerbRules());
    return rules;
}

} // namespace holdfast
