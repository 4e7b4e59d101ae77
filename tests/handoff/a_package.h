// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/csv.h"
#include "custody/hand_over.h"
#include "custody/tally.h"
#include "dive/log_intake.h"
#include "handoff/make_package.h"
#include "support/a_cruise.h"

#include <QDir>
#include <QDirIterator>
#include <QProcess>

namespace holdfast::test
{

inline QString s(const char *text)
{
    return QString::fromUtf8(text);
}

/// An invented hour of a dive that crosses the 180th meridian.
inline QByteArray positionLog(bool corrected = false)
{
    QByteArray out = "time_utc,latitude_deg,longitude_deg,depth_m\n";
    for (int i = 0; i < 900; ++i) {
        const double lon = 179.999 + i * 3e-6 + (corrected ? 0.0005 : 0);
        out += toIso(at("2026-03-12T08:00:00Z") + std::chrono::seconds(4 * i)).toLatin1() + ',' +
               QByteArray::number(-19.43 + i * 1e-6, 'f', 7) + ',' +
               QByteArray::number(lon > 180 ? lon - 360 : lon, 'f', 7) + ",1200.0\n";
    }
    return out;
}

inline QByteArray ctdLog()
{
    QByteArray out = "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg\n";
    for (int i = 0; i < 3600; ++i)
        out += toIso(at("2026-03-12T08:00:00Z") + std::chrono::seconds(i)).toLatin1() + ",32.5" +
               QByteArray::number(i % 7) + ",3.41" + QByteArray::number(i % 5) + ",1212." +
               QByteArray::number(i % 3) + ",182.3\n";
    return out;
}

/// A cruise with one dive, its logs and two samples: TK26-01-001, an octocoral, and TK26-01-002, a basalt.
class WithPackage : public WithCruise
{
protected:
    VerbRules rules() const override { return allVerbRules(); }

    /// Who gives answers for the dive and hands the item to Ana, now.
    void handOverToAna(const QString &id, const QString &giver)
    {
        ASSERT_OK(appointCustodian(file(), act(), 1, giver, at("2026-03-12T08:00:00Z")));
        OfferDetails offer;
        offer.ids = {id};
        offer.from = giver;
        offer.to = s("Ana");
        offer.at = m_now;
        Receipt receipt;
        receipt.by = s("Ana");
        receipt.acceptRest = true;
        receipt.condition = s("intact");
        receipt.at = m_now;
        ASSERT_OK(handOverItems(file(), act(), offer, receipt));
    }

    void SetUp() override
    {
        WithCruise::SetUp();
        takeIn(s("position.csv"), s("position-csv"), positionLog());
        takeIn(s("ctd.csv"), s("ctd-csv"), ctdLog());
        m_now = at("2026-03-12T08:20:00Z");
        ASSERT_OK(sample(s("B1"), s("octocoral"), 2));
        m_now = at("2026-03-12T08:30:00Z");
        ASSERT_OK(sample(s("R1"), s("basalt")));
        m_now = at("2026-03-12T09:30:00Z");
        QDir().mkpath(path(s("out")));
    }
    void takeIn(const QString &name, const QString &profile, const QByteArray &bytes,
                const QString &replaces = {})
    {
        write(path(name), bytes);
        const auto p = feedProfile(profile);
        ASSERT_OK(p);
        ASSERT_OK(takeInCorrectedLog(file(), act(), 1, path(name), *p, replaces));
    }
    PackageOrder order()
    {
        PackageOrder o;
        o.cruisePath = m_path;
        o.parent = path(s("out"));
        o.papers = false;
        o.person = s("Mara");
        o.now = at("2026-03-13T12:00:00Z");
        return o;
    }
    QString made(const PackageOrder &o)
    {
        const auto package = makePackage(o, {});
        EXPECT_TRUE(package.has_value()) << (package ? "" : package.error().sentence.toStdString());
        return package ? package->path : QString();
    }
    /// A package in `out`; of one that was not made nothing (a QDir of "" is the folder the tests run in).
    void removePackage(const QString &package)
    {
        ASSERT_TRUE(package.startsWith(path(s("out/"))));
        ASSERT_TRUE(QDir(package).removeRecursively());
    }
    static int runProgram(const QString &program, const QStringList &arguments, const QString &folder,
                          QByteArray *said = nullptr)
    {
        QProcess process;
        process.setWorkingDirectory(folder);
        process.setProcessChannelMode(QProcess::MergedChannels);
        process.start(program, arguments);
        if (!process.waitForStarted() || !process.waitForFinished(60000))
            return -1;
        if (said)
            *said = process.readAll();
        return process.exitCode();
    }
    [[nodiscard]] static QString script(const char *name)
    {
        return qEnvironmentVariable("HOLDFAST_SOURCE_DIR") + s("/tests/handoff/") + s(name);
    }
    [[nodiscard]] static QStringList everythingIn(const QString &folder)
    {
        QStringList all;
        QDirIterator it(folder, QDir::AllEntries | QDir::Hidden | QDir::NoDotAndDotDot,
                        QDirIterator::Subdirectories);
        while (it.hasNext())
            all << it.next().mid(folder.size() + 1);
        all.sort();
        return all;
    }
    static CsvTable table(const QString &name)
    {
        const auto t = readCsvFile(name);
        EXPECT_TRUE(t.has_value()) << name.toStdString();
        return t ? *t : CsvTable{};
    }
};

} // namespace holdfast::test
