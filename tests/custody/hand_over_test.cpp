// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/hand_over.h"

#include "base/ids.h"
#include "custody/custody_audit.h"
#include "custody/custody_book.h"
#include "custody/custody_verbs.h"
#include "custody/drawn_signature.h"
#include "custody/entry_amendment.h"
#include "custody/history.h"
#include "custody/preservation.h"
#include "custody/seals.h"
#include "custody/specimens.h"
#include "custody/tally.h"
#include "ledger/pin_book.h"
#include "support/a_cruise.h"

#include <QJsonArray>

using namespace holdfast;

// Practice: US EPA Region V, Manual of Custody and Non-Custody Sample Handling Procedures, 2nd ed. 1978
// (custodian and basis, seals); that nobody relinquishes to themselves, that "received" is never filled in
// beforehand and that moving within a place is no hand-over is common practice.

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

class HandOvers : public test::WithCruise
{
protected:
    VerbRules rules() const override { return allVerbRules(); }
    void SetUp() override
    {
        WithCruise::SetUp();
        auto loaded = HoldingRules::load();
        ASSERT_OK(loaded);
        m_holding.emplace(std::move(*loaded));
        ASSERT_OK(appointCustodian(file(), act(), 1, s("Ito"), m_now));
        ASSERT_OK(sample(s("R1"), s("basalt")));
        ASSERT_OK(sample(s("B2"), s("coral")));
    }
    OfferDetails offer(const QStringList &ids, const char *from, const char *to)
    {
        OfferDetails d;
        d.ids = ids;
        d.from = s(from);
        d.to = s(to);
        d.at = m_now;
        return d;
    }
    Receipt receipt(const QString &code, const char *by)
    {
        Receipt r;
        r.offer = code;
        r.by = s(by);
        r.acceptRest = true;
        r.condition = s("intact");
        r.at = m_now;
        return r;
    }
    QString given(const QStringList &ids, const char *from, const char *to)
    {
        const Act a = act();
        const auto offered = offerItems(file(), a, offer(ids, from, to));
        EXPECT_TRUE(offered) << (offered ? "" : offered.error().sentence.toStdString());
        return offered ? offered->code : QString();
    }
    void handOver(const QStringList &ids, const char *from, const char *to)
    {
        const QString code = given(ids, from, to);
        const Act a = act();
        ASSERT_OK(receiveItems(file(), a, receipt(code, to)));
    }
    std::string now(const QString &id)
    {
        const auto p = custodyNow(file().db(), id);
        return p ? (p->holder + QLatin1Char('|') + p->basis).toStdString() : p.error().sentence.toStdString();
    }
    std::string refusal(const Result<Offered> &r) { return r ? "offered" : r.error().sentence.toStdString(); }
    Done store(const QString &id, const char *place)
    {
        const Act a = act();
        const auto done = storeItems(file(), a, {id}, s(place), {}, a.now, *m_holding);
        return done ? Done() : Done(done.error());
    }

    std::optional<HoldingRules> m_holding;
    const QString rock = QStringLiteral("TK26-01-001");
    const QString coral = QStringLiteral("TK26-01-002");
};

} // namespace

TEST_F(HandOvers, AreRecordedForBothSidesOrNotAtAll)
{
    const auto entries = [this] {
        const auto all = countEntries(file().db());
        return all ? *all : -1;
    };
    const qint64 before = entries();
    const Act a = act();
    Receipt r = receipt({}, "Ana");
    r.condition = s("as new"); // no word for a condition: the receiver's half does not stand
    EXPECT_FALSE(handOverItems(file(), a, offer({rock}, "Ito", "Ana"), r));
    EXPECT_EQ(entries(), before);
    EXPECT_EQ(now(rock), "Ito|in the vehicle");
    r.condition = s("intact");
    const auto done = handOverItems(file(), a, offer({rock}, "Ito", "Ana"), r);
    ASSERT_OK(done);
    EXPECT_EQ(entries(), before + 2);
    EXPECT_EQ(done->received.accepted, QStringList{rock});
    EXPECT_EQ(now(rock), "Ana|held");
    expectTablesFitTheLedger();
}

