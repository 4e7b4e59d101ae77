// SPDX-License-Identifier: GPL-3.0-or-later
#include "exchange/stations.h"

#include "custody/blank_labels.h"
#include "custody/find.h"
#include "custody/hand_over.h"
#include "custody/held_acts.h"
#include "dive/absent_logs.h"
#include "dive/dive_values.h"
#include "dive/log_intake.h"
#include "dive/refix.h"
#include "exchange/registers.h"
#include "ledger/canonical.h"

#include <QFile>
#include <QJsonArray>
#include <random>

using namespace holdfast;

namespace
{

class Exchange : public test::Stations
{
};

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

} // namespace

TEST_F(Exchange, GivesEachStationWhatTheOthersWrote)
{
    ASSERT_OK(log("van", "B1", "octocoral"));
    ASSERT_OK(log("deck", "B2", "octocoral"));
    ASSERT_OK(log("lab", "B3", "octocoral"));
    exchangeAll();
    expectAllTheSame();
    const auto samples = readSamples(at("lab").db(), 1);
    ASSERT_OK(samples);
    QSet<QString> ids;
    for (const SampleInfo &sample : *samples)
        ids.insert(sample.id);
    EXPECT_EQ(ids.size(), 3) << "numbers do not collide";
    EXPECT_TRUE(abouts(at("van")).isEmpty()) << conflictsOf(at("van")).join(QLatin1Char('\n')).toStdString();
}

TEST_F(Exchange, TakingInTwiceChangesNothing)
{
    ASSERT_OK(log("deck", "B2", "octocoral"));
    ASSERT_OK(give("deck", "van"));
    const QStringList once = dump(at("van"));
    const auto again = give("deck", "van");
    ASSERT_OK(again);
    EXPECT_TRUE(again->added.isEmpty());
    EXPECT_EQ(dump(at("van")), once);
}

TEST_F(Exchange, GivesAKnownStationOnlyWhatItLacks)
{
    ASSERT_OK(log("deck", "B2", "octocoral"));
    exchangeAll();
    ASSERT_OK(log("deck", "B3", "octocoral")); // tells that the deck has seen van and lab
    ASSERT_OK(give("deck", "van"));
    ASSERT_OK(log("van", "B1", "octocoral"));
    const auto whole = from("van");
    const auto rest = from("van", "deck");
    ASSERT_OK(whole);
    ASSERT_OK(rest);
    std::size_t all = 0;
    std::size_t lacking = 0;
    for (std::size_t i = 0; i < whole->chains.size(); ++i) {
        all += whole->chains[i].entries.size();
        lacking += rest->chains[i].entries.size();
    }
    EXPECT_EQ(lacking, 2u) << "the stamp and its sample";
    EXPECT_GT(all, 8u);
    const auto taken = takeIn(at("deck"), *rest, {});
    ASSERT_OK(taken);
    EXPECT_EQ(taken->added.value(s("van")), 2);
    // A station that lacks more than the giver knew of says what is missing.
    const auto gap = takeIn(at("lab"), *rest, keys);
    ASSERT_FALSE(gap);
    EXPECT_TRUE(gap.error().sentence.contains(s("ask for a file with all entries")))
        << gap.error().sentence.toStdString();
}

TEST_F(Exchange, AsksAPersonBeforeItTrustsANewStation)
{
    ASSERT_OK(log("deck", "B2", "octocoral"));
    const auto x = from("deck");
    ASSERT_OK(x);
    const QStringList before = dump(at("van"));
    const auto refused = takeIn(at("van"), *x, {});
    ASSERT_FALSE(refused);
    EXPECT_TRUE(refused.error().sentence.contains(keyMark(keys.front())))
        << refused.error().sentence.toStdString();
    EXPECT_EQ(dump(at("van")), before);
    EXPECT_FALSE(takeIn(at("van"), *x, {keys.back()})) << "the lab's key is not the deck's";
    ASSERT_OK(takeIn(at("van"), *x, {keyMark(keys.front())}));
    ASSERT_OK(log("deck", "B3", "octocoral"));
    const auto later = from("deck");
    ASSERT_OK(later);
    EXPECT_TRUE(takeIn(at("van"), *later, {})) << "known from now on";
    ASSERT_OK(at("deck").renewKey(act(), s("computer fell over board")));
    const auto renewed = from("deck");
    ASSERT_OK(renewed);
    EXPECT_FALSE(takeIn(at("van"), *renewed, {})) << "a new key is asked for again";
    EXPECT_TRUE(takeIn(at("van"), *renewed, {keyOf(at("deck"), s("deck"))}));
}

