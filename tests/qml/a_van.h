// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/template_folder.h"
#include "dive/actions.h"
#include "workplace.h"

#include <QDir>
#include <QGuiApplication>
#include <QSettings>
#include <QTemporaryDir>
#include <QTest>
#include <QUdpSocket>
#include <memory>

namespace holdfast::test
{

/// A cruise file with one planned dive in a folder of its own, and the view models of a window on it.
class Van
{
public:
    Van()
    {
        QCoreApplication::setOrganizationName(QStringLiteral("holdfast-tests"));
        qputenv("HOLDFAST_OWN_TEMPLATES", m_folder.filePath(QStringLiteral("own")).toUtf8());
        QSettings::setPath(QSettings::NativeFormat, QSettings::UserScope, m_folder.path());
        qputenv("HOLDFAST_KEYS", m_folder.filePath(QStringLiteral("keys")).toUtf8());
        const Act act{QStringLiteral("Mara"), utcFromCivil(2026, 3, 12, 8, 0, 0).value_or(UtcTime{})};
        auto made =
            CruiseFile::create(path(), QStringLiteral("TK26"), QStringLiteral("van"), act, allVerbRules());
        const auto loadout = readTemplate(QStringLiteral("loadouts"), QStringLiteral("demo"));
        if (!made || !loadout)
            qFatal("%s", qUtf8Printable(made ? loadout.error().sentence : made.error().sentence));
        if (auto planned = planDive(*made, act, 1, QStringLiteral("Deep vehicle"), *loadout); !planned)
            qFatal("%s", qUtf8Printable(planned.error().sentence));
    }

    [[nodiscard]] QString path() const { return m_folder.filePath(QStringLiteral("cruise.hfc")); }
    [[nodiscard]] QString folder() const { return m_folder.path(); }

    /// Opens the file in the view models and waits for the first snapshot.
    void open()
    {
        work.desk.setPerson(QStringLiteral("Mara"));
        work.desk.openFile(path());
        if (!QTest::qWaitFor([this] { return work.desk.dive() == 1; }))
            qFatal("the cruise file did not open");
    }

    /// Logs a coral in B2 and a basalt in R1, by a connection of its own; off the bottom since.
    void collect() const
    {
        auto file = CruiseFile::open(path(), Database::Access::ReadWrite, allVerbRules());
        const auto kinds = KindTable::load();
        if (!file || !kinds)
            qFatal("the cruise file did not open for collecting");
        Act act{QStringLiteral("Mara"),
                std::chrono::floor<Microseconds>(std::chrono::system_clock::now()) - std::chrono::hours(1)};
        for (const auto &[slot, kind] : {std::pair{"B2", "coral"}, std::pair{"R1", "basalt"}}) {
            SampleDetails d;
            d.slot = QString::fromLatin1(slot);
            d.kind = QString::fromLatin1(kind);
            if (const auto made = stampSample(*file, act, 1, act.now, d, *kinds); !made)
                qFatal("%s", qUtf8Printable(made.error().sentence));
            act.now += std::chrono::minutes(1);
        }
        if (const auto off = reachPhase(*file, act, 1, Phase::OffBottom, act.now); !off)
            qFatal("%s", qUtf8Printable(off.error().sentence));
    }

    /// Plans one more dive on the demo loadout, by a connection of its own.
    void planOneMore(int number) const
    {
        auto file = CruiseFile::open(path(), Database::Access::ReadWrite, allVerbRules());
        const auto loadout = readTemplate(QStringLiteral("loadouts"), QStringLiteral("demo"));
        if (!file || !loadout || !planDive(*file, mara(), number, QStringLiteral("Deep vehicle"), *loadout))
            qFatal("dive %d could not be planned", number);
    }
    /// Sets a feed over UDP, by a connection of its own. @return its port, which nobody else listens at.
    [[nodiscard]] quint16 setUdpFeed(const char *name, const char *profile, int silentAfterMs) const
    {
        const quint16 port = freeUdpPort();
        auto file = CruiseFile::open(path(), Database::Access::ReadWrite, allVerbRules());
        const FeedSetup feed{QString::fromLatin1(name),
                             parseFeedAddress(QStringLiteral("udp://127.0.0.1:%1").arg(port)).value(),
                             QString::fromLatin1(profile), silentAfterMs};
        if (!file || !setFeed(*file, mara(), feed))
            qFatal("the feed %s could not be set", name);
        return port;
    }
    [[nodiscard]] static quint16 freeUdpPort()
    {
        QUdpSocket socket;
        return socket.bind(QHostAddress(QHostAddress::LocalHost), 0) ? socket.localPort() : 0;
    }
    /// Records a phase of a dive now, by a connection of its own.
    void reach(int dive, Phase phase) const
    {
        auto file = CruiseFile::open(path(), Database::Access::ReadWrite, allVerbRules());
        if (!file || !reachPhase(*file, mara(), dive, phase, mara().now))
            qFatal("the phase could not be recorded");
    }
    [[nodiscard]] static Act mara()
    {
        return {QStringLiteral("Mara"), std::chrono::floor<Microseconds>(std::chrono::system_clock::now())};
    }
    /// The vehicle was launched and is on deck now.
    void onDeck() const
    {
        auto file = CruiseFile::open(path(), Database::Access::ReadWrite, allVerbRules());
        if (!file)
            qFatal("the cruise file did not open");
        const Act act{QStringLiteral("Mara"), now()};
        for (const auto &[phase, ago] : {std::pair{Phase::Launched, std::chrono::hours(2)},
                                         std::pair{Phase::OnDeck, std::chrono::hours(0)}}) {
            if (const auto done = reachPhase(*file, act, 1, phase, act.now - ago); !done)
                qFatal("%s", qUtf8Printable(done.error().sentence));
        }
    }
    /// Amends the description of the first sample, by a connection of its own.
    void describe(const QString &text) const
    {
        auto file = CruiseFile::open(path(), Database::Access::ReadWrite, allVerbRules());
        const auto kinds = KindTable::load();
        if (!file || !kinds)
            qFatal("the cruise file did not open for amending");
        if (const auto done =
                amendSample(*file, {QStringLiteral("Mara"), now()}, QStringLiteral("TK26-01-001"),
                            {{QStringLiteral("description"), text}}, QStringLiteral("seen on video"), *kinds);
            !done)
            qFatal("%s", qUtf8Printable(done.error().sentence));
    }
    static UtcTime now() { return std::chrono::floor<Microseconds>(std::chrono::system_clock::now()); }

