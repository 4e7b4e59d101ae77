// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "print/packing_list.h"
#include "store/database.h"

namespace holdfast
{

/// One package of a plan: what it is, and what goes into it.
struct PlannedPackage {
    ShippingPackage package = {};        ///< without its items
    QStringList ids = {};                ///< as typed or scanned
    QString place = {};                  ///< and all that is stored at this place or below it
    QMap<QString, double> liquidMl = {}; ///< by id as in `ids`: the record does not hold it
};

/// What a packing list is made from, besides the record. README of templates/sheets describes the JSON.
struct PackingPlan {
    QString shipment = {}, consignor = {}, consignee = {}, carrier = {}, waybill = {};
    bool closed = false;
    std::vector<PlannedPackage> packages = {}; ///< none: each place where something is stored is a package
    std::vector<SheetPermit> permits = {};
};
/// Error Malformed names the field, what was read and what was expected.
[[nodiscard]] Result<PackingPlan> readPackingPlan(const QByteArray &json, const QString &where);
/// The same as JSON, for keeping it.
[[nodiscard]] QByteArray packingPlanJson(const PackingPlan &plan);

struct PackingPapers {
    PackingListContent content = {};
    QStringList notes = {}; ///< a sentence for each thing a person should know: what is on no list
};
/// The list of a plan, its items as the record has them: what they are, preservative, container, temperature,
/// permit. NotFound: an id that is not there, nothing stored at a place. Duplicate: an id in two packages.
[[nodiscard]] Result<PackingPapers> packingList(const Database &db, const PackingPlan &plan,
                                                const QString &printedBy, UtcTime printedAt);

struct PackingPages {
    PageDocument document = {};
    QStringList notes = {};
};
[[nodiscard]] Result<PackingPages> packingListPages(const Database &db, const PackingPlan &plan,
                                                    const QString &layout, const QString &printedBy,
                                                    UtcTime printedAt);

} // namespace holdfast
