// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/csv.h"
#include "cli/cli.h"
#include "dive/quality_summary.h"
#include "dive/readers.h"
#include "dive/refix.h"
#include "print/quality_paper.h"

#include <QJsonArray>
#include <cmath>

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

QString number(double value, int decimals)
{
    return QString::fromLatin1(csvFixed(value, decimals));
}

Done clocks(const Arguments &a, const World &world)
{
    const bool apply = a.has(q("apply"));
    auto opened = openDive(a, apply ? Database::Access::ReadWrite : Database::Access::ReadOnly);
    if (!opened)
        return opened.error();
    auto &[file, dive] = *opened;
    const auto applied = appliedClockOffset(file.db(), dive);
    if (!applied)
        return applied.error();
    const auto found = diveClockOffset(file.db(), dive);
    if (!found)
        return found.error();
    if (a.has(q("json")))
        outJson(world, {{q("dive"), dive},
                        {q("offset_s"), found->offsetS},
                        {q("standard_error_s"), found->standardErrorS},
                        {q("depth_bias_m"), found->depthBiasM},
                        {q("depth_spread_m"), found->depthSpreadM},
                        {q("pairs"), static_cast<qint64>(found->pairs)},
                        {q("confident"), found->confident},
                        {q("applied_s"), static_cast<double>(applied->count()) * 1e-6},
                        {q("sentence"), found->sentence}});
    else
        world.out(QStringLiteral(
                      "CTD clock minus vehicle clock: %1 s ± %2 s (standard error), from %3 depths, %4.\n"
                      "%5\nApplied to dive %6 until now: %7 s.\n")
                      .arg(number(found->offsetS, 3), number(found->standardErrorS, 3))
                      .arg(found->pairs)
                      .arg(found->confident ? q("confident") : q("not confident"), found->sentence)
                      .arg(dive)
                      .arg(number(static_cast<double>(applied->count()) * 1e-6, 3)));
    if (!apply)
        return {};
    bool good = false;
    const QString asked = a.text(q("apply"));
    const double seconds = asked == QLatin1String("estimate") ? found->offsetS : asked.toDouble(&good);
    if (asked != QLatin1String("estimate") && (!good || !std::isfinite(seconds)))
        return fail(
            ErrorKind::Usage,
            QStringLiteral("--apply needs \"estimate\" or a number of seconds, not \"%1\".").arg(asked));
    if (asked == QLatin1String("estimate") && !found->confident)
        return fail(ErrorKind::Refused,
                    q("The estimate is not confident, so it was not applied. Give the seconds yourself "
                      "to apply them all the same."));
    const auto offset = Microseconds(std::llround(seconds * 1e6));
    if (auto done = applyClockOffset(file, {a.person(), world.now()}, dive, offset, a.text(q("reason")));
        !done)
        return done;
    if (!a.has(q("json")))
        world.out(QStringLiteral("Applied: %1 s are subtracted from the times of the CTD logs of dive %2.\n")
                      .arg(number(seconds, 3))
                      .arg(dive));
    return {};
}

void printComparison(const World &world, const ValueComparison &comparison)
{
    for (std::size_t i = 0; i < comparison.samples.size(); ++i) {
        const auto &moved = comparison.movedM[i];
        world.out(QStringLiteral("%1%2\n").arg(comparison.samples[i],
                                               moved ? QStringLiteral("  moved %1 m").arg(number(*moved, 2))
                                                     : QString()));
        for (const ValueChange &c : comparison.values) {
            if (c.sample == comparison.samples[i] && c.accepted != c.now)
                world.out(
                    QStringLiteral("  %1 %2 → %3\n")
                        .arg(c.quantity, -20)
                        .arg(c.accepted.isEmpty() ? q("—") : c.accepted, c.now.isEmpty() ? q("—") : c.now));
        }
    }
}

QByteArray comparisonCsv(const ValueComparison &comparison)
{
    QByteArray out = "id,quantity,accepted,now,change\n";
    for (const ValueChange &c : comparison.values) {
        const bool both = !c.accepted.isEmpty() && !c.now.isEmpty();
        out += csvField(c.sample) + ',' + csvField(c.quantity) + ',' + c.accepted.toUtf8() + ',' +
               c.now.toUtf8() + ',' +
               (both ? csvNumber(c.now.toDouble() - c.accepted.toDouble()) : QByteArray()) + '\n';
    }
    for (std::size_t i = 0; i < comparison.samples.size(); ++i) {
        if (comparison.movedM[i])
            out +=
                csvField(comparison.samples[i]) + ",moved_m,,," + csvFixed(*comparison.movedM[i], 3) + '\n';
    }
    return out;
}