TEST_F(Exchange, RefusesEveryFileThatWasChangedCutOrReorderedAndTakesNothingIn)
{
    ASSERT_OK(log("deck", "B2", "octocoral"));
    const auto x = from("deck");
    ASSERT_OK(x);
    const auto made = exchangeBytes(*x);
    ASSERT_OK(made);
    const QByteArray good = *made;
    ASSERT_TRUE(readExchange(good, s("x.hfx")));
    const auto refuses = [&](const QByteArray &bytes) {
        const auto read = readExchange(bytes, s("x.hfx"));
        return !read || !takeIn(at("van"), *read, keys);
    };
    const QStringList before = dump(at("van"));
    // Every byte in the first line, which nothing but the checksum and the heads protect, and every third
    // after it.
    for (qsizetype i = 0; i < good.size(); i += i < good.indexOf('\n') ? 1 : 3) {
        QByteArray bad = good;
        bad[i] = static_cast<char>(bad.at(i) ^ 1);
        ASSERT_TRUE(refuses(bad)) << i;
    }
    for (qsizetype i = 0; i < good.size(); i += 7)
        ASSERT_TRUE(refuses(good.left(i))) << i;
    QList<QByteArray> lines = good.split('\n');
    for (qsizetype i = 1; i + 2 < lines.size(); ++i) {
        QList<QByteArray> swapped = lines;
        swapped.swapItemsAt(i, i + 1);
        EXPECT_TRUE(refuses(swapped.join('\n'))) << i;
        QList<QByteArray> less = lines;
        less.removeAt(i);
        EXPECT_TRUE(refuses(less.join('\n'))) << i;
        QList<QByteArray> twice = lines;
        twice.insert(i, lines.at(i));
        EXPECT_TRUE(refuses(twice.join('\n'))) << i;
    }
    EXPECT_TRUE(refuses(good + "more\n"));
    EXPECT_TRUE(refuses({}));
    EXPECT_EQ(dump(at("van")), before);
    // The sentence names the entry.
    QByteArray bad = good;
    bad.replace("octocoral", "octocorax");
    const auto named = readExchange(bad, s("x.hfx"));
    ASSERT_FALSE(named);
    EXPECT_TRUE(named.error().sentence.contains(s("entry 3 of station deck")))
        << named.error().sentence.toStdString();
}

TEST_F(Exchange, RefusesAChainThatSomebodyWithoutTheKeyMadeToFit)
{
    ASSERT_OK(log("deck", "B2", "octocoral"));
    auto x = from("deck");
    ASSERT_OK(x);
    for (ChainPart &part : x->chains) {
        if (part.station != s("deck"))
            continue;
        // The last entry says something else; hash and head are made to fit.
        Entry &last = part.entries.back();
        last.actor = s("Somebody");
        last.hash = sha256Hex(canonicalEntry(last));
        part.head.hash = last.hash;
        part.signatures.front().hash = last.hash;
    }
    const auto bytes = exchangeBytes(*x);
    ASSERT_OK(bytes);
    const auto read = readExchange(*bytes, s("x.hfx"));
    ASSERT_OK(read);
    const QStringList before = dump(at("van"));
    const auto refused = takeIn(at("van"), *read, keys);
    ASSERT_FALSE(refused);
    EXPECT_TRUE(refused.error().sentence.contains(s("Station deck, entry 3: the signature")))
        << refused.error().sentence.toStdString();
    EXPECT_EQ(dump(at("van")), before);
}

