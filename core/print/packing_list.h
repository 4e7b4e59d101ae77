// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "print/page_document.h"
#include "print/sheet_layout.h"
#include "print/substances.h"

#include <QStringList>
#include <optional>

namespace holdfast
{

struct PackingItem {
    QString id = {};
    QString what = {};
    std::optional<int> containers = {};
    QString preservative = {}; ///< with its concentration
    QString substance = {};    ///< key of the table; empty: found by the words of the preservative
    std::optional<double> liquidMl = {};
    QString temperature = {}; ///< "-80 °C"
    QStringList permits = {}; ///< numbers
    QString note = {};
};

struct ShippingPackage {
    QString number = {}; ///< "1"
    QString kind = {};   ///< "dry shipper", "drum"
    std::optional<double> grossKg = {};
    QString temperature = {};
    QString seals = {};
    QString coolant = {}; ///< "dry ice 10 kg", several parted by "; "; told among the hazards
    std::vector<PackingItem> items = {};
};

struct SheetPermit {
    QString number = {};
    QString authority = {};
    std::optional<UtcTime> validUntil = {};
    QString covers = {};
};

/// What a packing list says. The hazards are summed up from the packages; the cautions of the table stand on
/// the list whatever else it says.
struct PackingListContent {
    QString shipment = {};
    QString cruise = {};
    QString consignor = {};
    QString consignee = {};
    QString carrier = {};
    QString waybill = {};
    std::vector<ShippingPackage> packages = {};
    std::vector<SheetPermit> permits = {};
    SubstanceTable substances = {};
    int blankHandOvers = 1;
    bool closed = false; ///< until the packages are closed every page is marked as a draft
    QString printedBy = {};
    std::optional<UtcTime> printedAt = {};
    QString remark = {};
};

/// What all packages hold of one substance.
struct HazardSum {
    QString name = {}; ///< the preservative, when it is in no table
    const Substance *substance = nullptr;
    int packages = 0;
    int containers = 0;
    double liquidMl = 0;
    int withoutQuantity = 0; ///< items that don't say how much
};
/// In the order of the table; preservatives that are in no table come last, by name. Items without a
/// preservative are not counted.
[[nodiscard]] std::vector<HazardSum> sumHazards(const PackingListContent &content);

/// Lays the list out. Errors: Usage (the layout is for another sheet, no packages, an id that can't be
/// printed, a substance that is not in the table). Needs a QGuiApplication.
[[nodiscard]] Result<PageDocument> layoutPackingList(const PackingListContent &content,
                                                     const SheetLayout &layout);

} // namespace holdfast