TEST_F(HandOvers, KeepADrawnSignatureWithItsChecksumAndRefuseOneThatDoesNotFit)
{
    DrawnSignature drawn;
    QVector<QPoint> stroke;
    for (int i = 0; i < 20; ++i)
        stroke << QPoint(100 + 30 * i, i % 2 ? 80 : 200);
    drawn.strokes << stroke;
    const auto data = drawn.json();
    ASSERT_OK(data);
    const auto again = DrawnSignature::fromJson(*data);
    ASSERT_OK(again);
    EXPECT_TRUE(again->strokes == drawn.strokes);
    OfferDetails d = offer({rock}, "Ito", "Ana");
    QJsonObject changed = *data;
    changed.insert(s("strokes"),
                   QJsonArray{QJsonArray{1, 2, 300, 200, 5, 6, 7, 8, 9, 1, 2, 3, 4, 5, 6, 7, 8, 9}});
    d.confirmation = {s("Ito"), s("drawn"), changed};
    const Act a = act();
    const auto refused = offerItems(file(), a, d);
    ASSERT_FALSE(refused);
    EXPECT_NE(refusal(refused).find("do not fit the checksum"), std::string::npos) << refusal(refused);
    d.confirmation.data = {};
    EXPECT_FALSE(offerItems(file(), a, d)) << "drawn, but nothing was";
    EXPECT_FALSE((DrawnSignature{{{{5, 5}, {6, 6}}}}.json())) << "a dot is no signature";
    d.confirmation.data = *data;
    const auto offered = offerItems(file(), a, d);
    ASSERT_OK(offered);
    const auto known = readHandOver(file().db(), offered->code);
    ASSERT_OK(known);
    EXPECT_TRUE(known->confirmation.value(s("data")).toObject() == *data);
    expectTablesFitTheLedger();
}

TEST_F(HandOvers, CustodyBeginsOnTheSeafloorAndRecoveryIsTheFirstHandOver)
{
    EXPECT_EQ(now(rock), "Ito|in the vehicle");
    const QString code = given({printedId(rock), coral}, "Ito", "Ana");
    EXPECT_EQ(code, s("VAN-1"));
    EXPECT_EQ(custodyNow(file().db(), rock)->state, PeriodState::InTransit);
    EXPECT_EQ(now(rock), "Ito|held") << "until received, who relinquishes answers for it";
    EXPECT_FALSE(store(rock, "ship/lab")) << "not before it is received";
    const Act a = act();
    Receipt r = receipt(code, "Ana");
    r.temperatureC = s("4.5");
    r.basis = s("locked");
    r.place = s("ship/lab 2");
    const auto received = receiveItems(file(), a, r);
    ASSERT_OK(received);
    EXPECT_EQ(received->accepted, (QStringList{rock, coral}));
    EXPECT_TRUE(received->open.isEmpty());
    EXPECT_EQ(now(rock), "Ana|locked");
    ASSERT_OK(store(rock, "ship/lab 2/shelf 3"));
    EXPECT_EQ(custodyNow(file().db(), rock)->place, s("ship/lab 2/shelf 3"));
    EXPECT_EQ(now(rock), "Ana|locked") << "storing is a relocation, not a hand-over";
    const auto book = CustodyBook::readAll(file().db());
    ASSERT_OK(book);
    for (const QString &id : book->ids())
        EXPECT_TRUE(book->chainOf(id).findings.empty()) << id.toStdString();
    expectTablesFitTheLedger();
}

TEST_F(HandOvers, PartialAcceptanceNeedsAReasonForEachRefusedItem)
{
    const QString code = given({rock, coral}, "Ito", "Ana");
    Act a = act();
    Receipt r = receipt(code, "Ana");
    r.acceptRest = false;
    r.refused = {{coral, s(" ")}};
    EXPECT_FALSE(receiveItems(file(), a, r)) << "a reason";
    r.refused.clear();
    EXPECT_FALSE(receiveItems(file(), a, r)) << "received is never pre-filled";
    r.accepted = {rock};
    const auto first = receiveItems(file(), a, r);
    ASSERT_OK(first);
    EXPECT_EQ(first->open, QStringList{coral}) << "still in transit";
    a = act();
    r.accepted = {rock};
    const auto again = receiveItems(file(), a, r);
    ASSERT_FALSE(again);
    EXPECT_TRUE(again.error().sentence.contains(s("answered already")));
    r.accepted.clear();
    r.refused = {{printedId(coral), s("jar leaks")}};
    ASSERT_OK(receiveItems(file(), a, r));
    EXPECT_EQ(now(coral), "Ito|in the vehicle") << "what is refused stays where it was";
    EXPECT_EQ(now(rock), "Ana|held");
    const auto info = readHandOver(file().db(), s("van-1"));
    ASSERT_OK(info);
    EXPECT_EQ(info->accepted, QStringList{rock});
    EXPECT_EQ(info->refused, QStringList{coral});
    EXPECT_TRUE(readHandOvers(file().db(), true)->empty());
    expectTablesFitTheLedger();
}

