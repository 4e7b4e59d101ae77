// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/feed_profile.h"

#include <QTemporaryDir>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

using namespace holdfast;
using testing::HasSubstr;

namespace
{

QString templatesFolder()
{
    return qEnvironmentVariable("HOLDFAST_SOURCE_DIR") + QStringLiteral("/templates/feeds");
}

const char *const ctd = R"({ "profile": "p", "title": "t", "kind": "ctd", "text": {},
    "time": { "format": "iso8601", "column": "time_utc" },
    "columns": { "temperature": { "column": ["t", "temp"], "unit": "degC IPTS-68" } } })";

std::string faultOf(QByteArray json)
{
    const auto profile = parseFeedProfile(json, QStringLiteral("p.json"));
    EXPECT_FALSE(profile);
    return profile ? "" : profile.error().sentence.toStdString();
}

std::string faultOf(const char *before, const char *after)
{
    QByteArray json(ctd);
    EXPECT_TRUE(json.contains(before));
    return faultOf(json.replace(before, after));
}

} // namespace

TEST(FeedProfile, EveryTemplateIsRead)
{
    const QStringList names = feedProfileNames({templatesFolder()});
    EXPECT_GE(names.size(), 9);
    for (const QString &name : names) {
        const auto profile = loadFeedProfile(name, {templatesFolder()});
        ASSERT_TRUE(profile) << profile.error().sentence.toStdString();
        EXPECT_EQ(profile->name, name);
        EXPECT_FALSE(profile->json.isEmpty());
    }
    for (const char *fixed : {"nmea", "position-csv", "ctd-csv", "dvl-csv"})
        EXPECT_TRUE(names.contains(QString::fromLatin1(fixed))) << fixed;
}

TEST(FeedProfile, SaysHowPositionsGoWrong)
{
    const auto acoustic = loadFeedProfile(QStringLiteral("position-csv"), {templatesFolder()});
    const auto reckoned = loadFeedProfile(QStringLiteral("position-dead-reckoning-csv"), {templatesFolder()});
    ASSERT_TRUE(acoustic);
    ASSERT_TRUE(reckoned);
    EXPECT_EQ(acoustic->source, PositionSource::Acoustic);
    EXPECT_TRUE(acoustic->sigmaPercentOfSlantRange);
    EXPECT_EQ(reckoned->source, PositionSource::DeadReckoning);
}

TEST(FeedProfile, ReadsUnitsAndAlternativeNames)
{
    const auto profile = parseFeedProfile(ctd, QStringLiteral("p.json"));
    ASSERT_TRUE(profile) << profile.error().sentence.toStdString();
    const ColumnSpec *column = profile->column(Quantity::Temperature);
    ASSERT_NE(column, nullptr);
    EXPECT_EQ(column->names, QStringList({QStringLiteral("t"), QStringLiteral("temp")}));
    EXPECT_DOUBLE_EQ(column->factor * 1.00024, 1.0); // T68 = 1.00024 T90 (Preston-Thomas 1990)
    EXPECT_EQ(profile->column(Quantity::Oxygen), nullptr);
}

TEST(FeedProfile, NamesTheFileTheKeyAndWhatWasExpected)
{
    EXPECT_THAT(faultOf("[1, 2]"), HasSubstr("not a JSON object"));
    EXPECT_THAT(faultOf("{"), HasSubstr("p.json"));
    EXPECT_THAT(faultOf("\"ctd\"", "\"sonar\""), HasSubstr("nmea, position, ctd, velocity"));
    EXPECT_THAT(faultOf("degC IPTS-68", "K"),
                HasSubstr("\"columns.temperature.unit\" should be one of: degC"));
    EXPECT_THAT(faultOf("iso8601", "iso"), HasSubstr("\"time.format\""));
    EXPECT_THAT(faultOf("\"text\": {}", "\"text\": {\"delimiter\": \"ab\"}"),
                HasSubstr("one ASCII character"));
    EXPECT_THAT(faultOf("\"text\": {}", "\"text\": {\"delimeter\": \";\"}"),
                HasSubstr("\"delimeter\" is not a key"));
    EXPECT_THAT(faultOf("\"text\": {}", "\"text\": {\"header\": false}"), HasSubstr("counted from 1"));
    EXPECT_THAT(faultOf("\"t\", \"temp\"", ""), HasSubstr("header name"));
    EXPECT_THAT(faultOf("\"kind\": \"ctd\"", "\"kind\": \"velocity\""), HasSubstr("columns.forward"));
    EXPECT_THAT(faultOf("\"title\"", "\"titel\""), HasSubstr("titl"));
}

