// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/cruise_content.h"
#include "handoff/make_package.h"
#include "handoff/vocabulary.h"

namespace holdfast
{

/// data/README.txt: for somebody who was not aboard and never heard of this program.
[[nodiscard]] QByteArray packageReadme(const CruiseContent &content,
                                       const std::vector<VocabularyTerm> &vocabulary,
                                       const PackageOrder &order, const MadePackage &made,
                                       const QString &ledgerHead);

} // namespace holdfast
