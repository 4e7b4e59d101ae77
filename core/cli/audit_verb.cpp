// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"
#include "custody/audit.h"

#include <QJsonDocument>

namespace holdfast::cli
{

namespace
{

Done audit(const Arguments &a, const World &world)
{
    const auto file = openForReading(a.positional().at(0));
    if (!file)
        return file.error();
    const auto report = auditCruise(*file);
    if (!report)
        return report.error();
    const bool json = a.has(QStringLiteral("json"));
    if (json)
        world.out(QString::fromUtf8(QJsonDocument(report->json()).toJson(QJsonDocument::Compact)) +
                  QLatin1Char('\n'));
    else if (report->holds())
        world.out(report->text());
    if (report->holds())
        return {};
    return fail(ErrorKind::Tampered, json ? QString() : report->text());
}

} // namespace

QList<Verb> auditVerbs()
{
    return {
        {QStringLiteral("audit"),
         {QStringLiteral("FILE")},
         {jsonFlag()},
         QStringLiteral("Verifies the ledger and what was made from it; the file is only read."),
         QStringLiteral("Exit code 1 and the first bad entry of each station when the record does not hold."),
         audit}};
}

} // namespace holdfast::cli
