// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench_work.h"

#include "custody/hand_over.h"
#include "custody/preservation.h"
#include "custody/seals.h"
#include "custody/specimens.h"
#include "dive/readers.h"

namespace holdfast::demo
{

namespace
{

QString u(const char *text)
{
    return QString::fromUtf8(text);
}

/// Both halves of a hand-over, two minutes apart.
Done handOver(CruiseFile &file, const QStringList &ids, const char *from, const char *to, UtcTime at,
              const QStringList &seals)
{
    OfferDetails o;
    o.ids = ids;
    o.from = u(from);
    o.to = u(to);
    o.at = at;
    const auto offered = offerItems(file, {o.from, at}, o);
    if (!offered)
        return offered.error();
    Receipt r;
    r.offer = offered->code;
    r.by = o.to;
    r.acceptRest = true;
    r.condition = u("intact");
    r.temperatureC = u("4.5");
    r.basis = u("secured area");
    r.sealsIntact = seals;
    r.at = at + std::chrono::minutes(2);
    const auto received = receiveItems(file, {o.to, r.at}, r);
    return received ? Done() : Done(received.error());
}

Result<QString> part(CruiseFile &file, const QString &parent, const char *material, const char *purpose,
                     UtcTime at)
{
    SpecimenDetails d;
    d.material = u(material);
    d.purpose = u(purpose);
    return splitSpecimen(file, {u("Ana"), at}, parent, d);
}

Done coralToVials(CruiseFile &file, const QString &coral, const HoldingRules &rules, UtcTime at)
{
    const auto min = [at](int m) { return at + std::chrono::minutes(m); };
    const auto tissue = part(file, coral, "tissue", "DNA", min(0));
    if (!tissue)
        return tissue.error();
    const auto branch = part(file, coral, "octocoral", "morphology", min(2));
    if (!branch)
        return branch.error();
    Identification name;
    name.item = coral;
    name.name = u("Paragorgia");
    name.rank = u("genus");
    name.qualifier = u("cf.");
    if (auto done = identifyItem(file, {u("Ana"), min(4)}, name); !done)
        return done;
    if (const auto kept = preserveItems(file, {u("Ana"), min(6)}, {*tissue},
                                        {u("ethanol"), u("96"), {}, u("cryovial"), 1, 1, min(6)}, rules);
        !kept)
        return kept.error();
    if (const auto kept =
            preserveItems(file, {u("Ana"), min(12)}, {*branch},
                          {u("formalin, buffered"), u("10"), u("formalin"), u("jar"), 1, 1, min(12)}, rules);
        !kept)
        return kept.error();
    if (const auto stored = storeItems(file, {u("Ana"), min(20)}, {*tissue},
                                       u("ship/wet lab/freezer A/box 1"), u("-20"), min(20), rules);
        !stored)
        return stored.error();
    if (const auto stored = storeItems(file, {u("Ana"), min(22)}, {*branch}, u("ship/wet lab/fume hood"),
                                       u("18"), min(22), rules);
        !stored)
        return stored.error();
    const UtcTime sealed = min(30);
    if (const auto closed = applySeal(file, {u("Ana"), sealed},
                                      {u("CS-0101"), {*tissue}, {}, u("for the genetics party"), sealed});
        !closed)
        return closed.error();
    return handOver(file, {*tissue}, "Ana", "Teo", min(40), {u("CS-0101")});
}

} // namespace

Done workOnTheBench(CruiseFile &file, int dive, UtcTime onDeck)
{
    const auto rules = HoldingRules::load();
    if (!rules)
        return rules.error();
    const auto samples = readSamples(file.db(), dive);
    if (!samples)
        return samples.error();
    QStringList held;
    QString coral;
    for (const SampleInfo &s : *samples) {
        if (s.state != u("held"))
            continue;
        held << s.id;
        if (coral.isEmpty() && s.kind == u("octocoral"))
            coral = s.id;
    }
    const UtcTime recovered = onDeck + std::chrono::minutes(24);
    if (auto done = handOver(file, held, "Ilse", "Ana", recovered, {}); !done)
        return done;
    const UtcTime stored = recovered + std::chrono::minutes(10);
    if (const auto cold =
            storeItems(file, {u("Ana"), stored}, held, u("ship/wet lab/cold room"), u("4"), stored, *rules);
        !cold)
        return cold.error();
    return coral.isEmpty() ? Done() : coralToVials(file, coral, *rules, stored + std::chrono::minutes(5));
}

} // namespace holdfast::demo