TEST_F(HandOvers, RefusalsNameTheHolderAndWriteNothing)
{
    const qint64 before = entries();
    const auto say = [&](OfferDetails d) {
        const Act a = act();
        d.at = a.now;
        return refusal(offerItems(file(), a, d));
    };
    EXPECT_NE(say(offer({rock}, "Ito", " ITO")).find("themselves"), std::string::npos);
    EXPECT_NE(say(offer({rock}, "Ben", "Ana")).find("Ito answers for it"), std::string::npos);
    EXPECT_NE(say(offer({s("TK26-01-099")}, "Ito", "Ana")).find("TK26-01-099"), std::string::npos);
    EXPECT_NE(say(offer({s("TK26-01-001*?")}, "Ito", "Ana")).find("check character"), std::string::npos);
    EXPECT_NE(say(offer({rock, rock}, "Ito", "Ana")).find("twice"), std::string::npos);
    EXPECT_NE(say(offer({}, "Ito", "Ana")).find("At least one id"), std::string::npos);
    EXPECT_NE(say(offer({rock}, "Ito", " ")).find("name"), std::string::npos);
    OfferDetails d = offer({rock}, "Ito", "Ana");
    d.basis = s("in my pocket");
    EXPECT_NE(say(d).find("secured area"), std::string::npos);
    d = offer({rock}, "Ito", "Ana");
    d.purpose = s("courier");
    EXPECT_NE(say(d).find("carrier"), std::string::npos);
    d.purpose = s("loan");
    EXPECT_NE(say(d).find("due back"), std::string::npos);
    d = offer({rock}, "Ito", "Ana");
    d.confirmation.by = s("Ben");
    EXPECT_NE(say(d).find("Ito must confirm"), std::string::npos);
    d.confirmation = {s("Ito"), s("nod"), {}};
    EXPECT_NE(say(d).find("typed, pin, drawn"), std::string::npos);
    EXPECT_EQ(entries(), before);

    const QString code = given({rock}, "Ito", "Ana");
    EXPECT_NE(say(offer({rock}, "Ito", "Ben")).find("in transit"), std::string::npos);
    const Act a = act();
    EXPECT_FALSE(receiveItems(file(), a, receipt(code, "Ito"))) << "from themselves";
    EXPECT_FALSE(receiveItems(file(), a, receipt(code, "Ben"))) << "for another";
    Receipt r = receipt(code, "Ana");
    r.condition.clear();
    EXPECT_FALSE(receiveItems(file(), a, r)) << "the condition must be looked at";
    r.condition = s("intact");
    r.at = a.now - std::chrono::hours(1);
    EXPECT_FALSE(receiveItems(file(), a, r)) << "before it was relinquished";
    r.at = a.now + std::chrono::hours(1);
    EXPECT_FALSE(receiveItems(file(), a, r)) << "in the future";
    r.at = a.now;
    r.accepted = {coral};
    EXPECT_FALSE(receiveItems(file(), a, r)) << "not in this hand-over";
    EXPECT_EQ(entries(), before + 1);
}

TEST_F(HandOvers, AWholeBoxAndThePartsGoTogether)
{
    SpecimenDetails d;
    d.material = s("tissue");
    const auto part = splitSpecimen(file(), act(), coral, d);
    ASSERT_OK(part);
    ASSERT_OK(store(rock, "ship/lab/box 1"));
    ASSERT_OK(store(coral, "ship/lab/box 1/row 2"));
    OfferDetails o = offer({}, "Ito", "Ana");
    o.box = s("ship/lab/box 1");
    o.withParts = true;
    Act a = act();
    o.at = a.now;
    const auto offered = offerItems(file(), a, o);
    ASSERT_OK(offered);
    EXPECT_EQ(offered->ids, (QStringList{rock, coral, *part}));
    const Act later = act();
    ASSERT_OK(receiveItems(file(), later, receipt(offered->code, "Ana")));
    EXPECT_EQ(now(*part), "Ana|held");
    o.box = s("ship/lab/box 9");
    o.from = s("Ana");
    o.to = s("Ben");
    EXPECT_NE(refusal(offerItems(file(), later, o)).find("Nothing is stored at"), std::string::npos);
    expectTablesFitTheLedger();
}

