// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/audit.h"

namespace holdfast
{

/// Compares the sensor log with the ledger: every log that was taken in is there, in use as the ledger says,
/// under the same dive, kind, name and profile, with the same remarks, and byte for byte; and no other log.
[[nodiscard]] Done auditLogs(const CruiseFile &file, AuditReport &report);

} // namespace holdfast
