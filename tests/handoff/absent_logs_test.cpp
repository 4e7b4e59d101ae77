// SPDX-License-Identifier: GPL-3.0-or-later
// A package made at a station that has the record but not the logs: it says where they are.
#include "dive/log_intake.h"
#include "exchange/stations.h"
#include "handoff/a_package.h"
#include "handoff/check_package.h"
#include "handoff/make_package.h"

namespace holdfast::test
{

/// The deck takes in both logs; the van hears of them by exchange.
class LogsElsewhere : public Stations
{
protected:
    void SetUp() override
    {
        Stations::SetUp();
        m_now = at_("2026-03-12T08:20:00Z");
        ASSERT_OK(log("van", "B1", "octocoral"));
        ASSERT_OK(give("van", "deck"));
        take("position.csv", "position-csv", positionLog());
        take("ctd.csv", "ctd-csv", ctdLog());
        ASSERT_OK(give("deck", "van"));
    }
    static UtcTime at_(const char *iso) { return holdfast::test::at(iso); }
    void take(const char *name, const char *profile, const QByteArray &bytes)
    {
        write(path(s(name)), bytes);
        const auto p = feedProfile(s(profile));
        ASSERT_OK(p);
        ASSERT_OK(takeInLog(at("deck"), act(), 1, path(s(name)), *p));
    }
    CompletenessCell cell(const QString &file, const char *row, const char *check)
    {
        const auto grid = cruiseCompleteness(file, {}, {});
        EXPECT_TRUE(grid) << (grid ? "" : grid.error().sentence.toStdString());
        for (const CompletenessRow &r : grid ? grid->rows : std::vector<CompletenessRow>()) {
            for (std::size_t i = 0; r.id == s(row) && i < r.cells.size(); ++i) {
                if (grid->requirements[i].check == s(check))
                    return r.cells[i];
            }
        }
        ADD_FAILURE() << row << " " << check << " is not in the grid";
        return {};
    }
    QString van() const { return m_path; }
};

TEST_F(LogsElsewhere, TheGridSaysAtWhichStation)
{
    for (const auto &[row, check] :
         {std::pair("TK26-01-001", "fix"), std::pair("TK26-01-001", "water"), std::pair("dive 1", "logs")}) {
        const CompletenessCell c = cell(van(), row, check);
        EXPECT_EQ(c.state, CellState::Missing) << check;
        EXPECT_EQ(c.word, s("log at deck")) << check;
        EXPECT_TRUE(c.sentence.contains(s("log is at station deck; take the same file in here")))
            << c.sentence.toStdString();
        EXPECT_EQ(cell(path(s("deck.hfc")), row, check).state, CellState::Met) << check;
    }
}

TEST_F(LogsElsewhere, ThePackageSaysItInItsTables)
{
    QDir().mkpath(path(s("out")));
    PackageOrder order;
    order.cruisePath = van();
    order.parent = path(s("out"));
    order.papers = false;
    order.person = s("Mara");
    order.now = at_("2026-03-13T12:00:00Z");
    const auto made = makePackage(order, {});
    ASSERT_OK(made);
    const auto table = readCsvFile(made->path + s("/data/tables/samples.csv"));
    ASSERT_OK(table);
    ASSERT_EQ(table->rows.size(), 1U);
    EXPECT_TRUE(
        table->rows[0].at(table->column(s("fix_reason"))).contains(s("position log is at station deck")));
    EXPECT_TRUE(
        table->rows[0].at(table->column(s("water_reason"))).contains(s("CTD log is at station deck")));
    EXPECT_TRUE(table->rows[0].at(table->column(s("latitude_deg"))).isEmpty());
    const auto report = checkPackage(made->path, order.now, {});
    ASSERT_OK(report);
    EXPECT_EQ(report->errors(), 0) << report->text().toStdString();
}

} // namespace holdfast::test
