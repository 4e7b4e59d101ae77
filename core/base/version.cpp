// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/version.h"

namespace holdfast
{

QString programVersion()
{
    return QStringLiteral(HOLDFAST_VERSION);
}

} // namespace holdfast
