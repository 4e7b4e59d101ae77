// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/photograph_place.h"

#include <QDir>
#include <QFileInfo>

namespace holdfast
{

QString recordedPlace(const QString &cruisePath, const QString &filePath)
{
    const QString folder = QFileInfo(QFileInfo(cruisePath).canonicalFilePath()).path();
    const QString whole = QFileInfo(filePath).canonicalFilePath();
    if (!whole.startsWith(folder + QLatin1Char('/')))
        return QFileInfo(filePath).fileName();
    return whole.mid(folder.size() + 1);
}

bool namesAComputersFolders(const QString &place)
{
    const bool drive = place.size() > 1 && place.at(1) == QLatin1Char(':');
    return drive || place.startsWith(QLatin1Char('/')) || place.startsWith(QLatin1Char('\\'));
}

} // namespace holdfast
