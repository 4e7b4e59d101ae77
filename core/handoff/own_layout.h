// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/bag_source.h"
#include "handoff/package_findings.h"

namespace holdfast
{

/// A package that this program made has, beyond what RFC 8493 asks, always the same tag files, each vouched
/// for by another: without one of them, or with one more, it is not what left the ship, although any bag may
/// be so. Says nothing of a bag that holds no ledger.
void checkOwnLayout(const BagSource &source, PackageFindings &findings);

} // namespace holdfast
