// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/loadout.h"

#include "base/template_folder.h"
#include "dive/kinds.h"
#include "support/temp_dir.h"

using namespace holdfast;

namespace
{
QString s(const char *text)
{
    return QString::fromUtf8(text);
}
QJsonObject json(const QByteArray &text)
{
    const auto o = parseJsonObject(text, s("here"));
    EXPECT_TRUE(o);
    return o ? *o : QJsonObject();
}
const QByteArray good =
    R"({"name":"x","title":"X","size":[100,100],"boxes":[{"title":"A","container":"biobox",
    "where":"porch","accepts":["biology"],"unload":1,"area":[0,0,50,50],"slots":[{"code":"B1","area":[1,1,10,10]}]}]})";
} // namespace

TEST(Loadout, EveryTemplateOfTheProgramIsGood)
{
    test::application();
    const auto names = templateNames(s("loadouts"));
    ASSERT_OK(names);
    ASSERT_GE(names->size(), 2);
    for (const QString &name : *names) {
        const auto o = readTemplate(s("loadouts"), name);
        ASSERT_OK(o);
        const auto loadout = parseLoadout(*o, name);
        ASSERT_OK(loadout);
        EXPECT_EQ(loadout->name, name);
    }
}

TEST(Loadout, DemoHasTheSlotsThatPeopleAreToldOf)
{
    test::application();
    const auto loadout = parseLoadout(*readTemplate(s("loadouts"), s("demo")), s("demo"));
    ASSERT_OK(loadout);
    QStringList codes;
    for (const Loadout::Place &p : loadout->inUnloadOrder())
        codes << p.slot->code;
    for (const char *code : {"R1", "R4", "B1", "B6", "C1", "J1", "N1"})
        EXPECT_TRUE(codes.contains(s(code))) << code;
    EXPECT_TRUE(codes.front().startsWith(QLatin1Char('B'))) << "life is unloaded first";
    EXPECT_TRUE(codes.back().startsWith(QLatin1Char('R')));
}

TEST(Loadout, BadOnesAreRefusedWithThePlace)
{
    ASSERT_OK(parseLoadout(json(good), s("here")));
    struct Case {
        const char *from, *to, *says;
    };
    for (const Case &c :
         {Case{"\"B1\"", "\"b1\"", "code"}, Case{"[1,1,10,10]", "[1,1,10]", "area"},
          Case{"[1,1,10,10]", "[1,1,90,10]", "inside"}, Case{"[0,0,50,50]", "[0,0,500,50]", "inside"},
          Case{"\"biology\"", "\"gold\"", "accepts"}, Case{"\"unload\":1", "\"unload\":1.5", "unload"},
          Case{"\"slots\":[{", "\"slotz\":[{", "slots"}, Case{"[100,100]", "[100]", "size"},
          Case{"\"title\":\"A\"", "\"title\":\"\"", "title"},
          Case{"[{\"code\":\"B1\",\"area\":[1,1,10,10]}]",
               "[{\"code\":\"B1\",\"area\":[1,1,10,10]},{\"code\":\"B1\",\"area\":[1,1,10,10]}]", "twice"}}) {
        QByteArray text = good;
        ASSERT_TRUE(text.contains(c.from)) << c.from;
        text.replace(c.from, c.to);
        const auto loadout = parseLoadout(json(text), s("here"));
        ASSERT_FALSE(loadout) << c.to;
        EXPECT_TRUE(loadout.error().sentence.contains(s(c.says))) << loadout.error().sentence.toStdString();
        EXPECT_TRUE(loadout.error().sentence.startsWith(s("here")));
    }
}

TEST(Templates, AMissingOneNamesThoseThatAreThere)
{
    test::application();
    const auto missing = readTemplate(s("loadouts"), s("none"));
    ASSERT_FALSE(missing);
    EXPECT_TRUE(missing.error().sentence.contains(s("demo")));
    EXPECT_FALSE(readTemplate(s("loadouts"), s("../loadouts/demo")));
    const auto broken = parseJsonObject("{\n \"a\": ,\n}", s("file.json"));
    ASSERT_FALSE(broken);
    EXPECT_TRUE(broken.error().sentence.contains(s("line 2"))) << broken.error().sentence.toStdString();
}

TEST(Kinds, WordsHaveOneFamily)
{
    test::application();
    const auto kinds = KindTable::load();
    ASSERT_OK(kinds);
    EXPECT_EQ(kinds->familyOf(s(" Black Coral ")), s("biology"));
    EXPECT_EQ(kinds->familyOf(s("basalt")), s("rock"));
    EXPECT_EQ(kinds->familyOf(s("nonsense")), s(""));
    EXPECT_FALSE(KindTable::parse(json(R"({"families":{"rock":["a"],"water":["A"]}})"), s("here")));
    EXPECT_FALSE(KindTable::parse(json("{}"), s("here")));
}
