// SPDX-License-Identifier: GPL-3.0-or-later
#include "a_package.h"
#include "custody/preservation.h"
#include "custody/specimens.h"
#include "handoff/cruise_index.h"

namespace holdfast::test
{

class Index : public WithPackage
{
protected:
    QStringList found(const CruiseIndex &index, const IndexQuestion &question)
    {
        const auto page = index.find(question);
        EXPECT_TRUE(page.has_value()) << (page ? "" : page.error().sentence.toStdString());
        QStringList ids;
        if (page) {
            for (const IndexedItem &i : page->items)
                ids << i.id;
        }
        return ids;
    }
};

TEST_F(Index, FindsByWordsPlaceDepthAndTime)
{
    SpecimenDetails d;
    d.material = s("tissue");
    d.description = s("=white \"polyp\"");
    ASSERT_OK(splitSpecimen(file(), act(), s("TK26-01-001"), d));
    ASSERT_OK(identifyItem(
        file(), act(),
        {s("TK26-01-001"), s("Primnoidae"), s("family"), {}, s("Ana"), s("2026-03-12"), {}, {}, {}}));
    auto index = CruiseIndex::open(path(s("all.hfi")), true);
    ASSERT_OK(index);
    const auto added = index->add(made(order()), {});
    ASSERT_OK(added);
    EXPECT_EQ(*added, 3);
    IndexQuestion w;
    EXPECT_EQ(found(*index, w).size(), 3);
    w.words = s("primn");
    EXPECT_EQ(found(*index, w), QStringList{s("TK26-01-001")});
    w.words = s("WHITE poly");
    EXPECT_EQ(found(*index, w), QStringList{s("TK26-01-001.1")});
    w = {};
    w.family = s("rock");
    EXPECT_EQ(found(*index, w), QStringList{s("TK26-01-002")});
    w = {};
    w.box = {179.9, -20, -179.9, -19};
    EXPECT_EQ(found(*index, w).size(), 3) << "the box goes about the antimeridian";
    w.box = {-179.9, -20, 179.9, -19};
    EXPECT_TRUE(found(*index, w).isEmpty());
    w = {};
    w.shallowestM = 1000;
    w.deepestM = 1300;
    EXPECT_EQ(found(*index, w).size(), 3);
    w.deepestM = 1100;
    EXPECT_TRUE(found(*index, w).isEmpty());
    w = {};
    w.from = at("2026-03-12T08:25:00Z");
    EXPECT_EQ(found(*index, w), QStringList{s("TK26-01-002")});
    w = {};
    w.words = s("\"); DROP TABLE item; --");
    EXPECT_TRUE(found(*index, w).isEmpty()) << "words are words";
    EXPECT_EQ(found(*index, {}).size(), 3);
}

TEST_F(Index, GoesByPages)
{
    auto index = CruiseIndex::open(path(s("all.hfi")), true);
    ASSERT_OK(index);
    ASSERT_OK(index->add(made(order()), {}));
    IndexQuestion w;
    w.limit = 1;
    const auto first = index->find(w);
    ASSERT_OK(first);
    EXPECT_TRUE(first->more);
    w.afterId = first->items.front().id;
    const auto second = index->find(w);
    ASSERT_OK(second);
    EXPECT_FALSE(second->more);
    EXPECT_EQ(second->items.front().id, s("TK26-01-002"));
}

TEST_F(Index, ALaterVersionTakesTheEarliersPlaceAndNeverTheReverse)
{
    auto index = CruiseIndex::open(path(s("all.hfi")), true);
    ASSERT_OK(index);
    const QString first = made(order());
    ASSERT_OK(index->add(first, {}));
    ASSERT_OK(amendSample(file(), act(), s("TK26-01-001"), {{s("kind"), s("sponge")}}, s("seen on the bench"),
                          m_kinds));
    ASSERT_OK(index->add(made(order()), {}));
    IndexQuestion w;
    w.words = s("octocoral");
    EXPECT_TRUE(found(*index, w).isEmpty()) << "the words of the earlier version are forgotten";
    w.words = s("sponge");
    EXPECT_EQ(found(*index, w), QStringList{s("TK26-01-001")});
    const auto back = index->add(first, {});
    ASSERT_FALSE(back);
    EXPECT_EQ(back.error().kind, ErrorKind::Refused);
}

TEST_F(Index, AnotherCruiseOfTheSameCodeIsRefused)
{
    auto index = CruiseIndex::open(path(s("all.hfi")), true);
    ASSERT_OK(index);
    ASSERT_OK(index->add(made(order()), {}));
    const QString namesake = path(s("namesake.hfc"));
    {
        auto other = CruiseFile::create(namesake, s("TK26"), s("deck"), act(), allVerbRules());
        ASSERT_OK(other);
    }
    const auto added = index->add(namesake, {});
    ASSERT_FALSE(added) << "its samples would take the place of those of the first";
    EXPECT_EQ(added.error().kind, ErrorKind::Refused);
    EXPECT_TRUE(added.error().sentence.contains(s("another cruise with the code TK26")))
        << added.error().sentence.toStdString();
    EXPECT_EQ(found(*index, {}).size(), 2);
    ASSERT_OK(index->add(m_path, {})); // the first is still taken as it goes on
}

TEST_F(Index, TheLastPlaceByTimeCountsWheneverItWasWrittenDown)
{
    const auto store = [&](const char *place, const char *when) {
        const auto stored =
            storeItems(file(), act(), {s("TK26-01-001")}, s(place), {}, at(when), *HoldingRules::load());
        ASSERT_OK(stored);
    };
    m_now = at("2026-03-12T12:00:00Z");
    store("ship/freezer B", "2026-03-12T11:00:00Z");
    store("ship/lab", "2026-03-12T09:40:00Z"); // written down afterwards
    auto index = CruiseIndex::open(path(s("all.hfi")), true);
    ASSERT_OK(index);
    ASSERT_OK(index->add(m_path, {}));
    const auto placeOf = [&] { return index->find({})->items.front().place; };
    EXPECT_EQ(placeOf(), s("ship/freezer B"));
    const QString package = made(order());
    ASSERT_OK(index->add(package, {}));
    EXPECT_EQ(placeOf(), s("ship/freezer B"));
    const CsvTable storage = table(package + s("/data/tables/storage.csv"));
    EXPECT_EQ(storage.rows.back().at(storage.column(s("place"))), s("ship/freezer B"))
        << "the table says that the last row counts";
}

TEST_F(Index, OneWhoseMakingWasCutShortIsMadeAgain)
{
    write(path(s("all.hfi")), {}); // as a kill leaves it before the tables are there
    EXPECT_FALSE(CruiseIndex::open(path(s("all.hfi")), false));
    ASSERT_OK(CruiseIndex::open(path(s("all.hfi")), true));
    EXPECT_TRUE(CruiseIndex::open(path(s("all.hfi")), false));
    // A kill between the tables and the number is none: both are written at once or not at all.
    QSqlDatabase db = QSqlDatabase::addDatabase(s("QSQLITE"), s("half"));
    db.setDatabaseName(path(s("half.hfi")));
    ASSERT_TRUE(db.open());
    ASSERT_OK(execSql(db, s("PRAGMA user_version=0")));
    ASSERT_OK(execSql(db, s("CREATE TABLE x (y)")));
    ASSERT_OK(execSql(db, s("DROP TABLE x"))); // pages, and nothing in them
    EXPECT_TRUE(CruiseIndex::open(path(s("half.hfi")), true));
    db.close();
    db = {};
    QSqlDatabase::removeDatabase(s("half"));
}

TEST_F(Index, SaysTheErrorAndNotTheWarningBefore)
{
    auto index = CruiseIndex::open(path(s("all.hfi")), true);
    ASSERT_OK(index);
    const QString package = made(order());
    write(package + s("/data/Thumbs.db"), "x"); // a warning, which is found first
    write(package + s("/data/tables/samples.csv"), "id\n");
    const auto added = index->add(package, {});
    ASSERT_FALSE(added);
    EXPECT_FALSE(added.error().sentence.contains(s("file manager"))) << added.error().sentence.toStdString();
}

TEST_F(Index, TakesOnlySoundPackagesAndOpensOnlyIndexes)
{
    auto index = CruiseIndex::open(path(s("all.hfi")), true);
    ASSERT_OK(index);
    const QString package = made(order());
    write(package + s("/data/tables/samples.csv"), "id\n");
    EXPECT_FALSE(index->add(package, {}));
    EXPECT_FALSE(CruiseIndex::open(path(s("none.hfi")), false));
    EXPECT_FALSE(CruiseIndex::open(m_path, true)) << "a cruise file is no index";
}

TEST_F(Index, ACruiseFileGivesTheItemsOfItsPackage)
{
    SpecimenDetails d;
    d.material = s("tissue");
    d.description = s("=white \"polyp\"");
    ASSERT_OK(splitSpecimen(file(), act(), s("TK26-01-001"), d));
    auto index = CruiseIndex::open(path(s("all.hfi")), true);
    ASSERT_OK(index);
    const auto before = bytesOf(m_path);
    const auto fromFile = index->add(m_path, {});
    ASSERT_OK(fromFile);
    EXPECT_EQ(*fromFile, 3);
    EXPECT_EQ(bytesOf(m_path), before);
    const auto page = index->find({});
    ASSERT_OK(page);
    ASSERT_OK(index->add(made(order()), {}));
    const auto packed = index->find({});
    ASSERT_OK(packed);
    ASSERT_EQ(packed->items.size(), page->items.size());
    for (std::size_t i = 0; i < packed->items.size(); ++i) {
        const IndexedItem &a = page->items[i];
        const IndexedItem &b = packed->items[i];
        EXPECT_EQ(
            std::tie(a.id, a.cruise, a.parent, a.dive, a.kind, a.family, a.name, a.description, a.place),
            std::tie(b.id, b.cruise, b.parent, b.dive, b.kind, b.family, b.name, b.description, b.place));
        EXPECT_EQ(a.state, b.state);
        EXPECT_EQ(a.time, b.time);
        EXPECT_NEAR(*a.latitudeDeg, *b.latitudeDeg, 1e-9);
        EXPECT_NEAR(*a.longitudeDeg, *b.longitudeDeg, 1e-9);
        EXPECT_NEAR(*a.depthM, *b.depthM, 1e-6);
        EXPECT_EQ(a.package, s("cruise.hfc"));
        EXPECT_EQ(b.package, s("TK26-v1"));
    }
    // The file again, as it went on; then its next package.
    ASSERT_OK(sample(s("B2"), s("sponge")));
    const auto more = index->add(m_path, {});
    ASSERT_OK(more);
    EXPECT_EQ(*more, 4);
    ASSERT_OK(index->add(made(order()), {}));
    EXPECT_EQ(index->find({})->items.front().package, s("TK26-v2"));
    write(path(s("no.hfc")), QByteArray("SQLite format 3\0 but no more", 29));
    EXPECT_FALSE(index->add(path(s("no.hfc")), {}));
}

} // namespace holdfast::test
