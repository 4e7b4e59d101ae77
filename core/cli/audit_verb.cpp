// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/counted.h"
#include "cli/cli.h"
#include "custody/audit.h"
#include "custody/custody_audit.h"
#include "dive/readers.h"
#include "exchange/conflicts.h"
#include "print/custody_sheet.h"
#include "store/private_copy.h"
#include "store/schema.h"

#include <QJsonArray>

namespace holdfast::cli
{

namespace
{

/// Does a printed sheet belong to this file? Its code names a state of a chain that must be found in the
/// ledger.
Done compareSheet(const CruiseFile &file, const QString &text, const World &world)
{
    const auto proof = readSheetProof(text);
    if (!proof)
        return proof.error();
    const auto cruise = readCruise(file.db());
    if (!cruise)
        return cruise.error();
    if (cruise->code != proof->cruise)
        return fail(ErrorKind::Tampered, QStringLiteral("The sheet is of cruise %1, the file of cruise %2.")
                                             .arg(proof->cruise, cruise->code));
    auto row = query(file.db().connection(),
                     QStringLiteral("SELECT station, actor, time_us FROM ledger WHERE seq=? AND hash=?"),
                     {static_cast<qint64>(proof->entries), proof->sha256});
    if (!row)
        return row.error();
    if (!row->next())
        return fail(ErrorKind::Tampered,
                    QStringLiteral(
                        "The sheet and the file do not agree: no chain of this file had the hash %1 after %2 "
                        "entries.")
                        .arg(shortHash(proof->sha256))
                        .arg(proof->entries));
    world.out(
        QStringLiteral(
            "The sheet of dive %1 and the file agree: the chain of station %2 stood at entry %3 when it was "
            "printed.\n")
            .arg(proof->dive, row->text(0))
            .arg(proof->entries));
    return {};
}

Done audit(const Arguments &a, const World &world)
{
    const auto file = openForReading(a.positional().at(0));
    if (!file)
        return file.error();
    auto report = auditCruise(*file);
    if (!report)
        return report.error();
    if (const auto older = PrivateCopy::schemaOfFile(file->db().connection()))
        report->notes << QStringLiteral(
                             "The file has the older schema %1: a copy was brought to schema %2 and read, "
                             "the file itself was not touched.")
                             .arg(*older)
                             .arg(schemaVersion());
    if (report->holds()) {
        const auto conflicts = openConflicts(file->db());
        if (!conflicts)
            return conflicts.error();
        for (const Conflict &c : *conflicts)
            report->notes << QStringLiteral("Stations contradict each other, %1: %2 (holdfast conflicts).")
                                 .arg(c.key, c.about);
    }
    const auto heldBack = openHeldBack(file->db());
    if (!heldBack)
        return heldBack.error();
    const bool json = a.has(QStringLiteral("json"));
    // Who had what is worth reading only from a record that holds.
    if (!report->holds()) {
        if (json)
            outJson(world, report->json());
        return fail(ErrorKind::Tampered, json ? QString() : report->text());
    }
    const auto rules = HoldingRules::load();
    if (!rules)
        return rules.error();
    const auto custody = auditCustody(file->db(), *rules, world.now());
    if (!custody)
        return custody.error();
    if (json) {
        QJsonObject all = report->json();
        all.insert(QStringLiteral("custody"), custody->json());
        all.insert(QStringLiteral("ok"), custody->holds() && heldBack->isEmpty());
        all.insert(QStringLiteral("not_in_tables"), QJsonArray::fromStringList(*heldBack));
        outJson(world, all);
    } else {
        world.out(report->text() + custody->text());
    }
    if (a.has(QStringLiteral("sheet"))) {
        if (auto same = compareSheet(*file, a.text(QStringLiteral("sheet")), world); !same)
            return same;
    }
    if (!heldBack->isEmpty())
        return fail(ErrorKind::Refused,
                    json
                        ? QString()
                        : QStringLiteral("%1\nThe ledger is whole, but what these say is missing from lists, "
                                         "labels and packages: settle them (holdfast conflicts).")
                              .arg(heldBack->join(QLatin1Char('\n'))));
    if (custody->holds())
        return {};
    return fail(ErrorKind::Refused,
                json ? QString()
                     : QStringLiteral("The record holds, but custody has %1 that nobody explained.")
                           .arg(counted(static_cast<qint64>(custody->findings.size()),
                                        QStringLiteral("break"), QStringLiteral("breaks"))));
}

} // namespace

QList<Verb> auditVerbs()
{
    return {
        {QStringLiteral("audit"),
         {QStringLiteral("FILE")},
         {{QStringLiteral("sheet"), QStringLiteral("TEXT"),
           QStringLiteral(
               "the proof of a printed custody sheet, scanned or typed (HF1:…): do paper and file agree?")},
          jsonFlag()},
         QStringLiteral(
             "Verifies the ledger, its signatures, what was made from it, and custody; the file is only "
             "read."),
         QStringLiteral(
             "Exit code 1 and the first bad entry of each station when the record does not hold; also when "
             "custody has\na break that nobody explained, or an entry is in no table and nobody settled it. "
             "Holding limits and what is still in transit are "
             "remarks."),
         audit}};
}

} // namespace holdfast::cli
