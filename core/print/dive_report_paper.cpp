// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/dive_report_paper.h"

#include "base/template_folder.h"
#include "custody/tally.h"
#include "dive/log_use.h"
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
    const auto corrected = correctedLogs(db, dive);
    if (!corrected)
        return corrected.error();
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
            feed.remark = corrected->contains(intake.uuid)
                              ? QStringLiteral("a corrected log has taken its place")
                              : QStringLiteral("out of use");
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
    const auto limits = readPermits(db);
    if (!limits)
        return limits.error();
    std::vector<int> here(limits->size());
    QMap<QString, int> unlimited; // by permit in small letters
    QMap<QString, QString> spelt;
    for (const SampleInfo &s : *samples) {
        const QString word = s.permit.simplified();
        if (word.isEmpty() || s.state == QLatin1String("void"))
            continue;
        if (const auto i = limitOf(*limits, word)) {
            here[*i] += s.count;
        } else {
            unlimited[word.toLower()] += s.count;
            spelt.insert(word.toLower(), word);
        }
    }
    for (std::size_t i = 0; i < limits->size(); ++i) {
        const PermitLimit &limit = (*limits)[i];
        PermitUse use;
        use.permit = limit.title.isEmpty() ? limit.taxon : limit.title;
        use.covers = QStringLiteral("%1; on this dive %2, on the cruise:").arg(limit.taxon).arg(here[i]);
        use.taken = limit.taken;
        use.limit = limit.most;
        report.permits.push_back(use);
    }
    for (auto it = unlimited.cbegin(); it != unlimited.cend(); ++it)
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
