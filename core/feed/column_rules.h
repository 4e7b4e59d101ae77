// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/feed_profile.h"

#include <vector>

namespace holdfast::detail
{

/// A unit that a column may be in, and how its number becomes that of ColumnSpec.
struct UnitRule {
    const char *unit;
    int shift10;
    double factor;
    double offset;
    bool degreesMinutes;
};

/// A column that a profile of a kind may name.
struct QuantityRule {
    Quantity quantity;
    const char *key;
    FeedKind kind;
    bool required;
    std::vector<UnitRule> units;
};

/// Every column a profile may name, with the units it may be in. Conversions are definitions: 1 bar = 10
/// dbar, 1 MPa = 100 dbar, 1 psi = 0.6894757293168361 dbar, 1 international knot = 1852/3600 m/s; T90 = T68
/// / 1.00024 (Preston-Thomas 1990, the linear form used with PSS-78).
[[nodiscard]] const std::vector<QuantityRule> &quantityRules();

} // namespace holdfast::detail