TEST_F(Exchange, TakesNothingWrongFromFilesWithRandomFaultsAlsoWhenTheChecksumAtTheEndIsMadeToFit)
{
    ASSERT_OK(log("deck", "B2", "octocoral"));
    ASSERT_OK(log("van", "B1", "octocoral"));
    ASSERT_OK(give("van", "deck"));
    ASSERT_OK(note("deck", s("TK26-01-001"), "pale"));
    const auto x = from("deck");
    ASSERT_OK(x);
    const auto made = exchangeBytes(*x);
    ASSERT_OK(made);
    const QByteArray good = *made;
    // What the true file makes of the van; faults that change nothing that is kept may do no other.
    const auto vanCopy = [&](const QString &name) {
        const QString copy = path(name);
        QFile::remove(copy);
        EXPECT_TRUE(execSql(at("van").db().connection(), s("VACUUM INTO ?"), {copy}));
        return CruiseFile::open(copy, Database::Access::ReadWrite, rules());
    };
    QStringList right;
    {
        auto copy = vanCopy(s("right.hfc"));
        ASSERT_OK(copy);
        ASSERT_OK(takeIn(*copy, *readExchange(good, s("x.hfx")), keys));
        right = dump(*copy);
    }
    const QStringList before = dump(at("van"));
    std::mt19937 random(500);
    const auto pick = [&random](qsizetype n) {
        return static_cast<qsizetype>(random() % static_cast<unsigned>(n));
    };
    int refused = 0, harmless = 0;
    for (int i = 0; i < 500; ++i) {
        QByteArray bad = good;
        const bool forged = i % 2 == 1; // the last line is made anew
        if (forged)
            bad.truncate(bad.lastIndexOf("end "));
        QList<QByteArray> lines = bad.split('\n');
        const qsizetype line = pick(lines.size() - 1), other = pick(lines.size() - 1);
        switch (pick(7)) {
        case 0:
            bad[pick(bad.size())] = static_cast<char>(random());
            break;
        case 1:
            bad.remove(pick(bad.size()), 1);
            break;
        case 2:
            bad.insert(pick(bad.size()), static_cast<char>(random()));
            break;
        case 3:
            bad.truncate(pick(bad.size()));
            break;
        case 4:
            lines.removeAt(line);
            bad = lines.join('\n');
            break;
        case 5:
            lines.insert(other, lines.at(line));
            bad = lines.join('\n');
            break;
        default:
            lines.swapItemsAt(line, other);
            bad = lines.join('\n');
        }
        if (forged)
            bad += "end " + sha256Hex(bad).toLatin1() + '\n';
        const auto read = readExchange(bad, s("x.hfx"));
        if (!read) {
            ++refused;
            EXPECT_TRUE(read.error().sentence.contains(s("x.hfx"))) << read.error().sentence.toStdString();
            continue;
        }
        auto copy = vanCopy(s("tried.hfc"));
        ASSERT_OK(copy);
        const auto taken = takeIn(*copy, *read, keys);
        ++(taken ? harmless : refused);
        EXPECT_EQ(dump(*copy), taken ? right : before)
            << i << (taken ? " taken" : taken.error().sentence.toStdString());
    }
    EXPECT_GT(refused, 450);
    EXPECT_EQ(refused + harmless, 500);
    EXPECT_EQ(dump(at("van")), before);
    RecordProperty("harmless", harmless);
}

TEST_F(Exchange, FindsTwoCopiesThatBothWroteAsOneStation)
{
    const QString twin = path(s("twin.hfc"));
    ASSERT_OK(execSql(at("deck").db().connection(), s("VACUUM INTO ?"), {twin}));
    auto second = CruiseFile::open(twin, Database::Access::ReadWrite, rules());
    ASSERT_OK(second);
    ASSERT_OK(log("deck", "B2", "octocoral"));
    ASSERT_OK(give("deck", "van"));
    stations.emplace("twin", std::move(*second));
    ASSERT_OK(log("twin", "B3", "octocoral"));
    const auto refused = give("twin", "van");
    ASSERT_FALSE(refused);
    EXPECT_TRUE(refused.error().sentence.contains(s("Station deck, entry 2")))
        << refused.error().sentence.toStdString();
    const auto own = give("twin", "deck");
    ASSERT_FALSE(own);
    EXPECT_TRUE(own.error().sentence.contains(s("both written as station deck")))
        << own.error().sentence.toStdString();
    EXPECT_FALSE(CruiseFile::becomeStation(twin, s("Deck"), act(), 0, rules())) << "the name is taken";
}

TEST_F(Exchange, RefusesAStationWhoseNameDiffersOnlyInLetterCase)
{
    join("Deck"); // the van's copy has not heard of the deck yet, so nothing forbids it there
    ASSERT_OK(give("deck", "van"));
    ASSERT_OK(log("Deck", "B3", "octocoral"));
    const QStringList before = dump(at("van"));
    const auto refused = give("Deck", "van");
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().kind, ErrorKind::Refused);
    EXPECT_TRUE(refused.error().sentence.contains(s("Station Deck differs from station deck")))
        << refused.error().sentence.toStdString();
    EXPECT_EQ(dump(at("van")), before);
    EXPECT_FALSE(give("Deck", "deck")) << "nor by the other of that name";
}

