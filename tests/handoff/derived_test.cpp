// SPDX-License-Identifier: GPL-3.0-or-later
// What is made of the record for other programs, on a cruise with parts, an associate and a find.
#include "a_package.h"
#include "custody/history.h"
#include "custody/preservation.h"
#include "custody/specimens.h"
#include "handoff/check_package.h"

#include <QJsonArray>
#include <QJsonDocument>
#include <QJsonObject>
#include <QSet>

namespace holdfast::test
{

class Derived : public WithPackage
{
protected:
    void SetUp() override
    {
        WithPackage::SetUp();
        ASSERT_OK(reachPhase(file(), act(), 1, Phase::Launched, at("2026-03-12T07:30:00Z")));
        ASSERT_OK(reachPhase(file(), act(), 1, Phase::OnDeck, at("2026-03-12T09:20:00Z")));
        SpecimenDetails tissue;
        tissue.material = s("tissue");
        tissue.purpose = s("DNA");
        ASSERT_OK(splitSpecimen(file(), act(), s("TK26-01-001"), tissue));
        SpecimenDetails guest;
        guest.material = s("brittle star");
        guest.count = 3;
        guest.foundOn = s("TK26-01-001");
        ASSERT_OK(splitSpecimen(file(), act(), s("TK26-01-001"), guest));
        ASSERT_OK(identifyItem(
            file(), act(),
            {s("TK26-01-001.2"), s("Ophiuroidea sp."), {}, {}, s("Ana"), s("2026-03-12"), {}, {}, {}}));
        SampleDetails find;
        find.kind = s("shrimp");
        ASSERT_OK(logFind(file(), act(), 1, find, std::nullopt, m_kinds));
    }
    QJsonObject json(const QString &file) { return QJsonDocument::fromJson(bytesOf(file)).object(); }
    static QHash<QString, QString> rowOf(const QByteArray &table, const QString &key, int column)
    {
        const QStringList lines = QString::fromUtf8(table).split(QLatin1Char('\n'));
        const QStringList head = lines.front().split(QLatin1Char('\t'));
        QHash<QString, QString> row;
        for (const QString &line : lines) {
            const QStringList cells = line.split(QLatin1Char('\t'));
            for (qsizetype i = 0; cells.value(column) == key && i < head.size(); ++i)
                row.insert(head.at(i), cells.value(i));
        }
        return row;
    }
};

TEST_F(Derived, PartsAreEventsOfTheirOwnAndAssociatesAreNot) // standards' note on sections 2.4 and 2.5
{
    const QString package = made(order());
    const QByteArray events = bytesOf(package + s("/data/dwca/event.txt"));
    const QByteArray occurrences = bytesOf(package + s("/data/dwca/occurrence.txt"));
    EXPECT_EQ(rowOf(events, s("TK26-01-001.1"), 0).value(s("parentEventID")), s("TK26-01-001"));
    EXPECT_TRUE(rowOf(events, s("TK26-01-001.2"), 0).isEmpty());
    const auto guest = rowOf(occurrences, s("TK26-01-001.2"), 1);
    EXPECT_EQ(guest.value(s("eventID")), s("TK26-01-001"));
    EXPECT_EQ(guest.value(s("individualCount")), s("3"));
    EXPECT_EQ(guest.value(s("scientificName")), s("Ophiuroidea"));
    EXPECT_EQ(guest.value(s("identificationQualifier")), s("sp."));
    EXPECT_TRUE(guest.value(s("associatedOccurrences")).endsWith(s(":\"TK26-01-001\"")));
    EXPECT_TRUE(rowOf(occurrences, s("TK26-01-001"), 1)
                    .value(s("associatedOccurrences"))
                    .contains(s("\"host of\":\"TK26-01-001.2\"")));
    const auto report = checkPackage(package, at("2026-03-13T12:00:00Z"), {});
    ASSERT_OK(report);
    EXPECT_EQ(report->errors(), 0) << report->text().toStdString();
}

TEST_F(Derived, HistoriesInThePackageAreThoseThatTheProgramTells)
{
    const auto rules = HoldingRules::load();
    ASSERT_OK(rules);
    const Act stored = act();
    ASSERT_OK(storeItems(file(), stored, {s("TK26-01-001.1")}, s("ship/lab/freezer 1"), s("-80"), stored.now,
                         *rules));
    ASSERT_OK(amendSample(file(), act(), s("TK26-01-001"), {{s("kind"), s("stony coral")}}, s("seen again"),
                          m_kinds));
    const QString package = made(order());
    for (const char *sample : {"TK26-01-001", "TK26-01-002", "TK26-01-003"}) {
        QByteArray wanted;
        const auto parts = readSpecimens(file().db(), s(sample));
        ASSERT_OK(parts);
        QStringList ids{s(sample)};
        for (const SpecimenInfo &p : *parts)
            ids << p.id;
        for (const QString &id : std::as_const(ids)) {
            const auto story = readHistory(file().db(), id);
            ASSERT_OK(story);
            wanted += historyText(*story).toUtf8();
        }
        QByteArray told = bytesOf(package + s("/data/histories/") + s(sample) + s(".txt"));
        for (const QString &id : std::as_const(ids))
            told.replace(id.toUtf8() + '\n' + QByteArray(id.size(), '-') + '\n', "");
        told.replace("\n\n", "\n");
        EXPECT_EQ(told, wanted) << told.data();
        EXPECT_TRUE(told.contains("logged as"));
    }
}

TEST_F(Derived, AFindHasASpanAndNoPlace)
{
    const QString package = made(order());
    const auto find = rowOf(bytesOf(package + s("/data/dwca/event.txt")), s("TK26-01-003"), 0);
    EXPECT_EQ(find.value(s("eventDate")), s("2026-03-12T07:30:00.000Z/2026-03-12T09:20:00.000Z"));
    EXPECT_TRUE(find.value(s("decimalLatitude")).isEmpty());
}

TEST_F(Derived,
       ProvenanceNamesNothingThatIsNotThere) // PROV-JSON, W3C member submission 2013: names of relation ends
{
    const QJsonObject prov = json(made(order()) + s("/data/provenance/provenance.json"));
    QSet<QString> known;
    for (const char *group : {"entity", "activity", "agent"}) {
        const QStringList names = prov.value(s(group)).toObject().keys();
        known += QSet<QString>(names.begin(), names.end());
        EXPECT_FALSE(names.isEmpty()) << group;
    }
    int ends = 0;
    for (const char *relation :
         {"used", "wasGeneratedBy", "wasAssociatedWith", "wasDerivedFrom", "wasAttributedTo"}) {
        const QJsonObject all = prov.value(s(relation)).toObject();
        for (const QJsonValue &r : all) {
            const QJsonObject o = r.toObject();
            for (auto it = o.begin(); it != o.end(); ++it) {
                EXPECT_TRUE(known.contains(it.value().toString()))
                    << relation << ' ' << it.value().toString().toStdString();
                ++ends;
            }
        }
    }
    EXPECT_GT(ends, 20);
    // The values of a sample come from a computing that used both logs.
    const QJsonObject used = prov.value(s("used")).toObject();
    QStringList logs;
    for (const QJsonValue &u : used) {
        if (u.toObject().value(s("prov:activity")).toString().endsWith(s("computing")))
            logs << u.toObject().value(s("prov:entity")).toString();
    }
    EXPECT_EQ(logs.size(), 2);
}

TEST_F(Derived, AHostileDescriptionStaysTextEverywhere) // common practice against formula injection; RFC 4180
{
    ASSERT_OK(amendSample(file(), act(), s("TK26-01-002"),
                          {{s("description"), s("=HYPERLINK(\"x\")\tand, \"so\"")}}, s("trying"), m_kinds));
    const QString package = made(order());
    const CsvTable samples = table(package + s("/data/tables/samples.csv"));
    for (const QStringList &row : samples.rows) {
        if (row.at(0) == s("TK26-01-002")) {
            EXPECT_EQ(row.at(samples.column(s("description"))), s("'=HYPERLINK(\"x\")\tand, \"so\""));
        }
    }
    const QJsonArray features =
        json(package + s("/data/geojson/samples.geojson")).value(s("features")).toArray();
    EXPECT_EQ(features.at(1).toObject().value(s("properties")).toObject().value(s("description")).toString(),
              s("=HYPERLINK(\"x\")\tand, \"so\""))
        << "JSON needs no such care";
    const auto report = checkPackage(package, at("2026-03-13T12:00:00Z"), {});
    ASSERT_OK(report);
    EXPECT_EQ(report->errors(), 0) << report->text().toStdString();
}

} // namespace holdfast::test
