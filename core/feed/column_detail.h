// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/feed_profile.h"

#include <string_view>

namespace holdfast::detail
{

inline std::size_t placeOf(Quantity quantity)
{
    return static_cast<std::size_t>(quantity);
}

inline std::string_view trimmed(std::string_view text)
{
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t'))
        text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t'))
        text.remove_suffix(1);
    return text;
}

/// The quantity's name in sentences.
[[nodiscard]] QString nameOf(Quantity quantity);

} // namespace holdfast::detail