Done refix(const Arguments &a, const World &world)
{
    const bool accept = a.has(q("accept"));
    auto opened = openDive(a, accept ? Database::Access::ReadWrite : Database::Access::ReadOnly);
    if (!opened)
        return opened.error();
    auto &[file, dive] = *opened;
    const auto computed = computeValues(file.db(), dive);
    if (!computed)
        return computed.error();
    const auto comparison = compareValues(file.db(), *computed);
    if (!comparison)
        return comparison.error();
    if (a.has(q("out"))) {
        if (auto written = writeWhole(a.text(q("out")), comparisonCsv(*comparison)); !written)
            return written;
    } else {
        printComparison(world, *comparison);
    }
    if (!accept) {
        world.out(comparison->differs()
                      ? q("The values above differ from those accepted; --accept REASON accepts them.\n")
                      : q("Every value is as it was accepted.\n"));
        return {};
    }
    if (auto done = acceptValues(file, {a.person(), world.now()}, *computed, a.text(q("accept"))); !done)
        return done;
    world.out(
        QStringLiteral("Accepted: the values of %1 samples of dive %2. Earlier ones stay in the record.\n")
            .arg(computed->samples.size())
            .arg(dive));
    return {};
}

/// The summary with its pictures, as a PDF or one HTML page.
Done qualityPaper(const Arguments &a, const World &world, const Database &db, int dive)
{
    const QString out = a.text(q("out"));
    const QString layout = a.text(q("layout"), q("report-a4"));
    if (out.endsWith(QLatin1String(".html"), Qt::CaseInsensitive)) {
        const auto page = qualityPage(db, dive, layout, a.person(), world.now());
        if (!page)
            return page.error();
        if (auto written = writeWhole(out, page->toUtf8()); !written)
            return written;
    } else {
        const auto document = qualityPages(db, dive, layout, a.person(), world.now());
        if (!document)
            return document.error();
        if (auto written = writePdf(*document, out); !written)
            return written;
    }
    if (out != QLatin1String("-"))
        world.out(QStringLiteral("%1: quality of the logs of dive %2\n").arg(out).arg(dive));
    return {};
}

Done quality(const Arguments &a, const World &world)
{
    const auto opened = openDive(a, Database::Access::ReadOnly);
    if (!opened)
        return opened.error();
    const auto &[file, dive] = *opened;
    if (a.has(q("out")))
        return qualityPaper(a, world, file.db(), dive);
    const auto summary = diveQuality(file.db(), dive);
    if (!summary)
        return summary.error();
    if (a.has(q("json")))
        outJson(world, summary->json());
    else
        world.out(summary->text());
    return {};
}

} // namespace

QList<Verb> refixVerbs()
{
    return {
        {q("clocks"),
         {q("FILE")},
         {diveFlag(),
          {q("apply"), q("estimate|SECONDS"),
           q("subtract this from the times of the dive's CTD logs; 0 takes it back")},
          {q("reason"), q("TEXT"), q("why it is applied; stays with the record")},
          byFlag(),
          jsonFlag()},
         q("Estimates how far the CTD's clock is ahead of the vehicle's."),
         q("The estimate compares the depths that both have seen. It is applied only when a person says so, "
           "as an entry\n"
           "of the ledger; the logs themselves stay as they are."),
         clocks},
        {q("refix"),
         {q("FILE")},
         {diveFlag(),
          {q("accept"), q("REASON"),
           q("accept the values as they come out now; earlier ones stay in the record")},
          {q("out"), q("OUT.csv"), q("the comparison as a table instead of sentences")},
          byFlag()},
         q("Computes the fixes and water values of a dive again, beside those accepted."),
         q("Use it after corrected logs were taken in (holdfast intake --replaces)."),
         refix},
        {q("quality"),
         {q("FILE")},
         {diveFlag(),
          {q("out"), q("OUT"), q("with pictures: a PDF, or one HTML page when it ends in .html")},
          {q("layout"), q("NAME"), q("a report layout of templates/sheets; report-a4 when not given")},
          byFlag(),
          jsonFlag()},
         q("Sums up the quality of a dive's logs: flags by test and parameter, gaps, positions used."),
         q("Also what the sensors read wrong in air and the lag of the temperature; holdfast correct-log "
           "applies "
           "it."),
         quality},
    };
}

} // namespace holdfast::cli
