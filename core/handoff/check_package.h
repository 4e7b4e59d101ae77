// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/bag_check.h"
#include "handoff/dwca_check.h"

namespace holdfast
{

/// What an archive would say of a package on receipt.
struct PackageReport {
    bool isBag = false;
    BagReport bag;
    QStringList darwinCore;   ///< folders with an archive
    PackageFindings findings; ///< of the archives and of the package as a whole

    [[nodiscard]] int errors() const { return bag.findings.errors() + findings.errors(); }
    [[nodiscard]] int warnings() const { return bag.findings.warnings() + findings.warnings(); }
    [[nodiscard]] QString text() const;
    [[nodiscard]] QJsonObject json() const;
};

/// Checks any bag, and any Darwin Core Archive in it (or alone). Reads only. Errors: as BagSource::open, and
/// Cancelled.
[[nodiscard]] Result<PackageReport> checkPackage(const QString &path, UtcTime now, const JobControl &job);

} // namespace holdfast