TEST_F(HandOvers, APartHasItsOwnChainFromTheSplitOn)
{
    handOver({coral}, "Ito", "Ana");
    SpecimenDetails d;
    d.material = s("tissue");
    const auto part = splitSpecimen(file(), act(), coral, d);
    ASSERT_OK(part);
    handOver({coral}, "Ana", "Ben");
    EXPECT_EQ(now(coral), "Ben|held");
    EXPECT_EQ(now(*part), "Ana|held");
}

TEST_F(HandOvers, APartListedItselfCountsOnceThoughItsSplitWasWrittenDownLater)
{
    const UtcTime split = act().now;
    const UtcTime offered = act().now;
    const UtcTime received = act().now;
    const UtcTime after = act().now;
    SpecimenDetails d;
    d.material = s("tissue");
    const auto listed = splitSpecimen(file(), act(), coral, d);
    const auto unlisted = splitSpecimen(file(), act(), coral, d);
    d.at = split;
    const auto stated = splitSpecimen(file(), act(), coral, d);
    ASSERT_OK(listed);
    ASSERT_OK(unlisted);
    ASSERT_OK(stated);
    OfferDetails o = offer({coral, *listed}, "Ito", "Ana");
    o.at = offered;
    const auto code = offerItems(file(), act(), o);
    ASSERT_OK(code);
    Receipt r = receipt(code->code, "Ana");
    r.at = received;
    ASSERT_OK(receiveItems(file(), act(), r));
    const auto book = CustodyBook::readAll(file().db());
    ASSERT_OK(book);
    for (const QString &id : {coral, *listed, *unlisted, *stated}) {
        for (const CustodyFinding &f : book->chainOf(id).findings)
            ADD_FAILURE() << id.toStdString() << ": " << f.sentence.toStdString();
    }
    EXPECT_EQ(now(*listed), "Ana|held");
    EXPECT_EQ(now(*unlisted), "Ana|held") << "it follows its parent until it was split off";
    EXPECT_EQ(now(*stated), "Ito|in the vehicle") << "it was split off before its parent was handed over";
    const CustodyChain chain = book->chainOf(*listed);
    const CustodyPeriod *then = chain.at(after);
    ASSERT_NE(then, nullptr);
    EXPECT_EQ(then->holder, s("Ana"));
    expectTablesFitTheLedger();
}

TEST_F(HandOvers, WhatWasOfferedBeforeItWasCollectedIsRefusedWithASentenceAlsoWithoutACustodian)
{
    ASSERT_OK(planDive(file(), act(), 2, s("Deep vehicle"), *readTemplate(s("loadouts"), s("demo"))));
    SampleDetails details;
    details.slot = s("R1");
    details.kind = s("basalt");
    const UtcTime early = act().now;
    const Act later = act();
    const auto logged = stampSample(file(), later, 2, later.now, details, m_kinds);
    ASSERT_OK(logged);
    OfferDetails o = offer({logged->id}, "Ito", "Ana");
    o.at = early;
    const std::string said = refusal(offerItems(file(), act(), o));
    EXPECT_NE(said.find("which is after"), std::string::npos) << said;
    EXPECT_EQ(said.find("  "), std::string::npos) << said;
}

TEST_F(HandOvers, LoansCouriersAndReturns)
{
    OfferDetails d = offer({rock}, "Ito", "Dr. Weiss");
    d.purpose = s("courier");
    d.carrier = s("Invented Freight");
    d.tracking = s("WB 4711");
    d.basis = s("sealed");
    Act a = act();
    d.at = a.now;
    const auto sent = offerItems(file(), a, d);
    ASSERT_OK(sent);
    EXPECT_EQ(now(rock), "Invented Freight|sealed") << "the carrier answers for the package";
    a = act();
    ASSERT_OK(receiveItems(file(), a, receipt(sent->code, "Dr. Weiss")));
    d = offer({rock}, "Dr. Weiss", "Eva");
    d.purpose = s("loan");
    a = act();
    d.at = a.now;
    d.dueBack = a.now + std::chrono::hours(24 * 30);
    const auto lent = offerItems(file(), a, d);
    ASSERT_OK(lent);
    a = act();
    ASSERT_OK(receiveItems(file(), a, receipt(lent->code, "Eva")));
    EXPECT_EQ(readHandOver(file().db(), lent->code)->dueBack, d.dueBack);
    expectTablesFitTheLedger();
}