    /// The verbs of the ledger, read by a connection of its own.
    [[nodiscard]] QStringList verbs() const
    {
        return column(QStringLiteral("SELECT verb FROM ledger ORDER BY seq"));
    }
    /// Who wrote each entry.
    [[nodiscard]] QStringList actors() const
    {
        return column(QStringLiteral("SELECT actor FROM ledger ORDER BY seq"));
    }
    /// The bodies of the entries of a verb, JSON.
    [[nodiscard]] QStringList bodies(const QString &verb) const
    {
        return column(QStringLiteral("SELECT body FROM ledger WHERE verb=? ORDER BY seq"), {verb});
    }
    /// What differs between the tables and the ledger; empty: nothing.
    [[nodiscard]] QString tablesFit() const
    {
        const auto db = Database::open(path(), Database::Access::ReadOnly);
        if (!db)
            return db.error().sentence;
        const auto found = compareTablesWithLedger(*db, allVerbRules());
        return found ? found->join(QLatin1Char('\n')) : found.error().sentence;
    }
    /// Half an hour of invented logs of dive 1 beside the cruise file, for a replay.
    void writeLogs() const
    {
        QDir(m_folder.path()).mkdir(QStringLiteral("logs"));
        QByteArray positions = "time_utc,latitude_deg,longitude_deg,depth_m\n";
        QByteArray scans = "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg\n";
        const UtcTime begin = utcFromCivil(2026, 3, 12, 9, 0, 0).value_or(UtcTime{});
        for (int s = 0; s < 36000; s += 2) {
            const QByteArray time = toIso(begin + std::chrono::seconds(s)).toUtf8();
            positions += time + ",-21.0750000,-173.2140000,1432.0\n";
            scans += time + ",32.10,3.412,1450.0,182.0\n";
        }
        for (const auto &[name, bytes] : {std::pair{"position", positions}, std::pair{"ctd", scans}}) {
            QFile file(m_folder.filePath(QStringLiteral("logs/dive-1-%1.csv").arg(QLatin1String(name))));
            if (!file.open(QIODevice::WriteOnly) || file.write(bytes) != bytes.size())
                qFatal("the logs could not be written");
        }
    }
    /// Samples as "id slot kind count state".
    [[nodiscard]] QStringList samples() const
    {
        QStringList all;
        const auto db = Database::open(path(), Database::Access::ReadOnly);
        if (!db)
            return {db.error().sentence};
        for (const SampleInfo &s : readSamples(*db, 1).value_or(std::vector<SampleInfo>()))
            all << QStringLiteral("%1 %2 %3 %4 %5").arg(s.id, s.slot, s.kind).arg(s.count).arg(s.state);
        return all;
    }

private:
    /// The first column of what a query gives, read by a connection of its own.
    [[nodiscard]] QStringList column(const QString &sql, std::initializer_list<QVariant> values = {}) const
    {
        QStringList all;
        const auto db = Database::open(path(), Database::Access::ReadOnly);
        if (!db)
            return {db.error().sentence};
        auto rows = query(db->connection(), sql, values);
        if (!rows)
            return {rows.error().sentence};
        while (rows->next())
            all << rows->text(0);
        return all;
    }

    QTemporaryDir m_folder;

public:
    Workplace work; ///< goes before the folder
};

} // namespace holdfast::test
