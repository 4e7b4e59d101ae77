// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "print/custody_sheet.h"
#include "print/time_chart.h"
#include "print/track_map.h"

namespace holdfast
{

/// A water value over the dive.
struct WaterStrip {
    QString title = {}; ///< with its unit
    std::vector<ChartPoint> points = {};
};

/// What became of something that is not among the samples.
struct LostThing {
    std::optional<UtcTime> time = {};
    QString what = {};
    QString reason = {};
    QString who = {};
};

struct FeedQuality {
    QString name = {};   ///< "USBL", "CTD"
    QString source = {}; ///< the log's file name and profile
    std::int64_t accepted = 0;
    std::int64_t repaired = 0;
    std::int64_t rejected = 0;
    std::optional<double> longestGapS = {};
    QString remark = {};
};

struct PermitUse {
    QString permit = {};
    QString covers = {};
    int taken = 0;
    std::optional<int> limit = {};
};

/// What a dive report says: the dive as on its custody sheet, and its courses in time and place.
struct DiveReportContent {
    CustodySheetContent dive = {}; ///< head, people, samples, ledger heads, printed by and when, closed
    std::vector<TrackMapContent::Point> track = {};
    std::vector<ChartPoint> depth = {}; ///< of the vehicle, m, positive down
    std::vector<WaterStrip> water = {};
    bool broken = false; ///< depth and water have their gaps marked already, see TimeChart
    std::vector<LostThing> lost = {};
    std::vector<FeedQuality> feeds = {};
    std::vector<PermitUse> permits = {};
};

/// Numbers that the report computes from its content.
struct DiveNumbers {
    std::optional<double> durationS = {}; ///< launch to on deck
    std::optional<double> bottomS = {};   ///< on bottom to off bottom
    std::optional<double> greatestDepthM = {};
    std::optional<double> trackLengthM = {}; ///< sum of the steps of the track as given
    int samples = 0;
    int setAside = 0;
    int withoutFix = 0;
    int withoutWater = 0;
    std::optional<double> medianUncertaintyM = {};
};
[[nodiscard]] DiveNumbers diveNumbers(const DiveReportContent &content);

/// The report on pages. Errors: Usage (the layout is for another sheet, an id that can't be printed). Needs a
/// QGuiApplication, as does the next.
[[nodiscard]] Result<PageDocument> layoutDiveReport(const DiveReportContent &content,
                                                    const SheetLayout &layout);

/// The same as one HTML file that needs nothing beside it (report_blocks.h).
[[nodiscard]] Result<QString> diveReportHtml(const DiveReportContent &content, const SheetLayout &layout);

} // namespace holdfast