TEST(FeedProfile, OfRawAcousticsSaysFrameLeversAndOneWayOfMeasuring)
{
    const auto loaded = loadFeedProfile(QStringLiteral("acoustic-body-csv"), {templatesFolder()});
    ASSERT_TRUE(loaded);
    EXPECT_EQ(loaded->kind, FeedKind::Acoustic);
    EXPECT_EQ(loaded->acoustic.frame, AcousticFrame::Body);
    EXPECT_DOUBLE_EQ(loaded->acoustic.gapLimitS, 5);
    const auto without = [&](const char *before, const char *after) {
        QByteArray json = loaded->json;
        EXPECT_TRUE(json.contains(before)) << before;
        return faultOf(json.replace(before, after));
    };
    EXPECT_THAT(without("\"lever_down_m\": 0, ", ""), HasSubstr("acoustic.lever_down_m"));
    EXPECT_THAT(without("\"lever_down_m\": 0", "\"lever_down_m\": 5000"), HasSubstr("from -500 to 500"));
    EXPECT_THAT(without("\"frame\": \"body\"", "\"frame\": \"deck\""), HasSubstr("true, level, body"));
    EXPECT_THAT(without("\"gap_limit_s\"", "\"gap_s\""), HasSubstr("\"gap_s\" is not a key"));
    EXPECT_THAT(without("\"bearing\": { \"column\": \"bearing_deg\", \"unit\": \"deg\" },", ""),
                HasSubstr("range and bearing"));
    const auto ship = loadFeedProfile(QStringLiteral("ship-nmea"), {templatesFolder()});
    ASSERT_TRUE(ship);
    EXPECT_TRUE(ship->ofShip);
}

TEST(FeedProfile, RefusesOxygenThatNeedsADensity)
{
    EXPECT_THAT(faultOf("\"temperature\": { \"column\": [\"t\", \"temp\"], \"unit\": \"degC IPTS-68\" }",
                        "\"oxygen\": { \"column\": \"o\", \"unit\": \"umol/L\" }"),
                HasSubstr("umol/kg"));
}

TEST(FeedProfile, AnUnknownNameIsAnsweredWithTheNamesThereAre)
{
    const auto profile = loadFeedProfile(QStringLiteral("nosuch"), {templatesFolder()});
    ASSERT_FALSE(profile);
    EXPECT_EQ(profile.error().kind, ErrorKind::NotFound);
    EXPECT_THAT(profile.error().sentence.toStdString(), HasSubstr("ctd-csv"));
    EXPECT_FALSE(loadFeedProfile(QStringLiteral("../feeds/nmea"), {templatesFolder()}));
}

TEST(FeedProfile, TheFirstFolderWins)
{
    QTemporaryDir own;
    QFile file(own.filePath(QStringLiteral("ctd-csv.json")));
    ASSERT_TRUE(file.open(QIODevice::WriteOnly));
    file.write(QByteArray(ctd).replace("\"p\"", "\"ctd-csv\"").replace("\"t\",", "\"ours\","));
    file.close();
    const auto profile = loadFeedProfile(QStringLiteral("ctd-csv"), {own.path(), templatesFolder()});
    ASSERT_TRUE(profile) << profile.error().sentence.toStdString();
    EXPECT_EQ(profile->title, QStringLiteral("ours"));
}
