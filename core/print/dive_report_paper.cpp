// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/dive_report_paper.h"

#include "base/template_folder.h"
#include "custody/tally.h"
#include "dive/readers.h"
#include "dive/readiness.h"
#include "print/dive_courses.h"
#include "print/dive_papers.h"

#include <QMap>
#include <algorithm>

namespace holdfast
{

namespace
{

constexpr int chartColumns = 600;

Done addLosses(const Database &db, int dive, DiveReportContent &report)
{
    const auto stamps = readStamps(db, dive);
    if (!stamps)
        return stamps.error();
    for (const StampInfo &stamp : *stamps) {
        if (stamp.state == QLatin1String("failed") || stamp.state == QLatin1String("set aside"))
            report.lost.push_back({stamp.time, stamp.state, stamp.reason, stamp.by});
    }
    const auto amendments = readAmendments(db, dive);
    if (!amendments)
        return amendments.error();
    for (const AmendmentInfo &a : *amendments) {
        const auto takenBack = [&a](const AmendmentInfo &later) {
            return later.sample == a.sample && later.field == a.field && later.time >= a.time &&
                   later.newValue == QLatin1String("held");
        };
        if (a.field == QLatin1String("state") && a.newValue != QLatin1String("held") &&
            std::none_of(amendments->begin(), amendments->end(), takenBack))
            report.lost.push_back(
                {a.time, QStringLiteral("%1 %2").arg(a.sample, a.newValue), a.reason, a.by});
    }
    // What the deck found otherwise than the ledger said.
    const auto tally = readTally(db, dive);
    if (!tally)
        return tally.error();
    for (const TallyLine &line : *tally) {
        if (!line.answer || *line.answer == TallyAnswer::AsLogged || *line.answer == TallyAnswer::Extra)
            continue;
        report.lost.push_back(
            {line.time,
             QStringLiteral("%1 at recovery: %2 (%3)")
                 .arg(line.slot.code, tallyWord(*line.answer), line.slot.held.join(QStringLiteral(", "))),
             line.note, line.by});
    }
    std::stable_sort(report.lost.begin(), report.lost.end(),
                     [](const LostThing &a, const LostThing &b) { return a.time < b.time; });
    return {};
}

Done addFeeds(const Database &db, int dive, const TrackReport &track, std::optional<double> scanGapS,
              DiveReportContent &report)
{
    const auto intakes = readIntakes(db, dive);
    if (!intakes)
        return intakes.error();
    for (const IntakeInfo &intake : *intakes) {
        FeedQuality feed;
        feed.name = intake.kind;
        feed.source = QStringLiteral("%1 (%2)").arg(intake.fileName, intake.profile);
        feed.accepted = intake.accepted;
        feed.repaired = intake.repaired;
        feed.rejected = intake.rejected;
        if (intake.kind == QLatin1String("position") && track.records > 0)
            feed.longestGapS = track.longestGapS;
        if (intake.kind == QLatin1String("ctd") && !intake.replaced)
            feed.longestGapS = scanGapS;
        if (intake.replaced)
            feed.remark = QStringLiteral("a corrected log has taken its place");
        report.feeds.push_back(feed);
    }
    return {};
}

/// What counts against each permit: where a limit is set, what the whole cruise has taken; else this dive.
Done addPermits(const Database &db, int dive, DiveReportContent &report)
{
    const auto samples = readSamples(db, dive);
    if (!samples)
        return samples.error();
    QMap<QString, int> here; // by permit in small letters, as limits are kept
    QMap<QString, QString> spelt;
    for (const SampleInfo &s : *samples) {
        if (s.permit.isEmpty() || s.state == QLatin1String("void"))
            continue;
        here[s.permit.toLower()] += s.count;
        spelt.insert(s.permit.toLower(), s.permit);
    }
    const auto limits = readPermits(db);
    if (!limits)
        return limits.error();
    for (const PermitLimit &limit : *limits) {
        PermitUse use;
        use.permit = limit.title.isEmpty() ? limit.taxon : limit.title;
        use.covers = QStringLiteral("%1; on this dive %2, on the cruise:")
                         .arg(limit.taxon)
                         .arg(here.value(limit.taxon.toLower()));
        use.taken = limit.taken;
        use.limit = limit.most;
        report.permits.push_back(use);
        here.remove(limit.taxon.toLower());
    }
    for (auto it = here.cbegin(); it != here.cend(); ++it)
        report.permits.push_back(
            {spelt.value(it.key()), QStringLiteral("on this dive; no limit is recorded"), it.value(), {}});
    return {};
}

} // namespace

Result<DiveReportContent> diveReport(const Database &db, int dive, const QString &printedBy,
                                     UtcTime printedAt)
{
    const auto track = diveTrack(db, dive, FixMethod::Smooth);
    if (!track)
        return track.error();
    const auto valued = valuedSamples(db, dive, *track);
    if (!valued)
        return valued.error();
    auto sheet = diveSheet(db, dive, *valued, printedBy, printedAt);
    if (!sheet)
        return sheet.error();
    return diveReport(db, dive, std::move(*sheet), *track);
}

Result<DiveReportContent> diveReport(const Database &db, int dive, CustodySheetContent sheet,
                                     const Track &track)
{
    auto courses = diveCourses(db, dive, chartColumns, track);
    if (!courses)
        return courses.error();
    DiveReportContent report;
    report.dive = std::move(sheet);
    report.dive.title = QStringLiteral("Dive report");
    report.track = std::move(courses->track);
    report.depth = std::move(courses->depth);
    report.water = std::move(courses->water);
    report.broken = true;
    if (auto done = addLosses(db, dive, report); !done)
        return done.error();
    if (auto done = addFeeds(db, dive, track.report(), courses->scanGapS, report); !done)
        return done.error();
    if (auto done = addPermits(db, dive, report); !done)
        return done.error();
    return report;
}

Result<PageDocument> diveReportPages(const Database &db, int dive, const QString &layout,
                                     const QString &printedBy, UtcTime printedAt)
{
    const auto found = sheetLayout(layout);
    if (!found)
        return found.error();
    const auto content = diveReport(db, dive, printedBy, printedAt);
    if (!content)
        return content.error();
    return layoutDiveReport(*content, *found);
}

Result<QString> diveReportPage(const Database &db, int dive, const QString &layout, const QString &printedBy,
                               UtcTime printedAt)
{
    const auto found = sheetLayout(layout);
    if (!found)
        return found.error();
    const auto content = diveReport(db, dive, printedBy, printedAt);
    if (!content)
        return content.error();
    return diveReportHtml(*content, *found);
}

} // namespace holdfast
