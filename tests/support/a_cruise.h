// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/template_folder.h"
#include "dive/actions.h"
#include "dive/projection.h"
#include "support/temp_dir.h"

namespace holdfast::test
{

inline UtcTime at(const char *iso)
{
    const auto t = parseIsoUtc(iso);
    EXPECT_TRUE(t) << iso;
    return t.value_or(UtcTime{});
}

/// A cruise file with dive 1 and the demo loadout, and a clock that the test moves.
class WithCruise : public WithFolder
{
protected:
    virtual VerbRules rules() const { return diveVerbRules(); }

    void SetUp() override
    {
        WithFolder::SetUp();
        m_path = path(QStringLiteral("cruise.hfc"));
        auto made = CruiseFile::create(m_path, QStringLiteral("TK26"), QStringLiteral("van"), act(), rules());
        ASSERT_OK(made);
        m_file.emplace(std::move(*made));
        auto loaded = KindTable::load();
        ASSERT_OK(loaded);
        m_kinds = *loaded;
        auto loadout = readTemplate(QStringLiteral("loadouts"), QStringLiteral("demo"));
        ASSERT_OK(loadout);
        ASSERT_OK(planDive(*m_file, act(), 1, QStringLiteral("Deep vehicle"), *loadout));
    }

    Act act()
    {
        m_now += std::chrono::seconds(1);
        return {QStringLiteral("Mara"), m_now};
    }
    CruiseFile &file() { return *m_file; }
    Result<LoggedSample> sample(const QString &slot, const QString &kind, int count = 1)
    {
        SampleDetails d;
        d.slot = slot;
        d.kind = kind;
        d.count = count;
        const Act a = act();
        return stampSample(*m_file, a, 1, a.now, d, m_kinds);
    }
    [[nodiscard]] qint64 entries() const
    {
        const auto n = countEntries(m_file->db());
        return n ? *n : -1;
    }
    void expectTablesFitTheLedger()
    {
        const auto found = compareTablesWithLedger(m_file->db(), rules());
        ASSERT_OK(found);
        EXPECT_TRUE(found->isEmpty()) << found->join(QLatin1Char('\n')).toStdString();
    }

    QString m_path;
    std::optional<CruiseFile> m_file;
    KindTable m_kinds;
    UtcTime m_now = at("2026-03-12T08:00:00Z");
};

} // namespace holdfast::test
