// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/package_changes.h"

#include "base/csv.h"
#include "custody/history.h"
#include "handoff/bag_check.h"
#include "handoff/ledger_text.h"
#include "handoff/next_package.h"
#include "handoff/reading_limits.h"
#include "handoff/safe_cell.h"
#include "ledger/ledger_store.h"

#include <QDir>
#include <QFileInfo>
#include <QJsonArray>
#include <QRegularExpression>
#include <QSet>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

/// What entries are about, in words: ids where they name one, else what the entry or moment is that they
/// name. Fed with all entries in the ledger's order.
class Subjects
{
public:
    QString of(const Entry &e);

private:
    QHash<QString, QString> m_named; ///< stamps and entries by uuid → what they are about
};

QString idsIn(const QJsonObject &body)
{
    QStringList about;
    for (const char *key : {"id", "item", "fileName", "slot"}) {
        const QString text = body.value(q(key)).toString();
        if (!text.isEmpty())
            about << text;
    }
    for (const char *key : {"ids", "items", "accepted"}) {
        const QJsonArray list = body.value(q(key)).toArray();
        for (const QJsonValue &v : list)
            about << v.toString();
    }
    return about.join(q(" "));
}

QString Subjects::of(const Entry &e)
{
    const QJsonObject body = e.bodyObject();
    const QString stamp = body.value(q("stamp")).toString();
    QString about = idsIn(body);
    if (!stamp.isEmpty() && !m_named.contains(stamp)) {
        const QJsonValue us = body.value(q("timeUs"));
        const UtcTime at = utcFromMicroseconds(us.isDouble() ? us.toInteger() : e.timeUs);
        m_named.insert(stamp, QStringLiteral("moment %1").arg(toIso(at)));
    }
    if (const QString id = body.value(q("id")).toString(); !stamp.isEmpty() && !id.isEmpty())
        m_named.insert(stamp, id); // the moment is that of a sample from now on
    const QString offer = body.value(q("offer")).toString();
    const QString code = body.value(q("code")).toString();
    if (!offer.isEmpty() && !code.isEmpty())
        m_named.insert(offer, QStringLiteral("hand-over %1").arg(code));
    for (const QString &named : {stamp, body.value(q("entry")).toString(), offer}) {
        if (about.isEmpty())
            about = m_named.value(named);
    }
    if (about.isEmpty() && body.contains(q("dive")))
        about = QStringLiteral("dive %1").arg(body.value(q("dive")).toInteger());
    m_named.insert(e.uuid, QStringList{e.verb, code, about}.join(q(" ")).simplified());
    return about;
}

QByteArray entryRow(const Entry &e, const QString &about)
{
    const QJsonObject body = e.bodyObject();
    return safeCsvField(e.station) + ',' + QByteArray::number(e.seq) + ',' +
           toIso(utcFromMicroseconds(e.timeUs)).toLatin1() + ',' + safeCsvField(e.actor) + ',' +
           safeCsvField(e.verb) + ',' + safeCsvField(about) + ',' +
           safeCsvField(body.value(q("reason")).toString()) + ',' + e.uuid.toLatin1() + '\n';
}

QMap<QString, QStringList> byId(const CsvTable &table)
{
    QMap<QString, QStringList> rows;
    for (const QStringList &row : table.rows)
        rows.insert(row.value(0), row);
    return rows;
}

/// A cell that is another. The cells of both are safe cells already.
struct Difference {
    QString table, id, column, before, after;
};
using Differences = std::vector<Difference>;

const char *const newRow = "(new row)";
const char *const rowGone = "(row gone)";

/// Every cell that is another, by table, id and column.
Differences differencesOf(const QString &name, const CsvTable &before, const CsvTable &after)
{
    Differences out;
    const auto old = byId(before);
    QSet<QString> there;
    for (const QStringList &now : after.rows) {
        const QString id = now.value(0);
        there.insert(id);
        if (!old.contains(id)) {
            out.push_back({name, id, q(newRow), {}, {}});
            continue;
        }
        for (qsizetype c = 0; c < after.header.size(); ++c) {
            const qsizetype then = before.header.indexOf(after.header.at(c));
            const QString was = then < 0 ? QString() : old.value(id).value(then);
            if (was != now.value(c))
                out.push_back({name, id, after.header.at(c), was, now.value(c)});
        }
    }
    for (auto it = old.begin(); it != old.end(); ++it) {
        if (!there.contains(it.key()))
            out.push_back({name, it.key(), q(rowGone), {}, {}});
    }
    return out;
}

QByteArray csvOf(const Differences &all)
{
    QByteArray out;
    for (const Difference &d : all)
        out += csvField(d.table) + ',' + csvField(d.id) + ',' + csvField(d.column) + ',' +
               csvField(d.before) + ',' + csvField(d.after) + '\n';
    return out;
}

Result<Differences> tableDifferences(const PackageWriter &package, const char *name, const QByteArray &before)
{
    const auto then = readCsv(before, q("the earlier ") + q(name));
    if (!then)
        return then.error();
    const auto now = readCsvFile(package.folder() + q("/data/tables/") + q(name));
    if (!now)
        return now.error();
    return differencesOf(q(name), *then, *now);
}

/// An entry for people: when, who, what of what, and why.
QString entryLine(const Entry &e, const QString &about)
{
    const QJsonObject body = e.bodyObject();
    const QString sentence = entrySentence(e, body.value(q("id")).toString());
    QString said = sentence == e.verb || about.isEmpty() ? sentence : about + q(": ") + sentence;
    if (sentence == e.verb && !about.isEmpty())
        said += q(", ") + about;
    if (!body.value(q("replaces")).toString().isEmpty())
        said += q(", in the place of an earlier log");
    const QString reason = body.value(q("reason")).toString();
    if (!reason.isEmpty() && !said.contains(reason))
        said += QStringLiteral("; reason: %1").arg(reason);
    return QStringLiteral("%1  %2  (%3, %4 %5)")
        .arg(toIso(utcFromMicroseconds(e.timeUs)), said, e.actor, e.station)
        .arg(e.seq);
}

