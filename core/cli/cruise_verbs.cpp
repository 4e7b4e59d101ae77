// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/template_folder.h"
#include "cli/cli.h"
#include "custody/tally.h"
#include "dive/act_steps.h"
#include "dive/actions.h"
#include "dive/describe.h"
#include "dive/moments.h"

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

Done newCruise(const Arguments &a, const World &world)
{
    const QString path = a.positional().at(0);
    const auto file = CruiseFile::create(path, a.text(q("cruise")), a.text(q("station")),
                                         {a.person(), world.now()}, allVerbRules());
    if (!file)
        return file.error();
    world.out(QStringLiteral("Made %1: cruise %2, station %3.\n")
                  .arg(path, a.text(q("cruise")), a.text(q("station"))));
    return {};
}

Done newDive(const Arguments &a, const World &world)
{
    const auto number = a.whole(q("number"));
    if (!number)
        return number.error();
    const auto loadout = readTemplate(q("loadouts"), a.text(q("loadout")));
    if (!loadout)
        return loadout.error();
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    const Act act{a.person(), world.now()};
    const bool again = a.has(q("reason"));
    if (auto done =
            again ? planDiveAgain(*file, act, *number, a.text(q("vehicle")), *loadout, a.text(q("reason")))
                  : planDive(*file, act, *number, a.text(q("vehicle")), *loadout);
        !done)
        return done;
    if (again)
        world.out(q("The plan before stays in the record; slots in which something lies stay beside the new "
                    "one.\n"));
    world.out(QStringLiteral("Dive %1 planned: vehicle %2, loadout %3.\n")
                  .arg(*number)
                  .arg(a.text(q("vehicle")).trimmed(), a.text(q("loadout"))));
    return {};
}

Done describe(const Arguments &a, const World &world)
{
    const bool site = a.has(q("site"));
    if (!site && !a.has(q("title")) && !a.has(q("id-pattern")))
        return fail(ErrorKind::Usage, q("Give --title, --id-pattern or --site."));
    if (site != a.has(q("dive")))
        return fail(ErrorKind::Usage, q("--site and --dive go together: a site is a dive's."));
    const auto dive = site ? a.whole(q("dive")) : Result<int>(0);
    if (!dive)
        return dive.error();
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    const Act act{a.person(), world.now()};
    // What may be refused comes first, so that nothing is done by half.
    if (site) {
        if (auto known = readDive(file->db(), *dive); !known)
            return known.error();
    }
    if (a.has(q("id-pattern"))) {
        if (auto done = setIdPattern(*file, act, a.text(q("id-pattern"))); !done)
            return done;
        world.out(QStringLiteral("Samples are numbered as %1.\n").arg(a.text(q("id-pattern")).trimmed()));
    }
    if (a.has(q("title"))) {
        if (auto done = titleCruise(*file, act, a.text(q("title"))); !done)
            return done;
        world.out(QStringLiteral("The cruise's title is \"%1\".\n").arg(a.text(q("title")).simplified()));
    }
    if (site) {
        if (auto done = nameSite(*file, act, *dive, a.text(q("site"))); !done)
            return done;
        world.out(QStringLiteral("The site of dive %1 is \"%2\".\n")
                      .arg(*dive)
                      .arg(a.text(q("site")).simplified()));
    }
    return {};
}

Done phase(const Arguments &a, const World &world)
{
    const auto dive = a.whole(q("dive"));
    if (!dive)
        return dive.error();
    const auto at = a.time(q("at"));
    if (!at)
        return at.error();
    const QString word = a.positional().at(1);
    for (const Phase phase : {Phase::Launched, Phase::OnBottom, Phase::OffBottom, Phase::OnDeck}) {
        if (phaseWord(phase).replace(QLatin1Char(' '), QLatin1Char('-')) != word)
            continue;
        auto file = openForWriting(a.positional().at(0));
        if (!file)
            return file.error();
        const Act act{a.person(), world.now()};
        if (auto done = a.has(q("reason")) ? correctPhase(*file, act, *dive, phase, *at, a.text(q("reason")))
                                           : reachPhase(*file, act, *dive, phase, *at);
            !done)
            return done;
        world.out(QStringLiteral("Dive %1 %2 at %3.\n").arg(*dive).arg(phaseWord(phase), toIso(*at)));
        return {};
    }
    return fail(
        ErrorKind::Usage,
        QStringLiteral("\"%1\" is no phase; they are launched, on-bottom, off-bottom, on-deck.").arg(word));
}

/// A stamp that did not become a sample.
Done stampWithoutSample(CruiseFile &file, const Arguments &a, const World &world, int dive, UtcTime at)
{
    const bool failed = a.has(q("failed"));
    const QString reason = a.text(failed ? q("failed") : q("set-aside"));
    const Act act{a.person(), world.now()};
    if (auto given = wantReason(reason); !given)
        return given;
    const auto info = readDive(file.db(), dive);
    if (!info)
        return info.error();
    const auto odd = momentWarnings(file.db(), *info, at, act.now);
    if (!odd)
        return odd.error();
    const auto stamp = takeStamp(file, act, dive, at);
    if (!stamp)
        return stamp.error();
    for (const QString &warning : *odd)
        world.err(QStringLiteral("warning: %1 (holdfast correct mends it)\n").arg(warning));
    if (auto done = failed ? failStamp(file, act, *stamp, reason) : setStampAside(file, act, *stamp, reason);
        !done)
        return done;
    world.out(QStringLiteral("Stamp of %1 saved as %2: %3\n")
                  .arg(toIso(at), failed ? q("a failed attempt") : q("set aside"), reason.trimmed()));
    return {};
}