TEST_F(HandOvers, WithdrawnClaimedAndEnded)
{
    const QString code = given({rock, coral}, "Ito", "Ana");
    Act a = act();
    ASSERT_OK(withdrawOffer(file(), a, code, s("wrong list"), a.now));
    EXPECT_EQ(now(rock), "Ito|in the vehicle");
    EXPECT_FALSE(withdrawOffer(file(), a, code, s("again"), a.now));
    Claim claim{{rock}, s("Ben"), s("held"), {}, s(""), a.now, {}};
    EXPECT_FALSE(claimItems(file(), a, claim)) << "a reason";
    claim.reason = s("found on the bench after the watch change");
    a = act();
    claim.at = a.now;
    ASSERT_OK(claimItems(file(), a, claim));
    EXPECT_EQ(now(rock), "Ben|held");
    EXPECT_FALSE(claimItems(file(), a, claim)) << "has it already";
    a = act();
    CustodyEnd end{{rock}, s("consumed"), s("Ana"), {}, s("dissolved for assay"), a.now, {}};
    EXPECT_FALSE(endCustody(file(), a, end)) << "Ben has it";
    end.by = s("Ben");
    ASSERT_OK(endCustody(file(), a, end));
    EXPECT_EQ(now(rock), "|consumed");
    EXPECT_FALSE(store(rock, "ship/lab"));
    end.how = s("deposited");
    end.ids = {coral};
    end.by = s("Ito");
    EXPECT_FALSE(endCustody(file(), a, end)) << "where";
    end.place = s("museum/cabinet 4");
    a = act();
    end.at = a.now;
    ASSERT_OK(endCustody(file(), a, end));
    const auto book = CustodyBook::readAll(file().db());
    ASSERT_OK(book);
    const auto chain = book->chainOf(rock);
    ASSERT_EQ(chain.findings.size(), 1u);
    EXPECT_TRUE(chain.findings.front().explained);
    EXPECT_TRUE(chain.findings.front().sentence.contains(s("watch change")));
    expectTablesFitTheLedger();
}

TEST_F(HandOvers, ACodeIsNeverGivenAgainAlsoWhenItsOfferIsHeldBack)
{
    const QString first = given({rock}, "Ito", "Ana");
    // As after an exchange, when another station's entry forbids this one: no row, but the code is on paper.
    const auto held = [&](const char *sql) { ASSERT_OK(execSql(file().db().connection(), s(sql), {first})); };
    held("INSERT INTO held_back SELECT entry, 'another station' FROM hand_over WHERE code=?");
    held("DELETE FROM custody_event WHERE offer=(SELECT offer FROM hand_over WHERE code=?)");
    held("DELETE FROM hand_over WHERE code=?");
    const QString second = given({coral}, "Ito", "Ana");
    EXPECT_NE(second, first);
}

TEST_F(HandOvers, WhatIsNotAtHandDoesNotKeepABoxBack)
{
    ASSERT_OK(sample(s("B3"), s("sponge")));
    const QString sponge = s("TK26-01-003");
    for (const QString &id : {rock, coral, sponge})
        ASSERT_OK(store(id, "ship/freezer A"));
    Act a = act();
    CustodyEnd end;
    end.ids = QStringList{coral};
    end.how = s("consumed");
    end.by = s("Ito");
    end.reason = s("for the barcode");
    end.at = a.now;
    ASSERT_OK(endCustody(file(), a, end));
    ASSERT_OK(setSampleState(file(), act(), sponge, s("lost"), s("tipped over")));
    a = act();
    const auto sealed = applySeal(file(), a, {s("CS-7"), {}, s("ship/freezer A"), {}, a.now});
    ASSERT_OK(sealed);
    EXPECT_EQ(sealed->ids, QStringList{rock});
    ASSERT_EQ(sealed->leftOut.size(), 2);
    EXPECT_TRUE(sealed->leftOut.join(QLatin1Char(' ')).contains(s("TK26-01-002 is consumed")))
        << sealed->leftOut.join(QLatin1Char(' ')).toStdString();
    EXPECT_TRUE(sealed->leftOut.join(QLatin1Char(' ')).contains(s("TK26-01-003 is lost")));
    OfferDetails box = offer({}, "Ito", "Ana");
    box.box = s("ship/freezer A");
    a = act();
    const auto offered = offerItems(file(), a, box);
    ASSERT_OK(offered);
    EXPECT_EQ(offered->ids, QStringList{rock});
    EXPECT_EQ(offered->leftOut.size(), 2);
    // Chosen one by one it is refused as ever; and of nothing there is no offer.
    EXPECT_FALSE(offerItems(file(), act(), offer({coral}, "Ito", "Ana")));
    box.at = m_now;
    const auto none = offerItems(file(), act(), box);
    ASSERT_FALSE(none);
    EXPECT_TRUE(none.error().sentence.contains(s("Nothing that is stored at ship/freezer A is at hand")))
        << none.error().sentence.toStdString();
    expectTablesFitTheLedger();
}

