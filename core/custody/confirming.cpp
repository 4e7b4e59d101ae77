// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/confirming.h"

#include "dive/verbs.h"

namespace holdfast
{

namespace
{

Done recordPin(CruiseFile &file, const Act &act, const QString &person, const QString &how)
{
    return file.write([&]() -> Done {
        const auto entry = file.record(act, verb::pinSet,
                                       {{QStringLiteral("person"), person}, {QStringLiteral("how"), how}});
        return entry ? Done() : Done(entry.error());
    });
}

} // namespace

Result<PinBook> pinBookOf(const CruiseFile &file)
{
    auto row = query(file.db().connection(), QStringLiteral("SELECT public_key FROM station WHERE name=?"),
                     {file.station()});
    if (!row)
        return row.error();
    if (!row->next() || row->text(0).isEmpty())
        return fail(ErrorKind::Refused,
                    QStringLiteral("Station %1 has no key yet; it gets one with its next entry.")
                        .arg(file.station()));
    return PinBook::open(row->text(0));
}

Done confirmByPin(const CruiseFile &file, const QString &person, const QString &pin, UtcTime now)
{
    auto book = pinBookOf(file);
    if (!book)
        return book.error();
    return book->confirm(person, pin, now);
}

Done setPin(CruiseFile &file, const Act &act, const QString &person, const QString &pin, const QString &old)
{
    auto book = pinBookOf(file);
    if (!book)
        return book.error();
    const bool had = book->has(person);
    if (auto done = book->set(person, pin, old, act.now); !done)
        return done;
    return recordPin(file, act, person, had ? QStringLiteral("changed") : QStringLiteral("first"));
}

Done forgetPin(CruiseFile &file, const Act &act, const QString &person)
{
    auto book = pinBookOf(file);
    if (!book)
        return book.error();
    if (auto done = book->forget(person); !done)
        return done;
    return recordPin(file, act, person, QStringLiteral("forgotten"));
}

} // namespace holdfast