Done stamp(const Arguments &a, const World &world)
{
    const auto dive = a.whole(q("dive"));
    if (!dive)
        return dive.error();
    const auto at = a.time(q("at"));
    if (!at)
        return at.error();
    const bool noSample = a.has(q("failed")) || a.has(q("set-aside"));
    if (!noSample && (!a.has(q("slot")) || !a.has(q("kind"))))
        return fail(ErrorKind::Usage,
                    QStringLiteral("A sample needs --slot SLOT and --kind KIND; a stamp without one "
                                   "needs --failed REASON or --set-aside REASON."));
    if (a.has(q("failed")) && a.has(q("set-aside")))
        return fail(ErrorKind::Usage,
                    QStringLiteral("A stamp is a failed attempt or set aside, not both: give --failed or "
                                   "--set-aside."));
    for (const char *flag : {"slot", "kind", "note", "count", "tool", "asked-by", "permit"}) {
        if (noSample && a.has(q(flag)))
            return fail(ErrorKind::Usage,
                        QStringLiteral("--%1 belongs to a sample; a stamp that is %2 has none.")
                            .arg(q(flag), a.has(q("failed")) ? q("a failed attempt") : q("set aside")));
    }
    SampleDetails details;
    details.slot = a.text(q("slot"));
    details.kind = a.text(q("kind"));
    details.description = a.text(q("note"));
    details.tool = a.text(q("tool"));
    details.askedBy = a.text(q("asked-by"));
    details.permit = a.text(q("permit"));
    if (!noSample && details.slot.trimmed().isEmpty())
        return fail(ErrorKind::Usage, QStringLiteral("--slot needs a slot's code, as in B2."));
    if (a.has(q("count"))) {
        const auto count = a.whole(q("count"));
        if (!count)
            return count.error();
        details.count = *count;
    }
    const auto kinds = KindTable::load();
    if (!kinds)
        return kinds.error();
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    if (noSample)
        return stampWithoutSample(*file, a, world, *dive, *at);
    const auto logged = stampSample(*file, {a.person(), world.now()}, *dive, *at, details, *kinds);
    if (!logged)
        return logged.error();
    for (const QString &warning : logged->warnings)
        world.err(QStringLiteral("warning (recorded): %1\n").arg(warning));
    world.out(QStringLiteral("%1 saved: %2 in %3 at %4\n")
                  .arg(logged->id, details.kind.trimmed(), details.slot.trimmed().toUpper(), toIso(*at)));
    return {};
}

} // namespace

QList<Verb> cruiseVerbs()
{
    return {
        {q("new"),
         {q("FILE")},
         {{q("cruise"), q("CODE"), q("the cruise's code, as in TK26: it begins every sample id"), true},
          {q("station"), q("NAME"), q("which installation writes: van, deck, wet lab"), true},
          byFlag()},
         q("Makes a new, empty cruise file."),
         {},
         newCruise},
        {q("describe"),
         {q("FILE")},
         {{q("title"), q("TEXT"), q("the cruise's title, as papers and packages print it")},
          {q("id-pattern"), q("PATTERN"),
           q("how samples are numbered, as in {cruise}-{dive:2}-{sample:3}; before the first id is given")},
          {q("dive"), q("N"), q("with --site: the dive")},
          {q("site"), q("TEXT"), q("where the dive is")},
          byFlag()},
         q("Says what the cruise is called, how its samples are numbered, and where a dive is."),
         {},
         describe},
        {q("dive"),
         {q("FILE")},
         {{q("number"), q("N"), q("the dive's number, 1 or more"), true},
          {q("vehicle"), q("NAME"), q("the vehicle's name"), true},
          {q("loadout"), q("NAME"), q("a template of templates/loadouts, as in demo"), true},
          {q("reason"), q("TEXT"), q("corrects the plan of a dive that is there: why")},
          byFlag()},
         q("Plans a dive: which vehicle, which boxes where."),
         {},
         newDive},
        {q("phase"),
         {q("FILE"), q("PHASE")},
         {diveFlag(),
          {q("at"), q("UTC"), q("when"), true},
          {q("reason"), q("TEXT"), q("corrects the time, also after the dive was closed: why")},
          byFlag()},
         q("Records that a dive was launched, on-bottom, off-bottom or on-deck."),
         q("A time far from now or from the rest of the dive is refused. A correction leaves the earlier "
           "time "
           "in the\nrecord; fixes and water values that hang on it are computed again with holdfast refix."),
         phase},
        {q("stamp"),
         {q("FILE")},
         {diveFlag(),
          {q("at"), q("UTC"), q("the moment, as in 2026-03-12T14:22:07.300Z"), true},
          {q("slot"), q("SLOT"), q("the slot it went into, as in B2")},
          {q("kind"), q("KIND"), q("what was taken: rock, coral, water, …")},
          {q("by"), q("PERSON"), q("who logs"), true},
          {q("note"), q("TEXT"), q("words that describe it")},
          {q("count"), q("N"), q("how many, 1 when not given")},
          {q("tool"), q("TEXT"), q("what took it: port arm, scoop, suction")},
          {q("asked-by"), q("PERSON"), q("who asked for it")},
          {q("permit"), q("TEXT"), q("the permit it counts against: its taxon, or its name or number")},
          {q("failed"), q("REASON"), q("instead of slot and kind: the attempt failed")},
          {q("set-aside"), q("REASON"), q("instead of slot and kind: no attempt after all")}},
         q("Logs a sample (or a failed attempt) of one moment."),
         q("The acknowledgement is printed once the record is durable. A slot that is taken, unknown or of "
           "the wrong\n"
           "kind is refused; where practice allows mixing, a warning is printed and recorded."),
         stamp},
    };
}

} // namespace holdfast::cli
