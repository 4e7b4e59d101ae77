// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/blank_labels.h"

#include "custody/custody_verbs.h"
#include "custody/entry_body.h"
#include "custody/items.h"
#include "dive/numbers.h"
#include "dive/readers.h"

namespace holdfast
{

namespace
{

Done projectPrinted(const Database &db, const Entry &e)
{
    const EntryBody b(e);
    return execSql(db.connection(),
                   QStringLiteral("INSERT INTO blank_label (entry, dive, first, count, by_whom, time_us) "
                                  "VALUES (?,?,?,?,?,?)"),
                   {e.uuid, b.whole("dive"), b.whole("first"), b.whole("count"), e.actor, e.timeUs});
}

Done projectBound(const Database &db, const Entry &e)
{
    const EntryBody b(e);
    return execSql(
        db.connection(),
        QStringLiteral("INSERT INTO label_binding (entry, lamport, label, item, reason, by_whom, time_us) "
                       "VALUES (?,?,?,?,?,?,?)"),
        {e.uuid, e.lamport, b.text("label"), b.text("id"), b.text("reason"), e.actor, e.timeUs});
}

Result<IdPattern> patternOf(const CruiseInfo &cruise)
{
    return IdPattern::fromText(cruise.idPattern);
}

/// What may be a blank label's number in an id: it stands behind the L, and may have other digits behind it.
QList<int> numbersIn(const QString &id)
{
    QList<int> numbers;
    for (qsizetype at = id.indexOf(QLatin1Char('L')); at >= 0; at = id.indexOf(QLatin1Char('L'), at + 1)) {
        int number = 0;
        for (qsizetype i = at + 1; i < id.size() && id.at(i).isDigit() && number < 1'000'000; ++i) {
            number = 10 * number + id.at(i).digitValue();
            if (!numbers.contains(number))
                numbers << number;
        }
    }
    return numbers;
}

/// Whether a label of this id was printed for any dive of the cruise.
Result<bool> wasPrinted(const Database &db, const QString &id)
{
    const auto cruise = readCruise(db);
    if (!cruise)
        return cruise.error();
    const auto pattern = patternOf(*cruise);
    if (!pattern)
        return pattern.error();
    auto rows = query(db.connection(), QStringLiteral("SELECT dive, first, count FROM blank_label"));
    if (!rows)
        return rows.error();
    const QList<int> candidates = numbersIn(id);
    while (rows->next()) {
        const int dive = static_cast<int>(rows->integer(0));
        const int first = static_cast<int>(rows->integer(1));
        const int last = first + static_cast<int>(rows->integer(2)) - 1;
        for (const int number : candidates) {
            if (number < first || number > last)
                continue;
            const auto one = blankLabelId(*pattern, cruise->code, dive, number);
            if (!one)
                return one.error();
            if (*one == id)
                return true;
        }
    }
    return false;
}

} // namespace

Result<QString> blankLabelId(const IdPattern &pattern, const QString &cruise, int dive, int number)
{
    const auto own =
        IdPattern::fromText(pattern.text().replace(QStringLiteral("{sample"), QStringLiteral("L{sample")));
    if (!own)
        return own.error();
    return own->sampleId(cruise, dive, number);
}

Result<BlankRange> takeBlankLabels(CruiseFile &file, const Act &act, int dive, int count)
{
    if (count < 1 || count > 2000)
        return fail(
            ErrorKind::Usage,
            QStringLiteral("%1 blank labels were asked for; 1 to 2000 at a time are possible.").arg(count));
    return file.write([&]() -> Result<BlankRange> {
        if (auto known = readDive(file.db(), dive); !known)
            return known.error();
        const auto first = nextBlankNumber(file.db(), file.station(), dive, count);
        if (!first)
            return first.error();
        const BlankRange range{.first = *first, .count = count};
        if (auto done = recordEntry(file, act, verb::blankLabelsPrinted,
                                    {{QStringLiteral("dive"), dive},
                                     {QStringLiteral("first"), range.first},
                                     {QStringLiteral("count"), count}});
            !done)
            return done.error();
        return range;
    });
}

Result<std::vector<BlankRange>> readBlankLabels(const Database &db, int dive)
{
    auto rows =
        query(db.connection(),
              QStringLiteral("SELECT first, count FROM blank_label WHERE dive=? ORDER BY first"), {dive});
    if (!rows)
        return rows.error();
    std::vector<BlankRange> out;
    while (rows->next())
        out.push_back({static_cast<int>(rows->integer(0)), static_cast<int>(rows->integer(1))});
    return out;
}

Result<QStringList> blankLabelIds(const Database &db, int dive, const BlankRange &range)
{
    const auto cruise = readCruise(db);
    if (!cruise)
        return cruise.error();
    const auto pattern = patternOf(*cruise);
    if (!pattern)
        return pattern.error();
    QStringList ids;
    for (int i = 0; i < range.count; ++i) {
        const auto id = blankLabelId(*pattern, cruise->code, dive, range.first + i);
        if (!id)
            return id.error();
        ids << *id;
    }
    return ids;
}

Result<QString> bindLabel(CruiseFile &file, const Act &act, const QString &label, const QString &item,
                          const QString &reason)
{
    const auto scanned = readPrintedId(label);
    if (!scanned)
        return scanned.error();
    return file.write([&]() -> Result<QString> {
        const auto printed = wasPrinted(file.db(), scanned->id);
        if (!printed)
            return printed.error();
        if (!*printed)
            return fail(ErrorKind::Refused,
                        QStringLiteral("%1 is no blank label that was printed for this cruise; print blank "
                                       "labels first, or scan it again.")
                            .arg(scanned->id));
        const auto target = readItem(file.db(), item);
        if (!target)
            return target.error();
        const auto bound = itemOfLabel(file.db(), scanned->id);
        if (!bound)
            return bound.error();
        if (*bound == target->id)
            return fail(ErrorKind::Refused,
                        QStringLiteral("Label %1 is bound to %2 already.").arg(scanned->id, *bound));
        if (!bound->isEmpty() && reason.trimmed().isEmpty())
            return fail(ErrorKind::Refused,
                        QStringLiteral("Label %1 is bound to %2; to bind it to %3 instead give the reason.")
                            .arg(scanned->id, *bound, target->id));
        if (auto done = recordEntry(
                file, act, verb::labelBound,
                {{QStringLiteral("label"), scanned->id},
                 {QStringLiteral("id"), target->id},
                 {QStringLiteral("reason"), bound->isEmpty() ? QStringLiteral("") : reason.trimmed()}});
            !done)
            return done.error();
        return target->id;
    });
}

Result<QString> itemOfLabel(const Database &db, const QString &id)
{
    auto row = query(
        db.connection(),
        QStringLiteral("SELECT b.item FROM label_binding b JOIN ledger l ON l.uuid=b.entry WHERE b.label=? "
                       "ORDER BY l.lamport DESC, l.station DESC, l.seq DESC LIMIT 1"),
        {id});
    if (!row)
        return row.error();
    return row->next() ? row->text(0) : QString();
}

Result<QStringList> labelsOfItem(const Database &db, const QString &item)
{
    auto rows =
        query(db.connection(),
              QStringLiteral("SELECT DISTINCT label FROM label_binding WHERE item=? ORDER BY label"), {item});
    if (!rows)
        return rows.error();
    QStringList labels;
    while (rows->next()) {
        const QString label = rows->text(0);
        const auto now = itemOfLabel(db, label);
        if (!now)
            return now.error();
        if (*now == item)
            labels << label;
    }
    return labels;
}

VerbRules blankLabelVerbRules()
{
    return {{verb::blankLabelsPrinted, projectPrinted}, {verb::labelBound, projectBound}};
}

} // namespace holdfast