TEST_F(Exchange, BringsBackWhatAStationLostWithItsDisk)
{
    ASSERT_OK(log("deck", "B2", "octocoral"));
    const QString backup = path(s("backup.hfc"));
    ASSERT_OK(execSql(at("deck").db().connection(), s("VACUUM INTO ?"), {backup}));
    ASSERT_OK(log("deck", "B3", "octocoral"));
    ASSERT_OK(give("deck", "van"));
    stations.erase("deck");
    auto restored = CruiseFile::open(backup, Database::Access::ReadWrite, rules());
    ASSERT_OK(restored);
    stations.emplace("deck", std::move(*restored));
    const auto taken = give("van", "deck");
    ASSERT_OK(taken);
    EXPECT_EQ(taken->added.value(s("deck")), 2);
    ASSERT_OK(log("deck", "B4", "octocoral"));
    exchangeAll();
    expectAllTheSame();
}

TEST_F(Exchange, ListsBothSidesWhenTwoAmendedTheSameField)
{
    const auto coral = log("van", "B1", "octocoral");
    ASSERT_OK(coral);
    exchangeAll();
    ASSERT_OK(note("deck", coral->id, "pink"));
    ASSERT_OK(note("lab", coral->id, "red"));
    exchangeAll();
    expectAllTheSame();
    const auto open = openConflicts(at("van").db());
    ASSERT_OK(open);
    ASSERT_EQ(open->size(), 1u);
    EXPECT_EQ(open->front().about, coral->id + s(": description"));
    ASSERT_EQ(open->front().sides.size(), 2u);
    EXPECT_EQ(open->front().sides.back().says, description("van", coral->id)) << "what is shown is said so";
    EXPECT_TRUE(open->front().sides.back().shown);
    // Somebody who has seen both corrects it: that ends it, everywhere.
    ASSERT_OK(note("van", coral->id, "between pink and red"));
    EXPECT_TRUE(abouts(at("van")).isEmpty());
    exchangeAll();
    expectAllTheSame();
    EXPECT_TRUE(abouts(at("lab")).isEmpty());
}

TEST_F(Exchange, DoesNotCallACorrectionOfWhatWasSeenAConflict)
{
    const auto coral = log("van", "B1", "octocoral");
    ASSERT_OK(coral);
    exchangeAll();
    ASSERT_OK(note("deck", coral->id, "pink"));
    exchangeAll();
    ASSERT_OK(note("lab", coral->id, "red"));
    exchangeAll();
    EXPECT_TRUE(abouts(at("van")).isEmpty()) << conflictsOf(at("van")).join(QLatin1Char('\n')).toStdString();
    EXPECT_EQ(description("deck", coral->id), s("red"));
    // Nor that two stations say the same.
    ASSERT_OK(note("deck", coral->id, "white"));
    ASSERT_OK(note("van", coral->id, "white"));
    exchangeAll();
    EXPECT_TRUE(abouts(at("van")).isEmpty());
}

TEST_F(Exchange, SettlesWithAReasonAndOpensAgainWhenAThirdSideComes)
{
    const auto coral = log("van", "B1", "octocoral");
    ASSERT_OK(coral);
    exchangeAll();
    ASSERT_OK(note("deck", coral->id, "pink"));
    ASSERT_OK(note("lab", coral->id, "red"));
    ASSERT_OK(give("deck", "van"));
    ASSERT_OK(give("lab", "deck"));
    const auto open = openConflicts(at("deck").db());
    ASSERT_OK(open);
    ASSERT_EQ(open->size(), 1u);
    EXPECT_FALSE(settleConflict(at("deck"), act(), open->front().key, s(" "))) << "a reason is needed";
    EXPECT_FALSE(settleConflict(at("deck"), act(), s("C-000000"), s("so")));
    ASSERT_OK(settleConflict(at("deck"), act(), open->front().key, s("asked the lab")));
    EXPECT_TRUE(abouts(at("deck")).isEmpty());
    ASSERT_OK(give("deck", "lab"));
    EXPECT_TRUE(abouts(at("lab")).isEmpty());
    // The van knew of the deck's word, not of the lab's nor of the settling.
    ASSERT_OK(note("van", coral->id, "violet"));
    exchangeAll();
    expectAllTheSame();
    EXPECT_EQ(abouts(at("van")).size(), 1);
}

