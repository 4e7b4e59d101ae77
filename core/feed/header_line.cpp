// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/header_line.h"

#include "feed/line_parser.h"

namespace holdfast
{

QByteArray headerLine(const QByteArray &text, const FeedProfile &profile)
{
    if (profile.kind == FeedKind::Nmea || !profile.header)
        return {};
    LineParser parser(profile);
    for (qsizetype at = 0; at < text.size();) {
        const qsizetype found = text.indexOf('\n', at);
        const qsizetype end = found < 0 ? text.size() : found + 1;
        const QByteArray line = text.mid(at, end - at);
        at = end;
        if (line.trimmed().isEmpty() || line.at(0) == profile.comment)
            continue;
        if (parser.push({line.constData(), static_cast<std::size_t>(line.size())}))
            return line;
    }
    return {};
}

} // namespace holdfast
