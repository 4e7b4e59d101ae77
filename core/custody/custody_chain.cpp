// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/custody_chain.h"

#include "custody/custody_words.h"

#include <QHash>
#include <QSet>
#include <algorithm>
#include <tuple>

namespace holdfast
{

namespace
{

using What = CustodyEvent::What;
using Found = CustodyFinding::What;

/// Walks the events of one specimen and keeps the period that is open.
class Walk
{
public:
    explicit Walk(const std::vector<CustodyEvent> &events)
    {
        for (const CustodyEvent &e : events) {
            if (e.what == What::Offered && !m_offers.contains(e.offer))
                m_offers.insert(e.offer, {&e, Answer::Open, {}, false, {}});
        }
    }

    void take(const CustodyEvent &e)
    {
        switch (e.what) {
        case What::Begun:
            begin(e);
            break;
        case What::Offered:
            offered(e);
            break;
        case What::Accepted:
            accepted(e);
            break;
        case What::Refused:
        case What::Withdrawn:
            givenBack(e);
            break;
        case What::Claimed:
            claimed(e);
            break;
        case What::Appointed:
            appointed(e);
            break;
        case What::Secured:
        case What::Moved:
        case What::Handled:
            handled(e);
            break;
        case What::Ended:
            ended(e);
            break;
        case What::Again:
            again(e);
            break;
        case What::SealApplied:
        case What::SealIntact:
        case What::SealBroken:
        case What::SealFound:
            seal(e);
            break;
        }
    }

    CustodyChain result() { return std::move(m_chain); }

private:
    enum class Answer { Open, Accepted, Refused, Withdrawn };
    struct Offer {
        const CustodyEvent *event;
        Answer answer;
        QString by;
        bool begun = false;
        CustodyPeriod before{};
    };

    [[nodiscard]] const CustodyPeriod *now() const { return m_chain.last(); }
    [[nodiscard]] bool over() const { return now() && now()->state == PeriodState::Ended; }
    [[nodiscard]] QString holder() const { return now() ? now()->holder : QString(); }

    void find(Found what, const CustodyEvent &e, const QString &sentence, bool explained = false)
    {
        m_chain.findings.push_back({what, e.at, e.ref, sentence, explained});
    }

    void open(CustodyPeriod period, const CustodyEvent &e)
    {
        period.from = e.at;
        period.to.reset();
        period.ref = e.ref;
        if (!m_chain.periods.empty()) {
            m_chain.periods.back().to = e.at;
            // A period without length says nothing about who had it at any instant.
            if (m_chain.periods.back().from == e.at)
                m_chain.periods.pop_back();
        }
        m_chain.periods.push_back(std::move(period));
    }

    void begin(const CustodyEvent &e)
    {
        if (e.holder.isEmpty()) {
            find(Found::Gap, e, QStringLiteral("nobody was appointed to answer for it on the vehicle"));
            open({PeriodState::Nobody, {}, e.basis, e.place, {}, {}, {}, {}}, e);
            return;
        }
        const auto state = e.basis == basisInVehicle ? PeriodState::InVehicle : PeriodState::Held;
        open({state, e.holder, e.basis, e.place, {}, {}, {}, {}}, e);
    }

    /// Who answers on the vehicle changed; afterwards a hand-over is needed.
    void appointed(const CustodyEvent &e)
    {
        if (!now() || (now()->state != PeriodState::InVehicle && now()->state != PeriodState::Nobody))
            return;
        CustodyPeriod next = *now();
        next.state = PeriodState::InVehicle;
        next.holder = e.holder;
        open(next, e);
    }

    /// True when nothing more can happen to it; says so.
    bool gone(const CustodyEvent &e, const QString &done)
    {
        if (!over())
            return false;
        find(Found::AfterEnd, e,
             QStringLiteral("%1 at %2, after it was %3").arg(done, toIso(e.at), now()->basis));
        return true;
    }