TEST_F(Exchange, SettlingOneMatterLeavesTheOthersOfTheSameEntries)
{
    const auto coral = log("van", "B1", "octocoral");
    ASSERT_OK(coral);
    exchangeAll();
    const auto amend = [&](const char *station, const char *words, const char *count) {
        return amendSample(at(station), act(), coral->id,
                           {{s("description"), s(words)}, {s("count"), s(count)}}, s("looked again"),
                           m_kinds);
    };
    ASSERT_OK(amend("deck", "pink", "2"));
    ASSERT_OK(amend("lab", "red", "3"));
    exchangeAll();
    const QString colour = coral->id + s(": description"), number = coral->id + s(": count");
    QStringList both = abouts(at("deck"));
    both.sort();
    ASSERT_EQ(both, QStringList({number, colour}));
    const auto keyOf = [&](const QString &about) {
        for (const Conflict &c : openConflicts(at("deck").db()).value_or(std::vector<Conflict>())) {
            if (c.about == about)
                return c.key;
        }
        return QString();
    };
    ASSERT_OK(settleConflict(at("deck"), act(), keyOf(colour), s("it is pink")));
    EXPECT_EQ(abouts(at("deck")), QStringList{number}) << "how many there are is not settled by that";
    // An older program did not write down the subject by itself.
    ASSERT_OK(at("deck").write([&]() -> Done {
        const auto open = openConflicts(at("deck").db());
        if (!open)
            return open.error();
        QJsonArray entries;
        for (const ConflictSide &side : open->front().sides)
            entries.append(side.entry);
        const auto entry = at("deck").record(
            act(), s("conflict settled"),
            {{s("about"), number}, {s("entries"), entries}, {s("reason"), s("counted on deck")}});
        return entry ? Done() : Done(entry.error());
    }));
    EXPECT_TRUE(abouts(at("deck")).isEmpty());
    exchangeAll();
    expectAllTheSame();
    EXPECT_TRUE(abouts(at("van")).isEmpty());
}

TEST_F(Exchange, ListsASlotThatWasGivenTwice)
{
    const auto first = log("van", "B1", "octocoral");
    const auto second = log("deck", "B1", "octocoral");
    ASSERT_OK(first);
    ASSERT_OK(second);
    exchangeAll();
    expectAllTheSame();
    ASSERT_EQ(abouts(at("lab")), QStringList{s("dive 1 slot B1: given twice")});
    ASSERT_OK(moveSample(at("lab"), act(), second->id, s("B2"), s("it lies in B2")));
    EXPECT_TRUE(abouts(at("lab")).isEmpty());
}

TEST_F(Exchange, TellsTwoSamplesWithOneNumberApart)
{
    // Two stations whose numbers were set to begin at the same place.
    for (const char *name : {"deck", "lab"})
        ASSERT_OK(execSql(at(name).db().connection(), s("UPDATE station SET numbers_from=301")));
    const auto deck = log("deck", "B2", "octocoral");
    ASSERT_OK(deck);
    ASSERT_OK(note("deck", deck->id, "the deck's"));
    const auto lab = log("lab", "B3", "octocoral");
    ASSERT_OK(lab);
    ASSERT_EQ(deck->id, lab->id);
    SpecimenDetails tissue;
    tissue.material = s("tissue");
    ASSERT_OK(splitSpecimen(at("lab"), act(), lab->id, tissue));
    ASSERT_OK(note("lab", lab->id, "the lab's"));
    exchangeAll();
    for (auto &[name, file] : stations)
        ASSERT_OK(rebuildTables(file));
    expectAllTheSame();
    ASSERT_EQ(abouts(at("van")), QStringList{deck->id + s(": given twice")});
    const QString provisional = deck->id + s("-2");
    EXPECT_EQ(description("van", deck->id), s("the deck's"));
    EXPECT_EQ(description("van", provisional), s("the lab's"))
        << "what the lab wrote went to the lab's sample";
    // What is written under the provisional id stays with the thing when a person gives it a new one.
    ASSERT_OK(note("van", provisional, "the lab's, looked at"));
    exchangeAll();
    const auto open = openConflicts(at("deck").db());
    ASSERT_OK(open);
    const auto fresh = settleConflict(at("deck"), act(), open->front().key, s("label printed again"));
    ASSERT_OK(fresh);
    EXPECT_TRUE(abouts(at("deck")).isEmpty());
    EXPECT_EQ(description("deck", *fresh), s("the lab's, looked at"));
    exchangeAll();
    expectAllTheSame();
    EXPECT_EQ(description("lab", *fresh), s("the lab's, looked at"));
    const auto parts = readSpecimens(at("van").db(), *fresh);
    ASSERT_OK(parts);
    ASSERT_EQ(parts->size(), 1u);
    EXPECT_EQ(parts->front().parent, *fresh);
    EXPECT_TRUE(parts->front().id.startsWith(*fresh + QLatin1Char('.')));
}

