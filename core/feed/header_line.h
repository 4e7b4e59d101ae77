// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/feed_profile.h"

#include <QByteArray>

namespace holdfast
{

/// The first line of `text` that is a header of the profile, with its line feed; empty when there is none or
/// the profile has no headers. A feed that was opened in the middle has lines before it, and a sender may say
/// it again.
[[nodiscard]] QByteArray headerLine(const QByteArray &text, const FeedProfile &profile);

} // namespace holdfast
