// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>

namespace holdfast
{

/// "1 label", "3 labels".
[[nodiscard]] inline QString counted(qint64 count, const QString &one, const QString &many)
{
    return QStringLiteral("%1 %2").arg(count).arg(count == 1 ? one : many);
}

} // namespace holdfast