TEST_F(HandOvers, ATableThatHasATextInThePlaceOfNothingDoesNotFitTheLedger)
{
    ASSERT_OK(sample({}, s("sponge"))); // lies in no slot
    ASSERT_OK(execSql(file().db().connection(), s("PRAGMA foreign_keys=OFF")));
    for (const char *text : {"char(30)", "'null'", "''"}) {
        ASSERT_OK(execSql(file().db().connection(),
                          s("UPDATE sample SET slot=%1 WHERE id='TK26-01-003'").arg(s(text))));
        const auto differ = compareTablesWithLedger(file().db(), rules());
        ASSERT_OK(differ);
        EXPECT_FALSE(differ->isEmpty()) << text;
    }
    ASSERT_OK(execSql(file().db().connection(), s("UPDATE sample SET slot=NULL WHERE id='TK26-01-003'")));
    expectTablesFitTheLedger();
}

TEST_F(HandOvers, SealsAreUniqueLookedAtAndBrokenWithAReason)
{
    Act a = act();
    ASSERT_OK(applySeal(file(), a, {s("cs-0101"), {rock, coral}, {}, s("for transport"), a.now}));
    EXPECT_FALSE(applySeal(file(), a, {s("CS-0101"), {coral}, {}, {}, a.now})) << "used";
    EXPECT_FALSE(applySeal(file(), a, {s("CS 1"), {coral}, {}, {}, a.now}));
    const QString code = given({rock, coral}, "Ito", "Ana");
    a = act();
    Receipt r = receipt(code, "Ana");
    const auto blind = receiveItems(file(), a, r);
    ASSERT_FALSE(blind);
    EXPECT_TRUE(blind.error().sentence.contains(s("CS-0101"))) << blind.error().sentence.toStdString();
    r.sealsIntact = {s("CS-0101")};
    ASSERT_OK(receiveItems(file(), a, r));
    a = act();
    EXPECT_FALSE(breakSeal(file(), a, s("CS-0101"), {}, a.now)) << "a reason";
    ASSERT_OK(breakSeal(file(), a, s("CS-0101"), s("to split"), a.now));
    EXPECT_FALSE(breakSeal(file(), a, s("CS-0101"), s("again"), a.now));
    EXPECT_FALSE(inspectSeal(file(), a, s("CS-0101"), SealSight::Intact, {}, a.now))
        << "can't be whole again";
    EXPECT_FALSE(readSeal(file().db(), s("CS-9999")));
    SpecimenDetails d;
    d.material = s("tissue");
    ASSERT_OK(splitSpecimen(file(), act(), coral, d));
    const auto book = CustodyBook::readAll(file().db());
    ASSERT_OK(book);
    EXPECT_TRUE(book->chainOf(coral).findings.empty());
    expectTablesFitTheLedger();
}

TEST_F(HandOvers, ASealBrokenWithoutARecordIsAFinding)
{
    Act a = act();
    ASSERT_OK(applySeal(file(), a, {s("CS-1"), {coral}, {}, {}, a.now}));
    ASSERT_OK(applySeal(file(), a, {s("CS-2"), {rock}, {}, {}, a.now}));
    SpecimenDetails d;
    d.material = s("tissue");
    ASSERT_OK(splitSpecimen(file(), act(), coral, d));
    a = act();
    ASSERT_OK(inspectSeal(file(), a, s("CS-2"), SealSight::Broken, s("hangs open"), a.now));
    const auto book = CustodyBook::readAll(file().db());
    ASSERT_OK(book);
    for (const QString &id : {rock, coral}) {
        const auto chain = book->chainOf(id);
        ASSERT_EQ(chain.findings.size(), 1u) << id.toStdString();
        EXPECT_EQ(chain.findings.front().what, CustodyFinding::What::Seal);
    }
}

