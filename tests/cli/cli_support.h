// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "cli/cli.h"
#include "support/temp_dir.h"

namespace holdfast::test
{

inline QString s(const char *text)
{
    return QString::fromUtf8(text);
}

/// A folder with a cruise file, a clock that steps a second a command, and the words of the last command.
class CommandLine : public WithFolder
{
protected:
    int run(const QStringList &words)
    {
        out.clear();
        err.clear();
        return cli::run(words,
                        {[this](const QString &t) { out += t; }, [this](const QString &t) { err += t; },
                         [this] { return input; }, [this] { return now += std::chrono::seconds(1); }});
    }
    QString made()
    {
        const QString file = path(s("cruise.hfc"));
        EXPECT_EQ(run({s("new"), file, s("--cruise"), s("TK26"), s("--station"), s("van")}), 0)
            << err.toStdString();
        EXPECT_EQ(run({s("dive"), file, s("--number"), s("1"), s("--vehicle"), s("Deep vehicle"),
                       s("--loadout"), s("demo")}),
                  0)
            << err.toStdString();
        return file;
    }
    int stamp(const QString &file, const char *slot, const char *kind)
    {
        return run({s("stamp"), file, s("--dive"), s("1"), s("--at"), s("2026-03-12T14:22:07.300Z"),
                    s("--slot"), s(slot), s("--kind"), s(kind), s("--by"), s("Mara")});
    }
    void expectFails(const QStringList &words, int code, const char *says)
    {
        EXPECT_EQ(run(words), code) << words.join(QLatin1Char(' ')).toStdString();
        EXPECT_TRUE(err.contains(s(says))) << err.toStdString();
        EXPECT_TRUE(out.isEmpty()) << out.toStdString();
    }

    QString out, err;
    QByteArray input;
    UtcTime now = *parseIsoUtc("2026-03-12T15:00:00Z");
};

} // namespace holdfast::test