    void offered(const CustodyEvent &e)
    {
        Offer &offer = m_offers[e.offer];
        if (offer.event != &e) {
            find(Found::Overlap, e, QStringLiteral("the same hand-over was offered twice"));
            return;
        }
        if (offer.answer != Answer::Open)
            return; // its answer came first and has said so
        offer.begun = true;
        if (gone(e, QStringLiteral("offered")))
            return;
        if (now() && now()->state == PeriodState::InTransit) {
            const Offer &other = m_offers[now()->offer];
            find(Found::Overlap, e,
                 QStringLiteral("%1 offered it to %2 while it was offered to %3")
                     .arg(e.holder, e.other, other.event->other));
            offer.before = other.before;
        } else {
            if (now())
                offer.before = *now();
            if (!holder().isEmpty() && !samePerson(holder(), e.holder))
                find(Found::Mismatch, e,
                     QStringLiteral("%1 relinquished it, but %2 had it").arg(e.holder, holder()));
        }
        if (samePerson(e.holder, e.other))
            find(Found::Mismatch, e, QStringLiteral("%1 relinquished it to themselves").arg(e.holder));
        open({PeriodState::InTransit,
              e.carrier.isEmpty() ? e.holder : e.carrier,
              e.basis,
              e.place,
              e.offer,
              {},
              {},
              {}},
             e);
    }

    void accepted(const CustodyEvent &e)
    {
        if (gone(e, QStringLiteral("received by %1").arg(e.holder)))
            return;
        const auto known = m_offers.find(e.offer);
        if (known == m_offers.end()) {
            find(Found::Mismatch, e,
                 QStringLiteral("%1 received it, but nobody had relinquished it").arg(e.holder));
        } else if (known->answer == Answer::Accepted) {
            find(Found::Overlap, e,
                 QStringLiteral("received by %1, and before that by %2").arg(e.holder, known->by));
        } else if (known->answer != Answer::Open) {
            find(Found::Overlap, e,
                 QStringLiteral("received by %1 after the hand-over was %2")
                     .arg(e.holder, known->answer == Answer::Refused ? QStringLiteral("refused")
                                                                     : QStringLiteral("withdrawn")));
        } else {
            if (!known->begun)
                find(Found::Order, e,
                     QStringLiteral("received by %1 at %2, before it was relinquished at %3")
                         .arg(e.holder, toIso(e.at), toIso(known->event->at)));
            else if (now() && (now()->state != PeriodState::InTransit || now()->offer != e.offer))
                find(Found::Overlap, e,
                     QStringLiteral("received by %1 while %2 had it").arg(e.holder, holder()));
            if (!samePerson(known->event->other, e.holder))
                find(Found::Mismatch, e,
                     QStringLiteral("received by %1, but relinquished to %2")
                         .arg(e.holder, known->event->other));
            if (samePerson(known->event->holder, e.holder) &&
                !samePerson(known->event->holder, known->event->other))
                find(Found::Mismatch, e, QStringLiteral("%1 received it from themselves").arg(e.holder));
            known->answer = Answer::Accepted;
            known->by = e.holder;
        }
        for (const QString &seal : m_chain.seals) {
            if (m_sealSeen.value(seal) != e.ref)
                find(Found::Seal, e,
                     QStringLiteral("seal %1 was not looked at when %2 received it").arg(seal, e.holder));
        }
        open({PeriodState::Held, e.holder, e.basis, e.place, {}, {}, {}, {}}, e);
    }

    void givenBack(const CustodyEvent &e)
    {
        const bool refused = e.what == What::Refused;
        const QString word = refused ? QStringLiteral("refused") : QStringLiteral("withdrawn");
        const auto known = m_offers.find(e.offer);
        if (known == m_offers.end()) {
            find(Found::Mismatch, e, QStringLiteral("%1, but nobody had relinquished it").arg(word));
            return;
        }
        if (known->answer != Answer::Open) {
            if (known->answer == Answer::Accepted)
                find(Found::Overlap, e, QStringLiteral("%1 after %2 had received it").arg(word, known->by));
            return;
        }
        known->answer = refused ? Answer::Refused : Answer::Withdrawn;
        if (!known->begun) {
            find(Found::Order, e, QStringLiteral("%1 before it was relinquished").arg(word));
            return;
        }
        if (now() && now()->state == PeriodState::InTransit && now()->offer == e.offer)
            open(known->before, e);
    }