TEST_F(HandOvers, AnyFieldIsAmendedWithAReasonAndTheEarlierValueStays)
{
    ASSERT_OK(store(rock, "ship/lab 1"));
    Preservative p;
    p.name = s("formalin");
    p.percent = s("10");
    p.base = s("formalin");
    Act a = act();
    p.at = a.now;
    ASSERT_OK(preserveItems(file(), a, {coral}, p, *m_holding));
    handOver({rock}, "Ito", "Ana");
    const auto last = [&](const QString &verb) {
        auto row = query(file().db().connection(),
                         s("SELECT station || ' ' || seq FROM ledger WHERE verb=? ORDER BY seq DESC LIMIT 1"),
                         {verb});
        return row && row->next() ? row->text(0) : QString();
    };
    const QString stored = last(verb::itemStored);
    ASSERT_OK(amendEntry(file(), act(), stored, s("place"), s("ship/lab 2"), s("misread the door")));
    EXPECT_EQ(readStorage(file().db(), rock)->back().place, s("ship/lab 2"));
    const auto entry = readEntry(file().db(), stored);
    ASSERT_OK(entry);
    const auto changes = readEntryAmendments(file().db(), entry->uuid);
    ASSERT_OK(changes);
    ASSERT_EQ(changes->size(), 1u);
    EXPECT_EQ(changes->front().oldValue, s("ship/lab 1"));
    EXPECT_EQ(changes->front().reason, s("misread the door"));
    ASSERT_OK(amendEntry(file(), act(), last(verb::itemPreserved), s("percent"), s("5"), s("diluted")));
    EXPECT_EQ(readPreservations(file().db(), coral)->back().formaldehydePercent, s("1.85"))
        << "both ways of counting, 37 % stock: 5 x 0.37";
    ASSERT_OK(amendEntry(file(), act(), last(verb::handOverAnswered), s("condition"), s("thawed"),
                         s("looked again")));
    EXPECT_FALSE(
        amendEntry(file(), act(), last(verb::handOverAnswered), s("condition"), s("fine"), s("why")));
    EXPECT_FALSE(amendEntry(file(), act(), last(verb::handOverAnswered), s("receiver"), s("Ben"), s("why")));
    EXPECT_FALSE(amendEntry(file(), act(), stored, s("place"), s("ship/lab 3"), s(" ")));
    EXPECT_FALSE(amendEntry(file(), act(), s("van 99999"), s("place"), s("x"), s("why")));
    EXPECT_FALSE(amendEntry(file(), act(), s("van 1"), s("place"), s("x"), s("why")))
        << "the cruise's own entry";
    for (const QString &verb : file().rules().keys()) {
        for (const QString &field : amendableFields(verb))
            EXPECT_FALSE(field.isEmpty());
    }
    expectTablesFitTheLedger();
}

TEST_F(HandOvers, ACorrectedValueIsOneLineAndItsTimeIsPossible)
{
    ASSERT_OK(store(rock, "ship/lab 1"));
    auto row = query(file().db().connection(),
                     s("SELECT station || ' ' || seq FROM ledger WHERE verb=? ORDER BY seq DESC LIMIT 1"),
                     {verb::itemStored});
    ASSERT_OK(row);
    ASSERT_TRUE(row->next());
    const QString stored = row->text(0);
    row->reset();
    for (const char *wrong : {"2050-01-01T00:00:00Z", "1926-03-12T00:00:00Z"})
        EXPECT_FALSE(amendEntry(file(), act(), stored, s("time"), s(wrong), s("why"))) << wrong;
    EXPECT_FALSE(amendEntry(file(), act(), stored, s("place"), s("ship/lab\n2"), s("why")));
    EXPECT_FALSE(amendEntry(file(), act(), stored, s("place"), QString(5000, QLatin1Char('x')), s("why")));
    expectTablesFitTheLedger();
}