TEST_F(Exchange, KeepsAndListsWhatDoesNotFitIntoTheTables)
{
    const auto loadout = readTemplate(s("loadouts"), s("demo"));
    ASSERT_OK(loadout);
    ASSERT_OK(planDive(at("van"), act(), 2, s("Deep vehicle"), *loadout));
    ASSERT_OK(planDive(at("deck"), act(), 2, s("Other vehicle"), *loadout));
    exchangeAll();
    expectAllTheSame();
    const auto open = openConflicts(at("lab").db());
    ASSERT_OK(open);
    ASSERT_EQ(open->size(), 1u);
    EXPECT_EQ(open->front().sides.size(), 2u);
    ASSERT_OK(settleConflict(at("lab"), act(), open->front().key, s("the van's plan is right")));
    EXPECT_TRUE(abouts(at("lab")).isEmpty());
}

TEST_F(Exchange, ListsTwoAnswersOfTheTally)
{
    ASSERT_OK(log("van", "B1", "octocoral"));
    exchangeAll();
    ASSERT_OK(tallySlot(at("deck"), act(), 1, s("B1"), TallyAnswer::AsLogged, {}));
    ASSERT_OK(tallySlot(at("lab"), act(), 1, s("B1"), TallyAnswer::Empty, {}));
    exchangeAll();
    expectAllTheSame();
    EXPECT_EQ(abouts(at("van")), QStringList{s("dive 1, slot B1: tally")});
}

TEST_F(Exchange, GivesEachStationBlankLabelsOfItsOwn)
{
    const auto labels = [this](const char *name) {
        QStringList ids;
        const auto range = takeBlankLabels(at(name), act(), 1, 40);
        EXPECT_TRUE(range) << (range ? "" : range.error().sentence.toStdString());
        if (range)
            ids = blankLabelIds(at(name).db(), 1, *range).value_or(QStringList());
        return ids;
    };
    exchangeAll();
    QSet<QString> all;
    for (int round = 0; round < 2; ++round) {
        for (const char *name : {"van", "deck", "lab"}) {
            for (const QString &id : labels(name))
                all.insert(id);
        }
    }
    EXPECT_EQ(all.size(), 240) << "no label is printed twice, though nobody has exchanged";
    exchangeAll();
    expectAllTheSame();
    const auto tooMany = takeBlankLabels(at("deck"), act(), 1, 2000);
    ASSERT_OK(tooMany);
    const auto refused = takeBlankLabels(at("deck"), act(), 1, 2000);
    ASSERT_FALSE(refused);
    EXPECT_TRUE(refused.error().sentence.contains(s("are 920 left")))
        << refused.error().sentence.toStdString();
}

TEST_F(Exchange, SaysThatALogIsAtAnotherStation)
{
    QFile log(path(s("p.csv")));
    ASSERT_TRUE(log.open(QIODevice::WriteOnly));
    log.write("time_utc,latitude_deg,longitude_deg,depth_m\n2026-03-12T09:00:00Z,-21.075,-173.214,1432.0\n"
              "2026-03-12T09:00:02Z,-21.075,-173.214,1432.0\n");
    log.close();
    const auto profile = feedProfile(s("position-csv"));
    ASSERT_OK(profile);
    ASSERT_OK(takeInLog(at("van"), act(), 1, log.fileName(), *profile));
    EXPECT_TRUE(absentLogs(at("van").db(), 1)->positionWord().isEmpty());
    exchangeAll();
    const auto absent = absentLogs(at("deck").db(), 1);
    ASSERT_OK(absent);
    EXPECT_EQ(absent->positionWord(), s("log at van"));
    EXPECT_TRUE(absent->ctdWord().isEmpty());
    NavFix none;
    none.flag = FixFlag::NoFix;
    absent->explain(none);
    EXPECT_TRUE(none.reason.contains(s("at station van"))) << none.reason.toStdString();
}

