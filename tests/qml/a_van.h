// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/template_folder.h"
#include "dive/actions.h"
#include "workplace.h"

#include <QGuiApplication>
#include <QSettings>
#include <QTemporaryDir>
#include <QTest>
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

    /// The verbs of the ledger, read by a connection of its own.
    [[nodiscard]] QStringList verbs() const
    {
        QStringList all;
        const auto db = Database::open(path(), Database::Access::ReadOnly);
        if (!db)
            return {db.error().sentence};
        auto rows = query(db->connection(), QStringLiteral("SELECT verb FROM ledger ORDER BY seq"));
        if (!rows)
            return {rows.error().sentence};
        while (rows->next())
            all << rows->text(0);
        return all;
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
    QTemporaryDir m_folder;

public:
    Workplace work; ///< goes before the folder
};

} // namespace holdfast::test