    void claimed(const CustodyEvent &e)
    {
        if (over())
            find(Found::Gap, e,
                 QStringLiteral("%1 since %2, taken up again by %3: %4")
                     .arg(now()->basis, toIso(now()->from), e.holder, e.reason),
                 true);
        else if (holder().isEmpty())
            find(Found::Gap, e, QStringLiteral("taken up by %1: %2").arg(e.holder, e.reason), true);
        else if (!samePerson(holder(), e.holder))
            find(Found::Mismatch, e,
                 QStringLiteral("taken by %1 from %2 without a hand-over: %3")
                     .arg(e.holder, holder(), e.reason),
                 true);
        if (now() && now()->state == PeriodState::InTransit)
            m_offers[now()->offer].answer = Answer::Withdrawn;
        open({PeriodState::Held, e.holder, e.basis, e.place, {}, {}, {}, {}}, e);
    }

    void handled(const CustodyEvent &e)
    {
        const QString done = e.what == What::Moved     ? QStringLiteral("stored at %1").arg(e.place)
                             : e.what == What::Secured ? QStringLiteral("secured (%1)").arg(e.basis)
                                                       : e.reason;
        if (gone(e, done))
            return;
        if (now() && now()->state == PeriodState::InTransit)
            find(Found::InTransit, e,
                 QStringLiteral("%1 while in transit from %2 to %3, before it was received")
                     .arg(done, m_offers[now()->offer].event->holder, m_offers[now()->offer].event->other));
        if (e.what == What::Handled) {
            for (const QString &seal : m_chain.seals)
                find(Found::Seal, e,
                     QStringLiteral("%1 under seal %2, which nobody recorded as broken").arg(done, seal));
            return;
        }
        if (!now() || now()->state == PeriodState::InTransit)
            return;
        CustodyPeriod next = *now();
        if (next.state == PeriodState::InVehicle) {
            next.state = PeriodState::Held;
            next.basis = QStringLiteral("held"); // it is out of the vehicle once it is stored somewhere
        }
        if (!e.place.isEmpty())
            next.place = e.place;
        if (!e.basis.isEmpty())
            next.basis = e.basis;
        open(next, e);
    }

    void ended(const CustodyEvent &e)
    {
        if (gone(e, e.reason))
            return;
        const QString answers =
            now() && now()->state == PeriodState::InTransit ? m_offers[now()->offer].event->holder : holder();
        if (!e.holder.isEmpty() && !answers.isEmpty() && !samePerson(answers, e.holder) &&
            !samePerson(holder(), e.holder))
            find(Found::Mismatch, e,
                 QStringLiteral("%1 by %2, but %3 had it").arg(e.reason, e.holder, answers));
        m_beforeEnd.reset();
        if (now())
            m_beforeEnd = now()->state == PeriodState::InTransit ? m_offers[now()->offer].before : *now();
        if (now() && now()->state == PeriodState::InTransit)
            m_offers[now()->offer].answer = Answer::Withdrawn;
        open({PeriodState::Ended, {}, e.reason, e.place, {}, {}, {}, {}}, e);
    }

    /// Whoever says that it is not lost after all did not receive it by that.
    void again(const CustodyEvent &e)
    {
        if (!over() || !m_beforeEnd)
            return;
        find(Found::Gap, e,
             QStringLiteral("%1 since %2, held again, as %3 recorded: %4")
                 .arg(now()->basis, toIso(now()->from), e.holder, e.reason),
             true);
        open(*m_beforeEnd, e);
    }

