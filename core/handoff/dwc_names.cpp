// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/dwc_names.h"

#include <QStringList>

namespace holdfast
{

namespace
{

bool isSign(const QString &word)
{
    static const QStringList signs{
        QStringLiteral("cf"),         QStringLiteral("aff"),     QStringLiteral("sp"),
        QStringLiteral("spp"),        QStringLiteral("ssp"),     QStringLiteral("indet"),
        QStringLiteral("inc"),        QStringLiteral("gen"),     QStringLiteral("nov"),
        QStringLiteral("stet"),       QStringLiteral("incerta"), QStringLiteral("undet"),
        QStringLiteral("morphotype"), QStringLiteral("near"),    QStringLiteral("nr")};
    QString bare = word.toLower();
    while (bare.endsWith(QLatin1Char('.')) || bare.endsWith(QLatin1Char('?')))
        bare.chop(1);
    return bare.isEmpty() || signs.contains(bare) ||
           (bare.size() > 2 && bare.startsWith(QLatin1String("sp.")));
}

} // namespace

CertainName certainName(const QString &logged, const QString &qualifier)
{
    QStringList certain;
    QStringList doubtful;
    for (const QString &word : logged.simplified().split(QLatin1Char(' '), Qt::SkipEmptyParts)) {
        if (doubtful.isEmpty() && !isSign(word) && !word.endsWith(QLatin1Char('?')))
            certain << word;
        else
            doubtful << word;
    }
    const QString apart = qualifier.simplified();
    if (doubtful.isEmpty() && !apart.isEmpty() && !certain.isEmpty())
        doubtful = {apart, certain.takeLast()};
    else if (!apart.isEmpty() && !doubtful.contains(apart))
        doubtful.prepend(apart);
    CertainName name;
    name.verbatimIdentification = apart.isEmpty() || logged.contains(apart)
                                      ? logged.simplified()
                                      : apart + QLatin1Char(' ') + logged.simplified();
    name.identificationQualifier = doubtful.join(QLatin1Char(' '));
    name.scientificName = certain.join(QLatin1Char(' '));
    if (name.scientificName.isEmpty()) {
        name.scientificName = QStringLiteral("Biota");
        // The root of the World Register of Marine Species. The number is as in two public programs that
        // write archives for OBIS, read in November 2026; it was not looked up in the register.
        name.scientificNameId = QStringLiteral("urn:lsid:marinespecies.org:taxname:1");
    }
    return name;
}

} // namespace holdfast
