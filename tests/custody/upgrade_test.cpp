// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/tally.h"
#include "support/a_cruise.h"
#include "support/old_schema.h"

#include <QDir>
#include <QFileInfo>

using namespace holdfast;

namespace
{

class CustodyInAnOlderFile : public test::WithCruise
{
protected:
    VerbRules rules() const override { return allVerbRules(); }
};

} // namespace

TEST_F(CustodyInAnOlderFile, ComesWithTheUpgradeAndEverythingIsKept)
{
    int beforeCustody = 0;
    for (const SchemaStep &step : schemaSteps()) {
        if (QString::fromUtf8(step.why).startsWith(QStringLiteral("hand-overs")))
            beforeCustody = step.to - 1;
    }
    ASSERT_GT(beforeCustody, 2);
    ASSERT_OK(sample(QStringLiteral("R1"), QStringLiteral("basalt")));
    ASSERT_OK(sample(QStringLiteral("B2"), QStringLiteral("coral")));
    const qint64 before = entries();
    test::dropTablesOfStepsAfter(m_file->db().connection(), beforeCustody);
    ASSERT_OK(
        execSql(m_file->db().connection(), QStringLiteral("PRAGMA user_version=%1").arg(beforeCustody)));
    m_file.reset();
    auto opened = CruiseFile::open(m_path, Database::Access::ReadWrite, rules());
    ASSERT_OK(opened);
    m_file.emplace(std::move(*opened));
    EXPECT_EQ(*userVersion(m_file->db().connection()), schemaVersion());
    EXPECT_EQ(QDir(QFileInfo(m_path).path()).entryList({QStringLiteral("*.before-schema-*")}).size(), 1);
    EXPECT_EQ(entries(), before);
    EXPECT_EQ(readSamples(m_file->db(), 1)->size(), 2u);
    expectTablesFitTheLedger();
    ASSERT_OK(rebuildTables(file()));
    expectTablesFitTheLedger();
}
