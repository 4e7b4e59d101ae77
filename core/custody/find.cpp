// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/find.h"

#include "base/ids.h"
#include "custody/blank_labels.h"
#include "custody/due.h"

#include <QRegularExpression>

namespace holdfast
{

namespace
{

const QString columns =
    QStringLiteral("f.n, f.id, f.sample, f.dive, f.slot, f.what, f.names, f.words, f.place, "
                   "f.holder, f.state");

FoundItem fromRow(const Statement &row)
{
    FoundItem f;
    f.n = row.integer(0);
    f.id = row.text(1);
    f.sample = row.text(2);
    f.dive = static_cast<int>(row.integer(3));
    f.slot = row.text(4);
    f.what = row.text(5);
    f.names = row.text(6);
    f.words = row.text(7).simplified();
    f.place = row.text(8);
    f.holder = row.text(9);
    f.state = row.text(10);
    return f;
}

/// Each word in quotes (so that nothing in it is an operator) and open at its end.
QString wordsOf(const QString &text, const QString &column = {})
{
    static const QRegularExpression blank(QStringLiteral("[\\s/]+"));
    static const QRegularExpression letter(QStringLiteral("[\\p{L}\\p{N}]"),
                                           QRegularExpression::UseUnicodePropertiesOption);
    QStringList out;
    for (QString word : text.split(blank, Qt::SkipEmptyParts)) {
        // The check character of a scanned id is no part of it.
        const qsizetype star = word.indexOf(QLatin1Char('*'));
        if (star > 0)
            word.truncate(star);
        if (!word.contains(letter))
            continue;
        word.replace(QLatin1Char('"'), QLatin1Char(' '));
        out << (column.isEmpty() ? QString() : column + QStringLiteral(" : ")) + QLatin1Char('"') + word +
                   QStringLiteral("\" *");
    }
    return out.join(QStringLiteral(" AND "));
}

QString matchOf(const FindQuery &q)
{
    QStringList all;
    for (const QString &part :
         {wordsOf(q.text), wordsOf(q.holder, QStringLiteral("holder")),
          wordsOf(q.place, QStringLiteral("place")), wordsOf(q.slot, QStringLiteral("slot"))}) {
        if (!part.isEmpty())
            all << part;
    }
    return all.join(QStringLiteral(" AND "));
}

/// Rows that fit; `only` restricts to one item.
Result<std::vector<FoundItem>> rowsOf(const Database &db, const FindQuery &q, const QString &only)
{
    const QString match = matchOf(q);
    QString sql = QStringLiteral("SELECT %1 FROM ").arg(columns);
    QVariantList values;
    if (match.isEmpty()) {
        sql += QStringLiteral("find_item f WHERE f.n>?");
    } else {
        sql += QStringLiteral(
            "find_text t JOIN find_item f ON f.n=t.rowid WHERE find_text MATCH ? AND t.rowid>?");
        values << match;
    }
    values << q.after;
    if (q.dive != 0) {
        sql += QStringLiteral(" AND f.dive=?");
        values << q.dive;
    }
    if (!only.isEmpty()) {
        sql += match.isEmpty() ? QStringLiteral(" AND f.id=?")
                               : QStringLiteral(" AND t.rowid=(SELECT n FROM find_item WHERE id=?)");
        values << only;
    }
    sql += match.isEmpty() ? QStringLiteral(" ORDER BY f.n LIMIT ?")
                           : QStringLiteral(" ORDER BY t.rowid LIMIT ?");
    values << q.limit;
    auto rows = Statement::prepare(db.connection(), sql);
    if (!rows)
        return rows.error();
    if (auto done = rows->run(values); !done)
        return done.error();
    std::vector<FoundItem> out;
    while (rows->next())
        out.push_back(fromRow(*rows));
    return out;
}

} // namespace

Result<std::vector<FoundItem>> findItems(const Database &db, const FindQuery &asked,
                                         const HoldingRules &rules, UtcTime now)
{
    FindQuery q = asked;
    // An id typed with its check character is meant to be caught when it is wrong.
    static const QRegularExpression checkedId(QStringLiteral("^\\s*[A-Za-z0-9.-]+\\*[A-Za-z0-9*]?\\s*$"));
    if (checkedId.match(asked.text).hasMatch()) {
        if (auto id = readPrintedId(asked.text); !id)
            return id.error();
    }
    // The id of a blank label is that of what it is stuck on.
    if (const auto id = readPrintedId(asked.text); id && !id->id.isEmpty()) {
        const auto item = itemOfLabel(db, id->id);
        if (!item)
            return item.error();
        if (!item->isEmpty())
            q.text = *item;
    }
    if (!q.dueBefore)
        return rowsOf(db, q, {});
    const auto due = readDue(db, rules, now);
    if (!due)
        return due.error();
    std::vector<FoundItem> out;
    for (const DueItem &d : due->due) {
        if (d.clock.due > *q.dueBefore)
            break;
        if (!out.empty() && out.back().id == d.item.id)
            continue;
        auto found = rowsOf(db, q, d.item.id);
        if (!found)
            return found.error();
        for (FoundItem &f : *found) {
            f.due = d.clock.due;
            out.push_back(std::move(f));
        }
    }
    return out;
}

Result<qint64> countItems(const Database &db)
{
    auto row = query(db.connection(), QStringLiteral("SELECT count(*) FROM find_item"));
    if (!row)
        return row.error();
    return row->next() ? row->integer(0) : 0;
}

} // namespace holdfast
