// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/counted.h"
#include "cli/cli.h"
#include "cli/pin.h"
#include "custody/custody_lists.h"
#include "custody/custody_words.h"
#include "custody/hand_over.h"
#include "custody/item_cautions.h"
#include "custody/preservation.h"
#include "custody/seals.h"

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

QString joined(const QStringList &ids)
{
    return ids.join(QStringLiteral(", "));
}

QStringList commaList(const QString &text)
{
    QStringList out;
    for (const QString &part : text.split(QLatin1Char(','), Qt::SkipEmptyParts))
        out << part.trimmed();
    return out;
}

/// The file opened for writing, who acts, and the stated time.
struct Doing {
    CruiseFile file;
    Act act;
    UtcTime at{};
};

Result<Doing> doing(const Arguments &a, const World &world)
{
    const Act act{a.person(), world.now()};
    UtcTime at = act.now;
    if (a.has(q("at"))) {
        const auto stated = a.time(q("at"));
        if (!stated)
            return stated.error();
        at = *stated;
    }
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    return Doing{std::move(*file), act, at};
}

/// The party confirms by PIN when a flag asks for it; else by acting under their own name (--by). What
/// somebody else enters for them is kept as not confirmed.
Done confirm(const Doing &d, const Arguments &a, const QString &party, Confirmation &confirmation)
{
    const auto byPin = confirmedByPin(d.file, a, party.simplified(), d.act.now);
    if (!byPin)
        return byPin.error();
    if (*byPin)
        confirmation.means = q("pin");
    confirmation.withoutPin = a.text(q("no-pin"));
    if (*byPin && a.has(q("no-pin")))
        return fail(ErrorKind::Usage, q("Give --pin or --no-pin, not both."));
    return {};
}

Done custodian(const Arguments &a, const World &world)
{
    const auto dive = a.whole(q("dive"));
    if (!dive)
        return dive.error();
    auto d = doing(a, world);
    if (!d)
        return d.error();
    const QString person = a.text(q("person"));
    if (auto done = appointCustodian(d->file, d->act, *dive, person, d->at); !done)
        return done;
    world.out(QStringLiteral("%1 answers for what dive %2 collects, from %3.\n")
                  .arg(person.trimmed())
                  .arg(*dive)
                  .arg(toIso(d->at)));
    return {};
}

void tellLeftOut(const QStringList &leftOut, const World &world)
{
    for (const QString &why : leftOut)
        world.err(QStringLiteral("Left out: %1\n").arg(why));
}

Done offer(const Arguments &a, const World &world)
{
    auto d = doing(a, world);
    if (!d)
        return d.error();
    OfferDetails o;
    o.ids = a.positional().mid(1);
    o.box = a.text(q("box"));
    o.withParts = a.has(q("with-parts"));
    o.from = a.text(q("from"));
    o.to = a.text(q("to"));
    o.purpose = a.text(q("purpose"), o.purpose);
    o.basis = a.text(q("basis"), o.basis);
    o.place = a.text(q("place"));
    o.carrier = a.text(q("carrier"));
    o.tracking = a.text(q("tracking"));
    o.remark = a.text(q("note"));
    o.at = d->at;
    if (a.has(q("due-back"))) {
        const auto back = a.time(q("due-back"));
        if (!back)
            return back.error();
        o.dueBack = *back;
    }
    if (auto done = confirm(*d, a, o.from, o.confirmation); !done)
        return done;
    const auto offered = offerItems(d->file, d->act, o);
    if (!offered)
        return offered.error();
    world.out(QStringLiteral("%1: %2 relinquished by %3 to %4; in transit until received.\n")
                  .arg(offered->code, joined(offered->ids), o.from.simplified(), o.to.simplified()));
    tellLeftOut(offered->leftOut, world);
    const auto rules = HoldingRules::load();
    if (!rules)
        return rules.error();
    const auto cautions = cautionsOfItems(d->file.db(), offered->ids, rules->limits);
    if (!cautions)
        return cautions.error();
    for (const QString &caution : cautions->all())
        world.err(QStringLiteral("caution: %1\n").arg(caution));
    return {};
}