QString quotedOrNothing(const QString &cell)
{
    return cell.isEmpty() ? q("nothing") : QLatin1Char('"') + cell + QLatin1Char('"');
}

/// The cells that are other, those of one id together.
QStringList differenceLines(const Differences &all)
{
    QStringList lines;
    for (const Difference &d : all) {
        if (d.column == q(newRow))
            lines << QStringLiteral("%1: new in %2").arg(d.id, d.table);
        else if (d.column == q(rowGone))
            lines << QStringLiteral("%1: no longer in %2").arg(d.id, d.table);
        else
            lines << QStringLiteral("%1: %2 was %3, is %4")
                         .arg(d.id, d.column, quotedOrNothing(d.before), quotedOrNothing(d.after));
    }
    return lines;
}

/// At most so many lines of one sort stand in the text; the tables have all.
constexpr qsizetype mostLines = 100;

QString listed(const QString &title, const QStringList &lines, const char *table)
{
    QString text = QStringLiteral("\n%1\n%2\n").arg(title, QString(title.size(), QLatin1Char('-')));
    if (lines.isEmpty())
        return text + q("Nothing.\n");
    for (const QString &line : lines.mid(0, mostLines))
        text += q("  ") + line + QLatin1Char('\n');
    if (lines.size() > mostLines)
        text += QStringLiteral("  and %1 more, in %2\n").arg(lines.size() - mostLines).arg(q(table));
    return text;
}

QString changesText(const EarlierPackage &earlier, const QString &name, const QStringList &entries,
                    const Differences &samples, const Differences &specimens)
{
    return QStringLiteral("%1 follows %2 and replaces it.\n\n"
                          "The ledger of %2 (head\n%3) is the beginning of the\n"
                          "ledger here, entry for entry: nothing of it was changed, only more was written.\n")
               .arg(name, earlier.name, earlier.ledgerHead) +
           listed(q("What was written since, by whom and why (entries.csv)"), entries, "entries.csv") +
           listed(q("What is other now in samples.csv and specimens.csv (values.csv)"),
                  differenceLines(samples) + differenceLines(specimens), "values.csv");
}

} // namespace

Result<EarlierPackage> readEarlierPackage(const QString &path, const QString &cruise)
{
    const auto source = BagSource::open(path);
    if (!source)
        return source.error();
    EarlierPackage earlier;
    const auto named = packageVersion(**source, cruise);
    if (!named)
        return named.error();
    std::tie(earlier.name, earlier.version) = *named;
    const auto headLines = (*source)->readAll(ledgerHeadsPath, mostTagBytes);
    if (!headLines)
        return headLines.error();
    const auto heads = readHeadsText(*headLines);
    if (!heads)
        return heads.error();
    earlier.heads = *heads;
    earlier.ledgerHead = ledgerHeadHash(*heads);
    for (const auto &[file, into] : {std::pair(q("data/tables/samples.csv"), &earlier.samples),
                                     std::pair(q("data/tables/specimens.csv"), &earlier.specimens)}) {
        auto bytes = (*source)->readAll(file, mostTableBytes);
        if (!bytes)
            return bytes.error();
        *into = *bytes;
    }
    return earlier;
}

Done checkGrownFrom(const EarlierPackage &earlier, const Database &db)
{
    for (const ChainHead &head : earlier.heads) {
        auto row = query(db.connection(), q("SELECT hash FROM ledger WHERE station=? AND seq=?"),
                         {head.station, head.seq});
        if (!row)
            return row.error();
        if (!row->next() || row->text(0) != head.hash)
            return fail(
                ErrorKind::Refused,
                QStringLiteral(
                    "%1 does not belong to this record: entry %2 of station %3 in it is not in this "
                    "ledger. Name the right earlier package (--after), or put the new one into another "
                    "folder.")
                    .arg(earlier.name)
                    .arg(head.seq)
                    .arg(head.station));
    }
    return {};
}

Done writeChanges(PackageWriter &package, const Database &db, const std::optional<EarlierPackage> &earlier,
                  const QString &name)
{
    const QString folder = q("data/changes/");
    if (!earlier)
        return package.add(
            folder + q("README.txt"),
            QStringLiteral("%1 is the first version; nothing went before it.\n").arg(name).toUtf8());
    QByteArray entries = "station,seq,time,by,verb,about,reason,entry\n";
    QStringList sentences;
    Subjects subjects;
    auto read = forEachEntry(db, [&](const Entry &e) -> Done {
        const QString about = subjects.of(e);
        if (e.seq > earlier->heads.value(e.station).seq) {
            entries += entryRow(e, about);
            sentences << entryLine(e, about);
        }
        return {};
    });
    if (!read)
        return read;
    const auto samples = tableDifferences(package, "samples.csv", earlier->samples);
    if (!samples)
        return samples.error();
    const auto specimens = tableDifferences(package, "specimens.csv", earlier->specimens);
    if (!specimens)
        return specimens.error();
    if (auto done = package.add(folder + q("entries.csv"), entries); !done)
        return done;
    if (auto done = package.add(folder + q("values.csv"),
                                "table,id,column,before,after\n" + csvOf(*samples) + csvOf(*specimens));
        !done)
        return done;
    return package.add(folder + q("README.txt"),
                       changesText(*earlier, name, sentences, *samples, *specimens).toUtf8());
}

} // namespace holdfast
