// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/intake_report.h"

#include <algorithm>

namespace holdfast
{

namespace
{

void countReason(std::vector<ReasonCount> &list, const QString &reason, std::uint32_t line,
                 std::int64_t count)
{
    const auto known =
        std::find_if(list.begin(), list.end(), [&](const ReasonCount &c) { return c.reason == reason; });
    if (known == list.end())
        list.push_back({reason, count, line});
    else
        known->count += count;
}

} // namespace

void IntakeReport::repair(const QString &reason, std::uint32_t line, std::int64_t count)
{
    repaired += count;
    countReason(repairs, reason, line, count);
}

void IntakeReport::reject(const QString &reason, std::uint32_t line, std::string_view text)
{
    ++rejected;
    countReason(rejects, reason, line, 1);
    if (aside.size() >= maxAside)
        return;
    const std::string_view head = text.substr(0, 200);
    aside.push_back({line, reason, QByteArray(head.data(), static_cast<qsizetype>(head.size()))});
}

void IntakeReport::note(const QString &reason, std::uint32_t line, std::int64_t count)
{
    countReason(notes, reason, line, count);
}

} // namespace holdfast
