// SPDX-License-Identifier: GPL-3.0-or-later
#include "window_options.h"

#include "places.h"

#include <QRegularExpression>

namespace holdfast
{

namespace
{

Done setSize(WindowOptions &o, const QString &value)
{
    static const QRegularExpression pattern(QStringLiteral("^(\\d{3,4})x(\\d{3,4})$"));
    const auto match = pattern.match(value);
    if (!match.hasMatch())
        return fail(
            ErrorKind::Usage,
            QStringLiteral("--size takes a width and a height as in 1600x1000, not \"%1\".").arg(value));
    o.size = QSize(match.captured(1).toInt(), match.captured(2).toInt());
    return {};
}

Done setNumber(double &number, const QString &flag, const QString &value, double least, double most)
{
    bool good = false;
    number = value.toDouble(&good);
    if (!good || number < least || number > most)
        return fail(ErrorKind::Usage, QStringLiteral("%1 takes a number from %2 to %3, not \"%4\".")
                                          .arg(flag)
                                          .arg(least)
                                          .arg(most)
                                          .arg(value));
    return {};
}

Done setOption(WindowOptions &o, const QString &flag, const QString &value)
{
    if (flag == QLatin1String("--place")) {
        if (Places::placeOf(value) < 0)
            return fail(ErrorKind::Usage,
                        QStringLiteral("There is no place \"%1\" in the window.").arg(value));
        o.place = value;
    } else if (flag == QLatin1String("--theme")) {
        if (value != QLatin1String("day") && value != QLatin1String("night"))
            return fail(ErrorKind::Usage,
                        QStringLiteral("--theme takes day or night, not \"%1\".").arg(value));
        o.day = value == QLatin1String("day");
    } else if (flag == QLatin1String("--dive")) {
        double number = 0;
        if (auto set = setNumber(number, flag, value, 1, 99999); !set)
            return set;
        o.dive = static_cast<int>(number);
    } else if (flag == QLatin1String("--replay")) {
        return setNumber(o.replay, flag, value, 1, 100);
    } else if (flag == QLatin1String("--screenshot-after")) {
        return setNumber(o.screenshotAfterS, flag, value, 0, 3600);
    } else if (flag == QLatin1String("--size")) {
        return setSize(o, value);
    } else if (flag == QLatin1String("--replay-from")) {
        o.replayFrom = value;
    } else if (flag == QLatin1String("--person")) {
        o.person = value;
    } else if (flag == QLatin1String("--screenshot")) {
        o.screenshot = value;
    } else {
        return fail(
            ErrorKind::Usage,
            QStringLiteral("The window knows no option %1; holdfast --window-help lists them.").arg(flag));
    }
    return {};
}

} // namespace

Result<WindowOptions> readWindowOptions(const QStringList &arguments)
{
    WindowOptions o;
    for (qsizetype i = 0; i < arguments.size(); ++i) {
        const QString &word = arguments[i];
        if (!word.startsWith(QLatin1String("--"))) {
            if (!o.file.isEmpty())
                return fail(ErrorKind::Usage,
                            QStringLiteral("One cruise file at a time: %1 or %2.").arg(o.file, word));
            o.file = word;
            continue;
        }
        if (word == QLatin1String("--read-only")) {
            o.readOnly = true;
            continue;
        }
        if (i + 1 == arguments.size())
            return fail(ErrorKind::Usage, QStringLiteral("%1 needs a value behind it.").arg(word));
        if (auto set = setOption(o, word, arguments[++i]); !set)
            return set.error();
    }
    if (o.readOnly && o.file.isEmpty())
        return fail(ErrorKind::Usage, QStringLiteral("--read-only needs a cruise file to read."));
    return o;
}

QString windowHelp()
{
    return QStringLiteral(
        "holdfast [FILE]              opens the window, on a cruise file when one is given\n"
        "  --place NAME               cruise, dive, recovery, papers, ...: shown first\n"
        "  --dive N                   the dive shown; without it the one in the water, else the last\n"
        "  --person NAME              who is logging\n"
        "  --read-only                the scientist's window: writes nothing, follows the file as it grows\n"
        "  --theme day|night          night without it\n"
        "  --size WxH                 size of the window in pixels, as 1600x1000\n"
        "  --replay SPEED             plays the dive's logs as live feeds, 1 to 100 times as fast\n"
        "  --replay-from UTC          where the replay begins; without it at the launch\n"
        "  --screenshot OUT.png       saves a picture of the window and ends\n"
        "  --screenshot-after S       seconds to wait before the picture, for the replay\n"
        "holdfast --help              the verbs of the command line\n");
}

} // namespace holdfast