TEST_F(HandOvers, WhatAnotherEnteredIsKeptAsNotConfirmed)
{
    const Act mallory{s("Mallory"), act().now};
    OfferDetails d = offer({rock}, "Ito", "Ana");
    d.at = mallory.now;
    const auto offered = offerItems(file(), mallory, d);
    ASSERT_OK(offered);
    const auto known = readHandOver(file().db(), offered->code);
    ASSERT_OK(known);
    EXPECT_EQ(known->confirmation.value(s("means")).toString(), s("none"));
    EXPECT_EQ(known->confirmation.value(s("by")).toString(), s("Mallory"));
    const Act ana{s(" ana "), act().now};
    Receipt r = receipt(offered->code, "Ana");
    r.at = ana.now;
    ASSERT_OK(receiveItems(file(), ana, r));
    const auto history = readHistory(file().db(), rock);
    ASSERT_OK(history);
    QStringList told;
    for (const HistoryLine &line : history->lines)
        told << line.sentence;
    const QString all = told.join(QLatin1Char('\n'));
    EXPECT_TRUE(all.contains(s("entered by Mallory for Ito, not confirmed by Ito"))) << all.toStdString();
    EXPECT_TRUE(all.contains(s("confirmed by Ana (typed)"))) << all.toStdString();
    const auto audit = auditCustody(file().db(), *m_holding, act().now);
    ASSERT_OK(audit);
    QStringList remarks;
    for (const CustodyNote &note : audit->remarks) {
        if (note.kind == s("not confirmed"))
            remarks << note.sentence;
    }
    ASSERT_EQ(remarks.size(), 1) << remarks.join(QLatin1Char('\n')).toStdString();
    EXPECT_TRUE(remarks.front().contains(s("entered by Mallory for Ito"))) << remarks.front().toStdString();
    expectTablesFitTheLedger();
}

TEST_F(HandOvers, WhoHasAPinHereUsesItOrAReasonIsKept)
{
    auto key = query(file().db().connection(), s("SELECT public_key FROM station"));
    ASSERT_OK(key);
    ASSERT_TRUE(key->next());
    auto book = PinBook::open(key->text(0));
    key->reset();
    ASSERT_OK(book);
    ASSERT_OK(book->set(s("Ito"), s("4711"), {}, act().now));
    const Act ito{s("ito"), act().now};
    OfferDetails d = offer({rock}, "Ito", "Ana");
    d.at = ito.now;
    const auto refused = offerItems(file(), ito, d);
    ASSERT_FALSE(refused);
    EXPECT_TRUE(refused.error().sentence.contains(s("has set a PIN"))) << refusal(refused);
    d.confirmation.withoutPin = s("wet gloves");
    const auto offered = offerItems(file(), ito, d);
    ASSERT_OK(offered);
    EXPECT_EQ(readHandOver(file().db(), offered->code)->confirmation.value(s("withoutPin")).toString(),
              s("wet gloves"));
    ASSERT_OK(withdrawOffer(file(), act(), offered->code, s("again"), act().now));
    d.confirmation = {s("Ito"), s("pin"), {}, {}};
    d.at = act().now;
    EXPECT_TRUE(offerItems(file(), {s("Ito"), d.at}, d));
}

TEST_F(HandOvers, AnOverdueLoanIsToldHoweverTheBorrowersNameIsSpelt)
{
    OfferDetails d = offer({rock}, "Ito", "Ana");
    d.purpose = s("loan");
    d.dueBack = d.at + std::chrono::hours(1);
    const Act a = act();
    d.at = a.now;
    const auto lent = offerItems(file(), a, d);
    ASSERT_OK(lent);
    const Act b = act();
    Receipt r = receipt(lent->code, "ana");
    r.at = b.now;
    ASSERT_OK(receiveItems(file(), b, r));
    const auto audit = auditCustody(file().db(), *m_holding, m_now + std::chrono::hours(48));
    ASSERT_OK(audit);
    EXPECT_TRUE(std::any_of(audit->remarks.begin(), audit->remarks.end(),
                            [](const CustodyNote &n) { return n.kind == s("overdue"); }));
}

TEST_F(HandOvers, WhatWasLostByMistakeIsAgainWithWhoHadItBefore)
{
    const QString rock = s("TK26-01-001");
    ASSERT_OK(setSampleState(file(), act(), rock, s("lost"), s("slipped")));
    ASSERT_OK(setSampleState(file(), act(), rock, s("held"), s("taken back: the wrong key")));
    const auto now = custodyNow(file().db(), rock);
    ASSERT_OK(now);
    EXPECT_EQ(now->holder, s("Ito")) << "Mara only wrote it down";
    EXPECT_EQ(now->state, PeriodState::InVehicle);
    ASSERT_OK(offerItems(file(), act(), offer({rock}, "Ito", "Ana"))); // the custodian can hand it over
    expectTablesFitTheLedger();
}