TEST_F(Exchange, ListsTwoHolders)
{
    const auto coral = log("van", "B1", "octocoral");
    ASSERT_OK(coral);
    ASSERT_OK(appointCustodian(at("van"), act(), 1, s("Ito"), m_now));
    exchangeAll();
    const auto offer = [&](const char *station, const char *to) {
        OfferDetails o;
        o.ids = QStringList{coral->id};
        o.from = s("Ito");
        o.to = s(to);
        const Act a = act();
        o.at = a.now;
        const auto offered = offerItems(at(station), a, o);
        EXPECT_TRUE(offered) << (offered ? "" : offered.error().sentence.toStdString());
        return offered ? offered->code : QString();
    };
    const QString toAna = offer("deck", "Ana");
    const QString toBo = offer("lab", "Bo");
    Receipt r;
    r.offer = toAna;
    r.by = s("Ana");
    r.acceptRest = true;
    r.condition = s("intact");
    const Act a = act();
    r.at = a.now;
    ASSERT_OK(receiveItems(at("deck"), a, r));
    exchangeAll();
    expectAllTheSame();
    const auto open = openConflicts(at("van").db());
    ASSERT_OK(open);
    ASSERT_EQ(open->size(), 1u);
    EXPECT_EQ(open->front().about, coral->id + s(": holder"));
    QStringList sides;
    for (const ConflictSide &side : open->front().sides)
        sides << side.says;
    EXPECT_TRUE(sides.join(QLatin1Char(';')).contains(s("Ana")))
        << sides.join(QLatin1Char(';')).toStdString();
    EXPECT_TRUE(sides.join(QLatin1Char(';')).contains(s("Bo"))) << sides.join(QLatin1Char(';')).toStdString();
    // Somebody who sees both takes one back.
    ASSERT_OK(withdrawOffer(at("van"), act(), toBo, s("it went to Ana"), m_now));
    exchangeAll();
    expectAllTheSame();
    EXPECT_TRUE(abouts(at("lab")).isEmpty());
}

TEST_F(Exchange, KnowsWhatEachVerbSets)
{
    const VerbRules all = rules();
    for (auto verb = all.keyBegin(); verb != all.keyEnd(); ++verb)
        EXPECT_TRUE(isKnownToRegisters(*verb)) << verb->toStdString();
}

// The order of the ledger decides, not who heard of it when.
TEST_F(Exchange, AnAnswerOfTheTallyEndsWithWhatAnotherStationDidAfterIt)
{
    const auto tally = [&](const char *station, const char *slot) {
        return tallySlot(at(station), act(), 1, QString::fromLatin1(slot), TallyAnswer::AsLogged, {});
    };
    const auto changedIn = [&](const char *station, const char *slot) {
        const auto lines = readTally(at(station).db(), 1);
        for (const TallyLine &l : lines ? *lines : std::vector<TallyLine>()) {
            if (l.slot.code == QString::fromLatin1(slot))
                return l.answer ? s("answered") : l.changed;
        }
        return s("no such slot");
    };
    ASSERT_OK(log("van", "B1", "octocoral"));
    exchangeAll();
    ASSERT_OK(tally("deck", "B1"));
    ASSERT_OK(tally("deck", "B2"));
    const QString moved = readSamples(at("van").db(), 1)->front().id;
    // The van writes on without knowing of the tally: two entries first, so that these come after it.
    ASSERT_OK(note("van", moved, "pink"));
    ASSERT_OK(note("van", moved, "pink, branched"));
    const auto logged = log("van", "B2", "octocoral");
    ASSERT_OK(logged);
    ASSERT_OK(moveSample(at("van"), act(), moved, s("B3"), s("misread")));
    EXPECT_EQ(changedIn("deck", "B2"), s("answered"));
    exchangeAll();
    expectAllTheSame();
    for (const char *station : {"van", "deck", "lab"}) {
        EXPECT_EQ(changedIn(station, "B1"), moved + s(" was moved out of it")) << station;
        EXPECT_EQ(changedIn(station, "B2"), logged->id + s(" was logged there")) << station;
    }
    ASSERT_OK(tally("lab", "B2"));
    exchangeAll();
    for (const char *station : {"van", "deck", "lab"})
        EXPECT_EQ(changedIn(station, "B2"), s("answered")) << station;
}

