// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/own_layout.h"

#include "handoff/ledger_text.h"

#include <QSet>

namespace holdfast
{

void checkOwnLayout(const BagSource &source, PackageFindings &findings)
{
    if (!source.find(ledgerPath))
        return;
    const QString rule = QStringLiteral("holdfast layout 1");
    QSet<QString> missing{QStringLiteral("bagit.txt"),
                          QStringLiteral("bag-info.txt"),
                          QStringLiteral("manifest-sha256.txt"),
                          QStringLiteral("manifest-sha512.txt"),
                          QStringLiteral("tagmanifest-sha256.txt"),
                          QStringLiteral("tagmanifest-sha512.txt")};
    for (const BagEntry &e : source.entries()) {
        const bool payload = e.path == QLatin1String("data") || e.path.startsWith(QLatin1String("data/"));
        if (!payload && !missing.remove(e.path))
            findings.error(rule, e.path, QStringLiteral("was not in the package when it was made."));
    }
    QStringList names = missing.values();
    names.sort();
    for (const QString &name : std::as_const(names))
        findings.error(rule, name, QStringLiteral("is missing; every package is made with it."));
}

} // namespace holdfast
