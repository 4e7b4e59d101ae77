// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/replay.h"

#include "dive/id_book.h"
#include "ledger/ledger_store.h"

#include <algorithm>

namespace holdfast
{

namespace
{

constexpr qint64 tellEvery = 1000; ///< entries

/// Why an entry does not fit, in words that do not depend on the file they are found in: all stations must
/// arrive at the same tables.
QString whyHeld(const Error &error)
{
    if (error.sentence.contains(QLatin1String("UNIQUE")))
        return QStringLiteral("another entry before it has given the same already");
    if (error.sentence.contains(QLatin1String("FOREIGN KEY")))
        return QStringLiteral("it is about something that is not in the tables");
    if (error.kind == ErrorKind::Duplicate)
        return QStringLiteral("its values do not go together with those that are there");
    return error.sentence;
}

Done projectOrHold(const Database &tables, const Entry &entry, const VerbRules &rules)
{
    const auto sql = [&tables](const char *text) {
        return execSql(tables.connection(), QString::fromLatin1(text));
    };
    if (auto done = sql("SAVEPOINT one_entry"); !done)
        return done;
    const auto projected = project(tables, entry, rules);
    if (!projected) {
        const ErrorKind kind = projected.error().kind;
        const bool conflict =
            rules.contains(entry.verb) && (kind == ErrorKind::Duplicate || kind == ErrorKind::Malformed ||
                                           kind == ErrorKind::Refused || kind == ErrorKind::NotFound);
        if (!conflict)
            return projected;
        if (auto done = sql("ROLLBACK TO one_entry"); !done)
            return done;
        if (auto done = execSql(tables.connection(),
                                QStringLiteral("INSERT INTO held_back (entry, why) VALUES (?,?)"),
                                {entry.uuid, whyHeld(projected.error())});
            !done)
            return done;
    }
    return sql("RELEASE one_entry");
}

} // namespace

Done replayLedger(const Database &ledger, const Database &tables, const VerbRules &rules,
                  const Progress &progress)
{
    const auto heads = chainHeads(ledger);
    if (!heads)
        return heads.error();
    const auto all = progress ? countEntries(ledger) : Result<qint64>(0);
    if (!all)
        return all.error();
    qint64 read = 0;
    const auto next = [&]() -> Done {
        return ++read % tellEvery == 0
                   ? goOn(progress, static_cast<double>(read) / static_cast<double>(std::max(*all, read)))
                   : Done();
    };
    if (heads->size() < 2)
        return forEachEntry(ledger, [&](const Entry &entry) {
            const Done on = next();
            return on ? project(tables, entry, rules) : on;
        });
    const auto book = IdBook::fromLedger(ledger);
    if (!book)
        return book.error();
    return forEachEntry(ledger, [&](const Entry &entry) {
        const Done on = next();
        return on ? projectOrHold(tables, book->resolved(entry), rules) : on;
    });
}

} // namespace holdfast
