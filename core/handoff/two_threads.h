// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/package_writer.h"
#include "store/database.h"

#include <functional>

namespace holdfast
{

/// Does `work` for 0 .. count-1, each once and in no certain order, on the calling thread with `db` and on
/// one more with a connection of its own, inside a read transaction. The other thread only joins in when its
/// connection sees the very same ledger as `db`, so `db` should be inside a read transaction too; in memory,
/// or while others keep writing, the calling thread does it all. `before` is called on the calling thread
/// with how many have begun.
/// Stops at the first error, also that a row could not be read on the other thread; Cancelled when asked to.
[[nodiscard]] Done onTwoThreads(const Database &db, std::size_t count,
                                const std::function<Done(const Database &, std::size_t)> &work,
                                const JobControl &job, const std::function<void(std::size_t)> &before = {});

} // namespace holdfast