    void seal(const CustodyEvent &e)
    {
        const bool inForce = m_chain.seals.contains(e.seal);
        switch (e.what) {
        case What::SealApplied:
            if (m_sealsUsed.contains(e.seal))
                find(Found::Seal, e, QStringLiteral("seal %1 was used before").arg(e.seal));
            if (gone(e, QStringLiteral("sealed with %1").arg(e.seal)))
                return;
            m_sealsUsed.insert(e.seal);
            m_chain.seals.insert(e.seal);
            break;
        case What::SealIntact:
            m_sealSeen.insert(e.seal, e.ref);
            if (!inForce)
                find(Found::Seal, e,
                     m_sealsUsed.contains(e.seal)
                         ? QStringLiteral("seal %1 was found whole, but had been broken").arg(e.seal)
                         : QStringLiteral("seal %1 was found, but nobody recorded applying it").arg(e.seal));
            break;
        case What::SealBroken:
            m_chain.seals.erase(e.seal);
            break;
        default:
            m_sealSeen.insert(e.seal, e.ref);
            if (inForce)
                find(Found::Seal, e,
                     QStringLiteral("seal %1 was found broken, and nobody recorded breaking it").arg(e.seal));
            m_chain.seals.erase(e.seal);
            break;
        }
    }

    CustodyChain m_chain;
    std::optional<CustodyPeriod> m_beforeEnd; ///< who had it until it ended
    QHash<QString, Offer> m_offers;
    QSet<QString> m_sealsUsed;
    QHash<QString, QString> m_sealSeen; ///< seal: the entry that last looked at it
};

/// Seals are looked at before what they close is received; a beginning comes first of all.
int rankOf(What what)
{
    switch (what) {
    case What::Begun:
        return 0;
    case What::SealIntact:
    case What::SealFound:
    case What::SealBroken:
        return 1;
    default:
        return 2;
    }
}

bool earlier(const CustodyEvent &a, const CustodyEvent &b)
{
    return std::make_tuple(a.at, a.order, rankOf(a.what)) < std::make_tuple(b.at, b.order, rankOf(b.what));
}

} // namespace

QString findingWord(CustodyFinding::What what)
{
    switch (what) {
    case Found::Gap:
        return QStringLiteral("gap");
    case Found::Overlap:
        return QStringLiteral("overlap");
    case Found::Mismatch:
        return QStringLiteral("holder");
    case Found::Order:
        return QStringLiteral("order of time");
    case Found::Seal:
        return QStringLiteral("seal");
    case Found::AfterEnd:
        return QStringLiteral("after the end");
    case Found::InTransit:
        return QStringLiteral("in transit");
    }
    return {};
}

const CustodyPeriod *CustodyChain::at(UtcTime t) const
{
    const auto after = std::upper_bound(periods.begin(), periods.end(), t,
                                        [](UtcTime time, const CustodyPeriod &p) { return time < p.from; });
    return after == periods.begin() ? nullptr : &*(after - 1);
}

CustodyChain custodyChain(std::vector<CustodyEvent> events)
{
    std::stable_sort(events.begin(), events.end(), earlier);
    Walk walk(events);
    for (const CustodyEvent &e : events)
        walk.take(e);
    CustodyChain chain = walk.result();
    return chain;
}

std::vector<CustodyEvent> eventsOfPart(const std::vector<CustodyEvent> &parent, UtcTime split, int splitOrder,
                                       std::vector<CustodyEvent> own)
{
    QSet<QString> ownOffers;
    std::set<std::tuple<QString, What, QString>> ownActs;
    for (const CustodyEvent &e : own) {
        if (!e.offer.isEmpty())
            ownOffers.insert(e.offer);
        ownActs.emplace(e.ref, e.what, e.seal);
    }
    std::vector<CustodyEvent> events;
    for (const CustodyEvent &e : parent) {
        if (std::make_tuple(e.at, e.order) >= std::make_tuple(split, splitOrder) ||
            ownOffers.contains(e.offer) || ownActs.contains({e.ref, e.what, e.seal}))
            continue;
        events.push_back(e);
    }
    events.insert(events.end(), std::make_move_iterator(own.begin()), std::make_move_iterator(own.end()));
    return events;
}

} // namespace holdfast
