// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/actions.h"

namespace holdfast
{

/// What amendSample records (dive/actions.h), for an act on several things that is one transaction: only
/// inside CruiseFile::write. The reason must have been looked at.
[[nodiscard]] Done recordSampleAmendment(CruiseFile &file, const Act &act, const QString &id,
                                         const QMap<QString, QString> &fields, const QString &reason,
                                         const KindTable &kinds);

} // namespace holdfast
