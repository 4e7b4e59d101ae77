// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"
#include "custody/entry_amendment.h"
#include "custody/item_cautions.h"
#include "custody/items.h"
#include "custody/preservation.h"
#include "custody/specimens.h"
#include "dive/act_steps.h"
#include "dive/actions.h"
#include "dive/moments.h"
#include "dive/readers.h"
#include "dive/readiness.h"

#include <QDir>
#include <QFileInfo>
#include <QRegularExpression>

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

/// --from and --to, both or neither.
Result<std::optional<TimeSpan>> spanOf(const Arguments &a)
{
    if (!a.has(q("from")) && !a.has(q("to")))
        return std::optional<TimeSpan>();
    if (!a.has(q("from")) || !a.has(q("to")))
        return fail(ErrorKind::Usage, QStringLiteral("A time span needs both --from UTC and --to UTC."));
    const auto from = a.time(q("from"));
    const auto to = a.time(q("to"));
    if (!from)
        return from.error();
    if (!to)
        return to.error();
    return std::optional<TimeSpan>(TimeSpan{*from, *to});
}

Result<std::optional<int>> countOf(const Arguments &a)
{
    if (!a.has(q("count")))
        return std::optional<int>();
    const auto count = a.whole(q("count"));
    if (!count)
        return count.error();
    return std::optional<int>(*count);
}

Done split(const Arguments &a, const World &world)
{
    SpecimenDetails d;
    d.material = a.text(q("material"));
    d.purpose = a.text(q("purpose"));
    d.massG = a.text(q("mass-g"));
    d.sizeMm = a.text(q("size-mm"));
    d.description = a.text(q("note"));
    d.foundOn = a.text(q("found-on"));
    d.relation = a.text(q("relation"));
    const auto span = spanOf(a);
    if (!span)
        return span.error();
    d.span = *span;
    const auto count = countOf(a);
    if (!count)
        return count.error();
    d.count = *count;
    if (a.has(q("at"))) {
        const auto at = a.time(q("at"));
        if (!at)
            return at.error();
        d.at = *at;
    }
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    const auto rules = HoldingRules::load();
    if (!rules)
        return rules.error();
    const auto id = splitSpecimen(*file, {a.person(), world.now()}, a.positional().at(1), d);
    if (!id)
        return id.error();
    world.out(QStringLiteral("%1 saved: %2%3\n")
                  .arg(*id, d.material.trimmed(),
                       d.foundOn.isEmpty()
                           ? QString()
                           : QStringLiteral(", %1 %2").arg(d.relation.isEmpty() ? q("found on") : d.relation,
                                                           d.foundOn.toUpper())));
    const auto cautions = cautionsOfItems(file->db(), {*id}, rules->limits);
    if (!cautions)
        return cautions.error();
    for (const QString &caution : cautions->all())
        world.err(QStringLiteral("caution: %1\n").arg(caution));
    return {};
}

Done takeOut(const Arguments &a, const World &world)
{
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    if (auto done = voidSpecimen(*file, {a.person(), world.now()}, a.positional().at(1), a.text(q("reason")));
        !done)
        return done;
    world.out(
        QStringLiteral("%1 is void; its number is not given again.\n").arg(a.positional().at(1).toUpper()));
    return {};
}

Done extra(const Arguments &a, const World &world)
{
    const auto dive = a.whole(q("dive"));
    if (!dive)
        return dive.error();
    const auto span = spanOf(a);
    if (!span)
        return span.error();
    const auto count = countOf(a);
    if (!count)
        return count.error();
    const auto kinds = KindTable::load();
    if (!kinds)
        return kinds.error();
    SampleDetails details;
    details.slot = a.text(q("slot"));
    details.kind = a.text(q("kind"));
    details.description = a.text(q("note"));
    details.count = count->value_or(1);
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    const auto logged = logFind(*file, {a.person(), world.now()}, *dive, details, *span, *kinds);
    if (!logged)
        return logged.error();
    for (const QString &warning : logged->warnings)
        world.err(QStringLiteral("warning (recorded): %1\n").arg(warning));
    world.out(QStringLiteral("%1 saved: %2 found at recovery\n").arg(logged->id, details.kind.trimmed()));
    return {};
}

