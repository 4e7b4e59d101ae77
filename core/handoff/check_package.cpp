// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/check_package.h"

#include "base/counted.h"
#include "handoff/own_layout.h"
#include "handoff/safe_cell.h"

#include <QFileInfo>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

/// House rules that receivers still expect though RFC 8493 no longer speaks of archives: one top folder,
/// named like the archive.
void checkWrapping(const BagSource &source, PackageFindings &findings)
{
    const QString rule = q("house rule");
    if (!source.isZip())
        return;
    const QString name = QFileInfo(source.where()).completeBaseName();
    if (source.topFolder().isEmpty())
        findings.warning(rule, {},
                         q("The bag lies at the top of the zip; receivers expect it in one folder."));
    else if (source.topFolder() != name)
        findings.warning(
            rule, {},
            QStringLiteral("The one folder of the zip is called \"%1\", not \"%2\" like the zip.")
                .arg(source.topFolder(), name));
}

} // namespace

Result<PackageReport> checkPackage(const QString &path, UtcTime now, const JobControl &job)
{
    const auto source = BagSource::open(path);
    if (!source)
        return fail(source.error().kind, visibleText(source.error().sentence));
    PackageReport report;
    report.darwinCore = darwinCoreFolders(**source);
    report.isBag =
        (*source)->find(q("bagit.txt")) || (*source)->find(q("data")) || report.darwinCore.isEmpty();
    checkWrapping(**source, report.findings);
    checkOwnLayout(**source, report.findings);
    if (report.isBag) {
        auto bag = checkBag(**source, job);
        if (!bag)
            return bag.error();
        report.bag = std::move(*bag);
    }
    for (const QString &folder : std::as_const(report.darwinCore)) {
        if (auto done = checkDarwinCore(**source, folder, now, job, report.findings); !done)
            return done.error();
    }
    return report;
}

QString PackageReport::text() const
{
    QString out = bag.findings.text() + findings.text();
    if (isBag)
        out += QStringLiteral("BagIt %1: %2, %3. %4, %5, %6.\n")
                   .arg(bag.version.isEmpty() ? q("?") : bag.version,
                        bag.complete ? q("complete") : q("not complete"),
                        bag.valid ? q("valid") : q("not valid"),
                        counted(bag.payloadFiles, q("payload file"), q("payload files")),
                        counted(bag.payloadBytes, q("byte"), q("bytes")),
                        bag.algorithms.isEmpty() ? q("no manifest") : bag.algorithms.join(q(" and ")));
    for (const QString &folder : darwinCore)
        out += QStringLiteral("Darwin Core Archive in %1\n")
                   .arg(folder.isEmpty() ? q("the top folder") : visibleText(folder));
    return out + QStringLiteral("%1, %2.\n")
                     .arg(counted(errors(), QStringLiteral("error"), QStringLiteral("errors")),
                          counted(warnings(), QStringLiteral("warning"), QStringLiteral("warnings")));
}

QJsonObject PackageReport::json() const
{
    QJsonArray all = bag.findings.json();
    for (const QJsonValue &f : findings.json())
        all.append(f);
    return {{q("bag"), isBag},
            {q("version"), bag.version},
            {q("complete"), isBag && bag.complete},
            {q("valid"), isBag && bag.valid},
            {q("payloadFiles"), bag.payloadFiles},
            {q("payloadBytes"), bag.payloadBytes},
            {q("algorithms"), QJsonArray::fromStringList(bag.algorithms)},
            {q("darwinCore"), QJsonArray::fromStringList(darwinCore)},
            {q("errors"), errors()},
            {q("warnings"), warnings()},
            {q("findings"), all}};
}

} // namespace holdfast
