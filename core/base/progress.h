// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <functional>

namespace holdfast
{

/// Told how far a long job is, as the share of the whole, 0 .. 1. Answering false stops the job: it ends with
/// the error Cancelled and has changed nothing.
using Progress = std::function<bool(double share)>;

/// Tells, when there is somebody to tell.
[[nodiscard]] inline Done goOn(const Progress &progress, double share)
{
    if (progress && !progress(share))
        return fail(ErrorKind::Cancelled, QStringLiteral("Stopped; nothing was changed."));
    return {};
}

} // namespace holdfast
