// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/result.h"

namespace holdfast
{

Error Error::whileDoing(const QString &doing) const
{
    return Error{kind, doing + QStringLiteral(": ") + sentence};
}

} // namespace holdfast
