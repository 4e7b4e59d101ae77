// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/pin.h"

#include "custody/confirming.h"

#include <array>
#include <fcntl.h>
#include <termios.h>
#include <unistd.h>

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

/// One line from a descriptor, without its end.
Result<QString> lineFrom(int fd)
{
    QByteArray line;
    char c = 0;
    while (line.size() < 100) {
        const ssize_t got = ::read(fd, &c, 1);
        if (got < 0)
            return fail(ErrorKind::Usage, QStringLiteral("The PIN can't be read from descriptor %1: %2.")
                                              .arg(fd)
                                              .arg(qt_error_string(errno)));
        if (got == 0 || c == '\n')
            break;
        line += c;
    }
    return QString::fromUtf8(line).trimmed();
}

/// Asks at the terminal, which does not show what is typed.
Result<QString> askedAtTerminal(const QString &question)
{
    const int tty = ::open("/dev/tty", O_RDWR | O_CLOEXEC);
    if (tty < 0)
        return fail(ErrorKind::Usage,
                    QStringLiteral("There is no terminal to ask for the PIN; give it through a "
                                   "descriptor (--pin-fd)."));
    termios was{};
    const bool known = tcgetattr(tty, &was) == 0;
    termios hidden = was;
    hidden.c_lflag &= ~static_cast<tcflag_t>(ECHO);
    if (known)
        tcsetattr(tty, TCSAFLUSH, &hidden);
    const QByteArray text = question.toUtf8();
    const bool asked = ::write(tty, text.constData(), static_cast<std::size_t>(text.size())) >= 0;
    auto line = asked ? lineFrom(tty)
                      : Result<QString>(fail(ErrorKind::Usage, q("The terminal can't be written to.")));
    if (known)
        tcsetattr(tty, TCSAFLUSH, &was);
    const bool ended = ::write(tty, "\n", 1) == 1;
    ::close(tty);
    if (!ended)
        return fail(ErrorKind::Usage, q("The terminal can't be written to."));
    return line;
}

Result<QString> pinOf(const Arguments &a, const QString &flag, const QString &question)
{
    if (!a.has(flag))
        return askedAtTerminal(question);
    const auto fd = a.whole(flag);
    if (!fd)
        return fd.error();
    return lineFrom(*fd);
}

Done pin(const Arguments &a, const World &world)
{
    const QString person = a.text(q("person"), a.person());
    const Act act{a.person(), world.now()};
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    auto book = pinBookOf(*file);
    if (!book)
        return book.error();
    if (a.has(q("forget"))) {
        if (auto done = forgetPin(*file, act, person); !done)
            return done;
        world.out(QStringLiteral("%1 has no PIN at station %2 any more; this is on record.\n")
                      .arg(person, file->station()));
        return {};
    }
    const bool had = book->has(person);
    auto old = had ? pinOf(a, q("old-pin-fd"), q("PIN until now: ")) : Result<QString>(QString());
    if (!old)
        return old.error();
    auto fresh = pinOf(a, q("pin-fd"), q("New PIN: "));
    if (!fresh)
        return fresh.error();
    if (auto done = setPin(*file, act, person, *fresh, *old); !done)
        return done;
    world.out(QStringLiteral("%1 confirms by PIN at station %2 from now on.\n").arg(person, file->station()));
    return {};
}

} // namespace

QList<Flag> pinFlags()
{
    return {{q("pin"), {}, q("confirms by the person's PIN, asked for at the terminal")},
            {q("pin-fd"), q("N"), q("confirms by PIN, read from this file descriptor (0: standard input)")},
            {q("no-pin"), q("REASON"), q("why somebody who has a PIN here does not confirm by it")}};
}

Result<bool> confirmedByPin(const CruiseFile &file, const Arguments &a, const QString &person, UtcTime now)
{
    if (!a.has(q("pin")) && !a.has(q("pin-fd")))
        return false;
    const auto typed = pinOf(a, q("pin-fd"), QStringLiteral("PIN of %1: ").arg(person));
    if (!typed)
        return typed.error();
    if (auto right = confirmByPin(file, person, *typed, now); !right)
        return right.error();
    return true;
}

QList<Verb> pinVerbs()
{
    return {{q("pin"),
             {q("FILE")},
             {{q("person"), q("NAME"), q("whose PIN; who acts when not given")},
              {q("pin-fd"), q("N"), q("reads the new PIN from this file descriptor instead of asking")},
              {q("old-pin-fd"), q("N"), q("the same for the PIN until now")},
              {q("forget"), {}, q("takes a forgotten PIN away; on record with who did it")},
              byFlag()},
             q("Sets the PIN by which a person confirms at this station."),
             q("4 to 12 digits, never given as a word of the command line. Only a hash is kept, on this "
               "computer, not in "
               "the\ncruise file; the ledger says that a PIN was set, changed or forgotten, and by whom."),
             pin}};
}

} // namespace holdfast::cli
