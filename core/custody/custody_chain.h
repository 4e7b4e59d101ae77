// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"

#include <QString>
#include <optional>
#include <set>
#include <vector>

namespace holdfast
{

// Who had a specimen at every instant, from what was recorded about it. Pure: no database, no clock.
//
// Rules: for every instant from collection to the end exactly one custodian and one basis, each period
// beginning when the former ends; two names and two acts for each hand-over; a gap is recorded and explained,
// never filled in; a broken seal without a record is a finding (US EPA Region V, Manual of Custody and
// Non-Custody Sample Handling Procedures, 2nd ed. 1978; US EPA, Chain of Custody Guidebook, EPA 450/2-82-018,
// 1983). In transit the relinquisher answers for it, or the carrier when one is named.

/// One recorded thing that bears on custody. Which members count is said at each kind.
struct CustodyEvent {
    enum class What {
        Begun,     ///< collected: holder (empty: nobody was appointed), basis
        Appointed, ///< another answers on the vehicle: holder
        Offered,   ///< offer, holder (who relinquishes), other (who is to receive), carrier, basis, place
        Accepted,  ///< offer, holder (who received), other (who was said to relinquish), basis, place
        Refused,   ///< offer, reason
        Withdrawn, ///< offer, reason
        Claimed,   ///< taken without a hand-over, with a reason: holder, basis, place, reason
        Secured,   ///< the holder keeps it on another basis: basis, place (empty: unchanged)
        Moved,     ///< relocated within a place, not a hand-over: place
        Handled,   ///< opened or worked on (split, preserved): reason says what was done
        Ended,     ///< holder (who says so), place (its final one), reason (consumed, lost, destroyed, …)
        Again,     ///< held again after it was lost or void: with who had it before; holder (says so), reason
        SealApplied, ///< seal
        SealIntact,  ///< seal: looked at and found whole
        SealBroken,  ///< seal: opened by somebody, with a reason
        SealFound,   ///< seal: found broken or missing
    };
    What what = What::Begun;
    UtcTime at{};
    int order = 0; ///< place in the ledger: decides between two things of the same time
    QString ref;   ///< the entry, "van 123"
    QString offer, holder, other, carrier, basis, place, reason, seal;
};

enum class PeriodState {
    Nobody,    ///< a gap: nobody is recorded
    InVehicle, ///< from the seafloor to the first hand-over
    Held,
    InTransit, ///< offered and not yet answered
    Ended,     ///< consumed, lost, destroyed or at its final place: `basis` has the word
};

/// One stretch of custody, [from, to).
struct CustodyPeriod {
    PeriodState state = PeriodState::Held;
    QString holder, basis, place;
    QString offer; ///< InTransit: the open hand-over
    UtcTime from{};
    std::optional<UtcTime> to; ///< none: until now
    QString ref;               ///< the entry that began it
};

struct CustodyFinding {
    enum class What {
        Gap,       ///< nobody had it
        Overlap,   ///< two had it
        Mismatch,  ///< given, moved or ended by one who did not have it
        Order,     ///< the times contradict each other
        Seal,      ///< a seal broken, missing or not looked at without a record
        AfterEnd,  ///< something was done with what no longer is
        InTransit, ///< worked on or stored before it was received
    };
    What what = What::Gap;
    UtcTime at{};
    QString ref;
    QString sentence;       ///< without the id
    bool explained = false; ///< a person gave a reason: a remark, no longer a finding
};
[[nodiscard]] QString findingWord(CustodyFinding::What what);

struct CustodyChain {
    std::vector<CustodyPeriod> periods; ///< in order of time, each beginning where the former ends
    std::vector<CustodyFinding> findings;
    std::set<QString> seals; ///< in force at the end

    [[nodiscard]] const CustodyPeriod *at(UtcTime t) const;
    [[nodiscard]] const CustodyPeriod *last() const { return periods.empty() ? nullptr : &periods.back(); }
};

/// The periods and findings of one specimen. The events may come in any order.
[[nodiscard]] CustodyChain custodyChain(std::vector<CustodyEvent> events);

/// The events of a part: its parent's up to the split (itself what was done to the parent), then its own.
/// What names the part itself counts once: where a hand-over lists both, the part has its own offer and
/// answer, not its parent's as well.
[[nodiscard]] std::vector<CustodyEvent> eventsOfPart(const std::vector<CustodyEvent> &parent, UtcTime split,
                                                     int splitOrder, std::vector<CustodyEvent> own);

} // namespace holdfast