/// "ID: reason; ID: reason"
Result<QMap<QString, QString>> refusals(const QString &text)
{
    QMap<QString, QString> out;
    for (const QString &part : text.split(QLatin1Char(';'), Qt::SkipEmptyParts)) {
        const qsizetype colon = part.indexOf(QLatin1Char(':'));
        if (colon < 1)
            return fail(ErrorKind::Usage,
                        QStringLiteral("--refuse needs an id and a reason, as in \"TK26-01-002: "
                                       "jar leaks; TK26-01-003: no label\", not \"%1\".")
                            .arg(part.trimmed()));
        out.insert(part.left(colon).trimmed(), part.mid(colon + 1).trimmed());
    }
    return out;
}

Done accept(const Arguments &a, const World &world)
{
    Receipt r;
    r.offer = a.positional().at(1);
    r.accepted = a.positional().mid(2);
    r.acceptRest = a.has(q("all"));
    const auto refused = refusals(a.text(q("refuse")));
    if (!refused)
        return refused.error();
    r.refused = *refused;
    r.by = a.text(q("receiver"));
    r.basis = a.text(q("basis"), r.basis);
    r.place = a.text(q("place"));
    r.condition = a.text(q("condition"));
    r.temperatureC = a.text(q("temperature"));
    r.sealsIntact = commaList(a.text(q("seals-intact")));
    r.sealsBroken = commaList(a.text(q("seals-broken")));
    r.remark = a.text(q("note"));
    if (a.has(q("count"))) {
        const auto count = a.whole(q("count"));
        if (!count)
            return count.error();
        r.count = *count;
    }
    auto d = doing(a, world);
    if (!d)
        return d.error();
    r.at = d->at;
    if (auto done = confirm(*d, a, r.by, r.confirmation); !done)
        return done;
    const auto received = receiveItems(d->file, d->act, r);
    if (!received)
        return received.error();
    if (r.count && *r.count > received->accepted.size())
        world.err(QStringLiteral("note: %1 counted, but %2 accepted\n")
                      .arg(counted(*r.count, q("container"), q("containers")),
                           counted(received->accepted.size(), q("item"), q("items"))));
    if (!received->accepted.isEmpty())
        world.out(QStringLiteral("Received by %1: %2\n").arg(r.by.simplified(), joined(received->accepted)));
    if (!received->refused.isEmpty())
        world.out(QStringLiteral("Refused, stays with who had it: %1\n").arg(joined(received->refused)));
    if (!received->open.isEmpty())
        world.out(QStringLiteral("Still in transit: %1\n").arg(joined(received->open)));
    return {};
}

Done withdraw(const Arguments &a, const World &world)
{
    auto d = doing(a, world);
    if (!d)
        return d.error();
    const auto back = withdrawOffer(d->file, d->act, a.positional().at(1), a.text(q("reason")), d->at);
    if (!back)
        return back.error();
    world.out(QStringLiteral("Withdrawn: %1\n").arg(joined(*back)));
    return {};
}

Done claim(const Arguments &a, const World &world)
{
    auto d = doing(a, world);
    if (!d)
        return d.error();
    Claim c{a.positional().mid(1),
            a.text(q("holder")),
            a.text(q("basis"), q("held")),
            a.text(q("place")),
            a.text(q("reason")),
            d->at,
            {}};
    if (auto done = confirm(*d, a, c.by, c.confirmation); !done)
        return done;
    if (auto done = claimItems(d->file, d->act, c); !done)
        return done;
    world.out(
        QStringLiteral("Recorded as taken by %1 without a hand-over; the audit shows it with its reason.\n")
            .arg(c.by.simplified()));
    return {};
}