Done identify(const Arguments &a, const World &world)
{
    Identification i;
    i.item = a.positional().at(1);
    i.name = a.text(q("name"));
    i.rank = a.text(q("rank"));
    i.qualifier = a.text(q("qualifier"));
    i.identifiedBy = a.text(q("identified-by"));
    i.date = a.text(q("on"));
    i.remark = a.text(q("note"));
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    if (auto done = identifyItem(*file, {a.person(), world.now()}, i); !done)
        return done;
    world.out(QStringLiteral("%1 identified: %2%3\n")
                  .arg(i.item.toUpper(), i.qualifier.isEmpty() ? QString() : i.qualifier + q(" "),
                       i.name.trimmed()));
    return {};
}

Done photo(const Arguments &a, const World &world)
{
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    const auto linked = linkPhotograph(*file, {a.person(), world.now()}, a.positional().at(1),
                                       a.positional().at(2), a.text(q("caption")));
    if (!linked)
        return linked.error();
    world.out(QStringLiteral("%1: %2, %3 bytes, SHA-256 %4\n")
                  .arg(linked->item, linked->fileName)
                  .arg(linked->bytes)
                  .arg(linked->sha256));
    if (linked->path == linked->fileName &&
        !QFileInfo(QFileInfo(a.positional().at(0)).absoluteDir(), linked->path).exists())
        world.out(
            q("It lies outside the folder of the cruise file, so the record keeps its name and checksum "
              "only: copy it there, or name its folder at the hand-off (--pictures).\n"));
    return {};
}

/// A sample, a specimen, or one entry of the ledger by its name. @return the fields cleared with it.
Result<QStringList> amend(CruiseFile &file, const Act &act, const QString &what, const QString &field,
                          const QString &value, const QString &reason, const World &world)
{
    static const QRegularExpression entryName(QStringLiteral("[ :]\\d+$"));
    if (entryName.match(what.trimmed()).hasMatch())
        return amendEntry(file, act, what, field, value, reason);
    const auto item = readItem(file.db(), what);
    if (!item)
        return item.error();
    const auto nothingCleared = [](const Done &done) {
        return done ? Result<QStringList>(QStringList()) : Result<QStringList>(done.error());
    };
    if (!item->parent.isEmpty())
        return nothingCleared(amendSpecimen(file, act, item->id, field, value, reason));
    if (auto given = wantReason(reason); !given)
        return given.error();
    if (field.trimmed().toLower() == QLatin1String("time")) {
        const auto sample = readSample(file.db(), item->id);
        if (!sample)
            return sample.error();
        const auto at = parseIsoUtc(value.trimmed().toStdString());
        if (!at)
            return fail(
                ErrorKind::Usage,
                QStringLiteral("A time must be UTC as in 2026-03-12T14:22:07Z, not \"%1\".").arg(value));
        return nothingCleared(correctStampTime(file, act, sample->stamp, *at, reason));
    }
    const auto kinds = KindTable::load();
    if (!kinds)
        return kinds.error();
    if (auto done = amendSample(file, act, item->id, {{field, value}}, reason, *kinds); !done)
        return done.error();
    const auto now = readSample(file.db(), item->id);
    if (!now)
        return now.error();
    for (const QString &warning : now->warnings) {
        if (isOfLimits(warning))
            world.err(QStringLiteral("warning (recorded): %1\n").arg(warning));
    }
    return QStringList();
}

Done correct(const Arguments &a, const World &world)
{
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    const auto before = countEntries(file->db());
    if (!before)
        return before.error();
    const auto cleared = amend(*file, {a.person(), world.now()}, a.positional().at(1), a.text(q("field")),
                               a.text(q("value")), a.text(q("reason")), world);
    if (!cleared)
        return cleared.error();
    const auto after = countEntries(file->db());
    if (!after)
        return after.error();
    if (*after == *before) {
        world.out(QStringLiteral("%1 has that %2 already; nothing was written.\n")
                      .arg(a.positional().at(1).toUpper(), a.text(q("field"))));
        return {};
    }
    if (a.text(q("field")).trimmed().toLower() == QLatin1String("time"))
        world.out(q("Fixes and water values that hang on this time are to be computed and accepted again "
                    "(holdfast refix).\n"));
    world.out(QStringLiteral("%1 corrected: %2 is \"%3\".\n")
                  .arg(a.positional().at(1).toUpper(), a.text(q("field")), a.text(q("value")).trimmed()));
    if (!cleared->isEmpty())
        world.out(
            QStringLiteral("Cleared with it, for what it counted is another now: %1. Correct that too.\n")
                .arg(cleared->join(QStringLiteral(", "))));
    if (a.text(q("field")).trimmed().toLower() != q("preservative"))
        return {};
    const auto rules = HoldingRules::load();
    if (!rules)
        return rules.error();
    for (const QString &caution : rules->limits.cautionsFor(a.text(q("value"))))
        world.err(QStringLiteral("caution: %1\n").arg(caution));
    return {};
}