// Two stations with the same lamport number and the same time: every reader picks the same one.
TEST_F(Exchange, WhatIsShownOfATieIsWhatEveryReaderShows)
{
    const auto coral = log("van", "B1", "octocoral");
    ASSERT_OK(coral);
    exchangeAll();
    const auto rules = HoldingRules::load();
    ASSERT_OK(rules);
    for (int turn = 0; turn < 4; ++turn) {
        const Act a = act();
        for (const char *station : {"deck", "lab"}) {
            ASSERT_OK(storeItems(at(station), a, {coral->id},
                                 QStringLiteral("%1/%2").arg(s(station)).arg(turn), {}, a.now, *rules));
            ASSERT_OK(preserveItems(
                at(station), a, {coral->id},
                {s(station) == s("deck") ? s("ethanol") : s("frozen"), {}, {}, {}, 1, 1, a.now}, *rules));
        }
        exchangeAll();
        expectAllTheSame();
        const auto open = openConflicts(at("van").db());
        ASSERT_OK(open);
        QString shownPlace;
        for (const Conflict &c : *open) {
            for (const ConflictSide &side : c.sides) {
                if (side.shown && c.about.contains(s("storage place")))
                    shownPlace = side.says;
            }
        }
        for (const char *name : {"van", "deck", "lab"}) {
            const Database &db = at(name).db();
            EXPECT_EQ(readPlace(db, {})->front().place, shownPlace) << name << turn;
            EXPECT_EQ(findItems(db, FindQuery{coral->id, {}, {}, {}, 0, {}}, *rules, m_now)->front().place,
                      shownPlace)
                << name << turn;
            EXPECT_EQ(readPreservedNow(db, coral->id)->value().preservative, s("frozen")) << name << turn;
        }
    }
}

// A place that was written down later for an earlier time is not where it is; the conflict says so too.
TEST_F(Exchange, WhatIsShownOfTwoPlacesIsTheLaterByTime)
{
    const auto coral = log("van", "B1", "octocoral");
    ASSERT_OK(coral);
    exchangeAll();
    const auto rules = HoldingRules::load();
    ASSERT_OK(rules);
    const UtcTime early = act().now;
    const UtcTime late = act().now;
    ASSERT_OK(storeItems(at("deck"), act(), {coral->id}, s("ship/late"), {}, late, *rules));
    ASSERT_OK(storeItems(at("lab"), act(), {coral->id}, s("ship/early"), {}, early, *rules));
    exchangeAll();
    const auto open = openConflicts(at("van").db());
    ASSERT_OK(open);
    ASSERT_EQ(open->size(), 1u);
    EXPECT_EQ(open->front().sides.back().says, s("ship/late"));
    EXPECT_TRUE(open->front().sides.back().shown);
    EXPECT_EQ(readPlace(at("van").db(), {})->front().place, s("ship/late"));
}

TEST_F(Exchange, TheValuesLastAcceptedAreTheSameAsInTheLedgersOrder)
{
    const auto coral = log("van", "B1", "octocoral");
    ASSERT_OK(coral);
    exchangeAll();
    // Two stations accept at one place of the order: the name of the station decides, van after deck.
    for (int round = 1; round <= 6; ++round) {
        ComputedValues values;
        values.dive = 1;
        values.samples.push_back({coral->id, fixOfUnknownMoment(), waterOfUnknownMoment()});
        values.samples.front().fix.latitudeDeg = round;
        ASSERT_OK(acceptValues(at("van"), act(), values, s("the van's")));
        values.samples.front().fix.latitudeDeg = -round;
        ASSERT_OK(acceptValues(at("deck"), act(), values, s("the deck's")));
        exchangeAll();
        expectAllTheSame();
        values.samples.front().fix.latitudeDeg = round;
        const auto compared = compareValues(at("lab").db(), values);
        ASSERT_OK(compared);
        EXPECT_FALSE(compared->differs()) << "round " << round;
    }
}
