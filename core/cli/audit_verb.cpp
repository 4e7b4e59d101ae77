// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"
#include "ledger/ledger_store.h"

#include <QJsonArray>
#include <QJsonDocument>

namespace holdfast::cli
{

namespace
{

/// What an audit found; each finding is one sentence, the first of a chain names the entry.
struct Findings {
    qint64 entries = 0;
    int stations = 0;
    QString head;
    std::vector<ChainFault> chain;
    QStringList tables;

    [[nodiscard]] bool clean() const { return chain.empty() && tables.isEmpty(); }
};

Result<Findings> auditOf(const CruiseFile &file)
{
    Findings found;
    const auto faults = verifyLedger(file.db());
    if (!faults)
        return faults.error();
    found.chain = *faults;
    const auto heads = chainHeads(file.db());
    if (!heads)
        return heads.error();
    found.stations = static_cast<int>(heads->size());
    found.head = ledgerHeadHash(*heads);
    const auto count = countEntries(file.db());
    if (!count)
        return count.error();
    found.entries = *count;
    // Tables are compared only with a ledger that holds: else every difference would be told twice.
    if (found.chain.empty()) {
        const auto differences = compareTablesWithLedger(file.db(), file.rules());
        if (!differences)
            return differences.error();
        found.tables = *differences;
    }
    return found;
}

QString asJson(const Findings &found)
{
    QJsonArray findings;
    for (const ChainFault &fault : found.chain)
        findings.append(QJsonObject{{QStringLiteral("where"), QStringLiteral("ledger")},
                                    {QStringLiteral("station"), fault.station},
                                    {QStringLiteral("entry"), fault.seq},
                                    {QStringLiteral("finding"), fault.why}});
    for (const QString &sentence : found.tables)
        findings.append(QJsonObject{{QStringLiteral("where"), QStringLiteral("tables")},
                                    {QStringLiteral("finding"), sentence}});
    const QJsonObject all{{QStringLiteral("ok"), found.clean()},
                          {QStringLiteral("entries"), found.entries},
                          {QStringLiteral("stations"), found.stations},
                          {QStringLiteral("head"), found.head},
                          {QStringLiteral("findings"), findings}};
    return QString::fromUtf8(QJsonDocument(all).toJson(QJsonDocument::Compact)) + QLatin1Char('\n');
}

Done audit(const Arguments &a, const World &world)
{
    const auto file = openForReading(a.positional().at(0));
    if (!file)
        return file.error();
    const auto found = auditOf(*file);
    if (!found)
        return found.error();
    if (a.has(QStringLiteral("json"))) {
        world.out(asJson(*found));
        return found->clean() ? Done() : Done(fail(ErrorKind::Tampered, QString()));
    }
    if (found->clean()) {
        world.out(
            QStringLiteral(
                "The ledger holds: %1 entries of %2 station(s), every hash and every link fits, and the "
                "tables agree with it.\nHead %3\n")
                .arg(found->entries)
                .arg(found->stations)
                .arg(found->head));
        return {};
    }
    QStringList sentences;
    for (const ChainFault &fault : found->chain)
        sentences
            << QStringLiteral("station %1, entry %2: %3.").arg(fault.station).arg(fault.seq).arg(fault.why);
    sentences += found->tables;
    return fail(ErrorKind::Tampered,
                QStringLiteral("The record does not hold. %1").arg(sentences.join(QLatin1Char('\n'))));
}

} // namespace

QList<Verb> auditVerbs()
{
    return {{QStringLiteral("audit"),
             {QStringLiteral("FILE")},
             {jsonFlag()},
             QStringLiteral("Verifies the ledger and what was made from it."),
             QStringLiteral("Exit code 1 and the first bad entry of each station when it does not hold."),
             audit}};
}

} // namespace holdfast::cli