Flag fromFlag()
{
    return {q("from"), q("UTC"), q("the earliest moment it can have been collected")};
}
Flag toFlag()
{
    return {q("to"), q("UTC"), q("the latest moment")};
}
Flag countFlag()
{
    return {q("count"), q("N"), q("how many")};
}

Verb splitVerb()
{
    return {
        q("split"),
        {q("FILE"), q("ID")},
        {{q("material"), q("TEXT"), q("what it is: coral, tissue, sediment, rock, …"), true},
         {q("purpose"), q("TEXT"), q("what it is for: DNA, morphology, chemistry, …")},
         countFlag(),
         {q("mass-g"), q("X"), q("mass in grams")},
         {q("size-mm"), q("TEXT"), q("size in millimetres, as in \"84 x 32 x 20\"")},
         {q("note"), q("TEXT"), q("words that describe it")},
         {q("found-on"), q("ID"), q("it is an associate: what it sat on or in")},
         {q("relation"), q("TEXT"), q("how: found on (when not given), inside, tangled in, …")},
         {q("at"), q("UTC"), q("when it was split off; now without it")},
         fromFlag(),
         toFlag(),
         byFlag()},
        q("Splits a specimen off a sample, or a subsample off a specimen."),
        q("ID.1, ID.2 and so on; a number is never given twice. An associate whose moment nobody saw gets "
          "the\nspan from its host's moment to the vehicle on deck, or the one of --from and --to."),
        split};
}

} // namespace

QList<Verb> specimenVerbs()
{
    return {
        {q("extra"),
         {q("FILE")},
         {diveFlag(),
          {q("kind"), q("KIND"), q("what it is"), true},
          {q("slot"), q("SLOT"), q("the slot it lay in; without it, none")},
          countFlag(),
          {q("note"), q("TEXT"), q("words that describe it")},
          fromFlag(),
          toFlag(),
          byFlag()},
         q("Logs what is found at recovery and nobody had logged."),
         q("Its time is the span from launch to deck, or the one of --from and --to. What sits on something "
           "logged\nis a specimen of that: see split --found-on."),
         extra},
        splitVerb(),
        {q("unsplit"),
         {q("FILE"), q("ID")},
         {{q("reason"), q("TEXT"), q("why; it stays with the record"), true}, byFlag()},
         q("Makes a specimen void that was split by mistake; its number is never given again."),
         q("For what was never there. What was there and is lost or used up is disposed of: see dispose."),
         takeOut},
        {q("identify"),
         {q("FILE"), q("ID")},
         {{q("name"), q("NAME"), q("scientific or working name"), true},
          {q("rank"), q("RANK"), q("of the name: phylum, family, genus, species, …")},
          {q("qualifier"), q("TEXT"), q("cf., aff., …")},
          {q("identified-by"), q("PERSON"), q("who identified it; without it, who acts")},
          {q("on"), q("DATE"), q("when, as in 2026-03-12; without it, today (UTC)")},
          {q("note"), q("TEXT"), q("on what grounds")},
          byFlag()},
         q("Says what a sample or specimen is; earlier names stay in the record."),
         {},
         identify},
        {q("photo"),
         {q("FILE"), q("ID"), q("IMAGE")},
         {{q("caption"), q("TEXT"), q("what it shows")}, byFlag()},
         q("Links a photograph by its path and SHA-256; the image file is only read."),
         {},
         photo},
        {q("correct"),
         {q("FILE"), q("ID")},
         {{q("field"), q("FIELD"),
           q("a sample's time, kind, count, …; a specimen's material, purpose, count, mass, size, …"), true},
          {q("value"), q("TEXT"), q("the right value"), true},
          {q("reason"), q("TEXT"), q("why"), true},
          byFlag()},
         q("Corrects a field of a sample, a specimen or an entry; the earlier value stays in the record."),
         q("ID may be an entry as holdfast history names it, as in \"van 123\": where and when it was "
           "stored, the\n"
           "condition on receipt, and so on. A wrong field is answered with those there are."),
         correct},
    };
}

} // namespace holdfast::cli
