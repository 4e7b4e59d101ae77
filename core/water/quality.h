// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "feed/records.h"
#include "water/columns.h"
#include "water/quality_limits.h"

#include <array>
#include <optional>
#include <span>
#include <vector>

namespace holdfast
{

/// What is flagged. Record is the scan as such: its time and the gap before it.
enum class QcParameter : std::uint8_t {
    Record,
    Conductivity,
    Temperature,
    Pressure,
    Oxygen,
    Salinity, ///< its own tests, and never better than conductivity, temperature and pressure
    Depth,    ///< agreement with navigation, and never better than pressure
};
inline constexpr std::size_t qcParameterCount = 7;

/// The tests, as bits of ScanFlags::reasons.
enum class QcTest : std::uint8_t { Gap, Clock, GrossRange, Spike, Burst, Rate, Flat, Air, DepthAgreement };
inline constexpr std::size_t qcTestCount = 9;
[[nodiscard]] constexpr std::uint16_t bitOf(QcTest test) noexcept
{
    return static_cast<std::uint16_t>(1U << static_cast<unsigned>(test));
}

[[nodiscard]] QString nameOf(QcParameter parameter); ///< "conductivity", …
[[nodiscard]] QString nameOf(QcTest test);           ///< "gross range", …

/// The flags of each scan. A value's flag says whether the value may be used; the aggregate is the worst of
/// all parameters and of the record, as QARTOD has it (so the first scan after a gap fails there, although
/// its values may be sound).
struct ScanFlags {
    std::array<std::vector<QcFlag>, qcParameterCount> of;
    std::vector<QcFlag> aggregate;
    std::vector<std::uint16_t> reasons; ///< which tests found the scan suspect or failed, any parameter

    [[nodiscard]] std::size_t size() const { return aggregate.size(); }
    [[nodiscard]] const std::vector<QcFlag> &flags(QcParameter p) const
    {
        return of[static_cast<std::size_t>(p)];
    }
};

/// Scans between two indexes, both included, with their times.
struct ScanStretch {
    std::size_t first = 0, last = 0;
    UtcTime from{}, to{};
};
struct FlatStretch : ScanStretch {
    QcParameter parameter = QcParameter::Conductivity;
    double value = 0; ///< where it stood
};

/// Pressure read while the CTD was out of the water before the dive and after it: what it should read is 0.
/// Median over the scans in air, start-up rows of zeros left out. Stated, never applied here.
struct DeckPressure {
    double medianDbar = 0;
    double spreadDbar = 0; ///< 1.4826 x median absolute deviation
    std::size_t count = 0;
};

/// What a person should see of a log's quality.
struct QualitySummary {
    std::size_t scans = 0;
    /// Scans with each flag, by parameter; index by flag: [0] pass, [1] not evaluated, [2] suspect, [3] fail,
    /// [4] missing.
    std::array<std::array<std::size_t, 5>, qcParameterCount> byFlag{};
    std::array<std::size_t, 5> aggregateByFlag{};
    /// Suspect and failed scans by parameter and test.
    std::array<std::array<std::size_t, qcTestCount>, qcParameterCount> suspect{};
    std::array<std::array<std::size_t, qcTestCount>, qcParameterCount> fail{};

    double longestGapS = 0;
    std::optional<UtcTime> longestGapFrom;
    std::size_t gaps = 0;          ///< gaps over the limit
    std::size_t backwardSteps = 0; ///< times earlier than the one before
    std::size_t repeatedTimes = 0; ///< times equal to the one before
    std::size_t startUpScans = 0;  ///< rows of zeros: the instrument waking, not the sea
    std::vector<FlatStretch> flatStretches;
    std::vector<ScanStretch> airStretches;
    std::optional<DeckPressure> deckBefore, deckAfter;
    /// Scans compared with navigation, and the median of CTD depth less navigation depth.
    std::size_t depthCompared = 0;
    std::optional<double> depthDifferenceM;
    /// Sentences: columns that look swapped, a unit that looks wrong, a log wholly in air, …
    std::vector<QString> findings;

    [[nodiscard]] std::size_t count(QcParameter p, QcFlag flag) const;
};

/// Depth as known to navigation (vehicle depth or acoustic), in order of time; may be empty.
struct DepthReference {
    std::span<const std::int64_t> timeUs;
    std::span<const double> depthM;
};

struct QualityReport {
    ScanFlags flags;
    QualitySummary summary;
};

/// Runs all tests of `limits` over a log. Linear in the number of scans (a million in about a quarter of a
/// second), in the order of the log. Columns shorter than timeUs count as missing.
[[nodiscard]] QualityReport qualityReport(const CtdColumns &ctd, const DerivedColumns &derived,
                                          const QualityLimits &limits, const DepthReference &reference = {});

/// The flags alone.
[[nodiscard]] ScanFlags qualityOf(const CtdColumns &ctd, const DerivedColumns &derived,
                                  const QualityLimits &limits, const DepthReference &reference = {});

/// Sentences about columns that look swapped or carry another unit, found by trying the permutations of
/// conductivity, temperature and pressure, and conductivity in S/m or uS/cm, against the gross ranges.
[[nodiscard]] std::vector<QString> columnFindings(const CtdColumns &ctd, const QualityLimits &limits);

} // namespace holdfast
