// SPDX-License-Identifier: GPL-3.0-or-later
#include "a_package.h"
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

} // namespace holdfast::test