Done secure(const Arguments &a, const World &world)
{
    auto d = doing(a, world);
    if (!d)
        return d.error();
    const QStringList ids = a.positional().mid(1);
    if (auto done = secureItems(d->file, d->act, ids, a.text(q("basis")), d->at); !done)
        return done;
    world.out(QStringLiteral("%1 kept from now on: %2\n").arg(joined(ids).toUpper(), a.text(q("basis"))));
    return {};
}

Done dispose(const Arguments &a, const World &world)
{
    auto d = doing(a, world);
    if (!d)
        return d.error();
    CustodyEnd e{a.positional().mid(1),
                 a.text(q("how")),
                 a.text(q("holder")),
                 a.text(q("place")),
                 a.text(q("reason")),
                 d->at,
                 {}};
    if (auto done = confirm(*d, a, e.by, e.confirmation); !done)
        return done;
    if (auto done = endCustody(d->file, d->act, e); !done)
        return done;
    world.out(QStringLiteral("%1 recorded as %2.\n").arg(joined(e.ids).toUpper(), e.how));
    return {};
}

Done seal(const Arguments &a, const World &world)
{
    const QString what = a.positional().at(1);
    const QString number = a.positional().at(2);
    const QString reason = a.text(q("reason"));
    auto d = doing(a, world);
    if (!d)
        return d.error();
    if (what == q("apply")) {
        const auto closed =
            applySeal(d->file, d->act, {number, a.positional().mid(3), a.text(q("box")), reason, d->at});
        if (!closed)
            return closed.error();
        world.out(QStringLiteral("Seal %1 closes %2\n").arg(number.toUpper(), joined(closed->ids)));
        tellLeftOut(closed->leftOut, world);
        return {};
    }
    Done done =
        fail(ErrorKind::Usage, QStringLiteral("A seal can be applied, inspected or broken: apply, inspect, "
                                              "break, not \"%1\".")
                                   .arg(what));
    if (what == q("break"))
        done = breakSeal(d->file, d->act, number, reason, d->at);
    if (what == q("inspect")) {
        static const QHash<QString, SealSight> sights{{q("intact"), SealSight::Intact},
                                                      {q("broken"), SealSight::Broken},
                                                      {q("missing"), SealSight::Missing}};
        const QString found = a.text(q("found"));
        if (!sights.contains(found))
            return fail(ErrorKind::Usage,
                        QStringLiteral("--found needs intact, broken or missing, not \"%1\".").arg(found));
        done = inspectSeal(d->file, d->act, number, sights.value(found), reason, d->at);
    }
    if (done)
        world.out(QStringLiteral("Seal %1: recorded.\n").arg(number.toUpper()));
    return done;
}

Flag atFlag()
{
    return {q("at"), q("UTC"), q("when it happened; without it, now")};
}
Flag reasonFlag()
{
    return {q("reason"), q("TEXT"), q("why; it stays with the record"), true};
}
Flag basisFlag()
{
    return {q("basis"), q("WORD"), custodyBases().join(QStringLiteral(", "))};
}

Verb offerVerb()
{
    return {q("offer"),
            {q("FILE"), q("[ID...]")},
            QList<Flag>{
                {q("from"), q("PERSON"), q("who relinquishes"), true},
                {q("to"), q("PERSON"), q("who is to receive"), true},
                {q("box"), q("PLACE"), q("all that is stored there or below it")},
                {q("with-parts"), {}, q("also everything split off what is listed")},
                {q("purpose"), q("WORD"), handOverPurposes().join(QStringLiteral(", "))},
                basisFlag(),
                {q("place"), q("PLACE"), q("where it is meanwhile")},
                {q("carrier"), q("NAME"), q("who carries it; answers for the package until it is received")},
                {q("tracking"), q("TEXT"), q("the carrier's number")},
                {q("due-back"), q("UTC"), q("of a loan")},
                {q("note"), q("TEXT"), q("a remark")},
                atFlag(),
                byFlag()} +
                pinFlags(),
            q("Relinquishes samples and specimens to a named receiver: the first half of a hand-over."),
            q("In transit until the receiver accepts or refuses. Nobody relinquishes to themselves; to put "
              "something\n"
              "to another place, store it."),
            offer};
}

