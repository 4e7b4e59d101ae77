// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"
#include "custody/not_found.h"
#include "custody/tally.h"

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

void printTally(const std::vector<TallyLine> &lines, const World &world)
{
    for (const TallyLine &line : lines) {
        const QString remark = line.changed.isEmpty()
                                   ? line.note
                                   : QStringLiteral("look again: after it was tallied, %1").arg(line.changed);
        world.out(QStringLiteral("%1  %2  %3%4\n")
                      .arg(line.slot.code, -4)
                      .arg(line.answer ? tallyWord(*line.answer) : q("untallied"), -10)
                      .arg(line.slot.held.isEmpty() ? q("nothing logged")
                                                    : line.slot.held.join(QStringLiteral(", ")),
                           remark.isEmpty() ? QString() : QStringLiteral("  (%1)").arg(remark)));
    }
}

Done tally(const Arguments &a, const World &world)
{
    const auto dive = a.whole(q("dive"));
    if (!dive)
        return dive.error();
    if (a.has(q("slot")) != a.has(q("found")) || ((a.has(q("note")) || a.has(q("now"))) && !a.has(q("slot"))))
        return fail(ErrorKind::Usage, QStringLiteral("An answer needs both --slot SLOT and --found ANSWER."));
    if (!a.has(q("slot"))) {
        const auto file = openForReading(a.positional().at(0));
        if (!file)
            return file.error();
        if (auto known = readDive(file->db(), *dive); !known)
            return known.error();
        const auto lines = readTally(file->db(), *dive);
        if (!lines)
            return lines.error();
        printTally(*lines, world);
        return {};
    }
    const auto answer = tallyAnswerFrom(a.text(q("found")).replace(QLatin1Char('-'), QLatin1Char(' ')));
    if (!answer)
        return answer.error();
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    if (a.has(q("now")) && *answer != TallyAnswer::Empty)
        return fail(ErrorKind::Usage,
                    QStringLiteral("--now says what became of what an empty slot should hold."));
    const Act act{a.person(), world.now()};
    const Done done =
        *answer == TallyAnswer::Empty
            ? tallyEmpty(*file, act, *dive, a.text(q("slot")), a.text(q("now")), a.text(q("note")))
            : tallySlot(*file, act, *dive, a.text(q("slot")), *answer, a.text(q("note")));
    if (!done)
        return done;
    world.out(QStringLiteral("%1 tallied: %2.\n").arg(a.text(q("slot")).toUpper(), tallyWord(*answer)));
    const auto missing = readNotFound(file->db());
    if (!missing)
        return missing.error();
    for (const NotFound &one : *missing) {
        if (one.dive == *dive && one.slot == a.text(q("slot")).trimmed().toUpper())
            world.err(
                QStringLiteral("to be said: %1 %2. Is it lost, or where is it? Answer again with --now lost "
                               "or --now SLOT.\n")
                    .arg(one.sample, notFoundWords(one)));
    }
    return {};
}

Done close(const Arguments &a, const World &world)
{
    const auto dive = a.whole(q("dive"));
    if (!dive)
        return dive.error();
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    if (auto done = closeDive(*file, {a.person(), world.now()}, *dive); !done)
        return done;
    world.out(QStringLiteral("Dive %1 closed.\n").arg(*dive));
    return {};
}

} // namespace

QList<Verb> recoveryVerbs()
{
    return {
        {q("tally"),
         {q("FILE")},
         {diveFlag(),
          {q("slot"), q("SLOT"), q("the slot that is answered; without it the whole list is printed")},
          {q("found"), q("ANSWER"), q("as-logged, empty, different, broken or extra")},
          {q("note"), q("TEXT"), q("what was found")},
          {q("now"), q("lost|SLOT"),
           q("what became of what an empty slot should hold; without it that stays open")},
          byFlag()},
         q("Compares, slot by slot at recovery, the ledger with what is there."),
         {},
         tally},
        {q("close"),
         {q("FILE")},
         {diveFlag(), byFlag()},
         q("Closes a dive whose slots are all tallied."),
         {},
         close},
    };
}

} // namespace holdfast::cli