Verb acceptVerb()
{
    return {q("accept"),
            {q("FILE"), q("OFFER"), q("[ID...]")},
            QList<Flag>{{q("receiver"), q("PERSON"), q("who receives"), true},
                        {q("condition"), q("WORD"), receiptConditions().join(QStringLiteral(", ")), true},
                        {q("all"), {}, q("everything that is not refused")},
                        {q("refuse"), q("LIST"), q("\"ID: reason; ID: reason\"")},
                        {q("temperature"), q("C"), q("degrees Celsius, as read on receipt")},
                        basisFlag(),
                        {q("place"), q("PLACE"), q("where it is kept")},
                        {q("count"), q("N"), q("containers counted")},
                        {q("seals-intact"), q("LIST"), q("seals looked at and whole, commas between")},
                        {q("seals-broken"), q("LIST"), q("seals found broken")},
                        {q("note"), q("TEXT"), q("a remark")},
                        atFlag(),
                        byFlag()} +
                pinFlags(),
            q("Receives what was offered, wholly or partly: the second half of a hand-over."),
            q("Nothing is accepted by itself: name the ids, or say --all. What is refused stays with who had "
              "it."),
            accept};
}

} // namespace

QList<Verb> handOverVerbs()
{
    return {
        {q("custodian"),
         {q("FILE")},
         {diveFlag(), {q("person"), q("PERSON"), q("who answers for it"), true}, atFlag(), byFlag()},
         q("Names who answers for what a dive collects, from the seafloor to the first hand-over."),
         {},
         custodian},
        offerVerb(),
        acceptVerb(),
        {q("withdraw"),
         {q("FILE"), q("OFFER")},
         {reasonFlag(), atFlag(), byFlag()},
         q("Takes back what of a hand-over is not answered yet."),
         {},
         withdraw},
        {q("claim"),
         {q("FILE"), q("ID...")},
         QList<Flag>{{q("holder"), q("PERSON"), q("who has it"), true},
                     reasonFlag(),
                     basisFlag(),
                     {q("place"), q("PLACE"), q("where")},
                     atFlag(),
                     byFlag()} +
             pinFlags(),
         q("Records that somebody has it although nobody handed it over."),
         q("The break in custody stays visible, with the reason."),
         claim},
        {q("secure"),
         {q("FILE"), q("ID...")},
         {{q("basis"), q("WORD"), custodyBases().join(QStringLiteral(", ")), true}, atFlag(), byFlag()},
         q("Records by what the holder keeps it from now on: locked, in view, …"),
         {},
         secure},
        {q("seal"),
         {q("FILE"), q("WHAT"), q("SEAL"), q("[ID...]")},
         {{q("box"), q("PLACE"), q("apply: all that is stored there or below it")},
          {q("found"), q("WORD"), q("inspect: intact, broken or missing")},
          {q("reason"), q("TEXT"), q("why; needed to break one")},
          atFlag(),
          byFlag()},
         q("Custody seals: WHAT is apply, inspect or break."),
         q("A number is used once. A seal found broken that nobody recorded breaking is a finding of the "
           "audit."),
         seal},
        {q("dispose"),
         {q("FILE"), q("ID...")},
         QList<Flag>{{q("how"), q("WORD"), custodyEnds().join(QStringLiteral(", ")), true},
                     {q("holder"), q("PERSON"), q("who had it"), true},
                     reasonFlag(),
                     {q("place"), q("PLACE"), q("its final place")},
                     atFlag(),
                     byFlag()} +
             pinFlags(),
         q("Ends the custody of samples and specimens: consumed, lost, destroyed or deposited."),
         {},
         dispose},
    };
}

} // namespace holdfast::cli
