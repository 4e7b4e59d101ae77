// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/cruise_tables_detail.h"

namespace holdfast
{

using namespace table_words;

std::vector<TableSpec> custodyTables()
{
    return {
        {"custodians",
         "Who answers for what a dive brings up, until the first hand-over",
         "SELECT entry, dive, person, by_whom, time_us FROM custodian ORDER BY lamport, entry",
         {{"entry", text, "", "Ledger entry (uuid).", "", true},
          {"dive", whole, "", "Number of the dive.", "", true},
          {"person", text, "", "Who answers for it.", "", true},
          {"by", text, "", byWhom},
          {"from", time, "", "From when on, UTC."}},
         {"entry"},
         "custodian"},
        {"hand_overs",
         "Hand-overs as offered; the answers are in hand_over_answers",
         "SELECT entry, offer, code, giver, receiver, purpose, carrier, tracking, due_back_us, basis, place, "
         "remark, "
         "confirmation, by_whom, time_us FROM hand_over ORDER BY lamport, entry",
         {{"entry", text, "", "Ledger entry (uuid).", "", true},
          {"offer", text, "", "Identifier of the hand-over.", "", true},
          {"code", text, "", "What people call it by."},
          {"relinquished_by", text, "", "Who relinquishes.", "", true},
          {"to_be_received_by", text, "", "Who is to receive.", "", true},
          {"purpose", text, "", "Purpose."},
          {"carrier", text, "", "Who carries it in between."},
          {"tracking", text, "", "The carrier's number."},
          {"due_back", time, "", "When a loan must be back, UTC."},
          {"basis", text, "", "How it is kept while in transit."},
          {"place", text, "", "Where it is while in transit."},
          {"remark", text, "", "Remark."},
          {"confirmation", text, "",
           "How the person stood for it, as JSON; an attestation, no legal signature."},
          {"by", text, "", byWhom},
          {"time", time, "", "When, UTC."}},
         {"entry"},
         "hand_over"},
        {"hand_over_answers",
         "Answers of receivers; a hand-over may be answered in parts",
         "SELECT entry, offer, receiver, condition, temperature_c, count, remark, confirmation, by_whom, "
         "time_us FROM "
         "hand_over_answer ORDER BY lamport, entry",
         {{"entry", text, "", "Ledger entry (uuid).", "", true},
          {"offer", text, "", "Identifier of the hand-over.", "", true},
          {"received_by", text, "", "Who received or refused.", "", true},
          {"condition", text, "", "Condition on receipt."},
          {"temperature_degC", number, "degC", "Temperature as read on receipt."},
          {"containers", whole, "", "Containers counted."},
          {"remark", text, "", "Remark."},
          {"confirmation", text, "",
           "How the person stood for it, as JSON; an attestation, no legal signature."},
          {"by", text, "", byWhom},
          {"time", time, "", "When, UTC."}},
         {"entry"},
         "hand_over_answer"},
        {"custody_events",
         "What bears on the custody of each item, as recorded; custody_history is made from it",
         "SELECT entry, item, what, offer, holder, other, carrier, basis, place, reason, by_whom, time_us "
         "FROM "
         "custody_event ORDER BY lamport, entry, item",
         {{"entry", text, "", "Ledger entry (uuid).", "", true},
          {"item", text, "", itemId, "", true},
          {"what", text, "", "What happened.", "", true},
          {"offer", text, "", "Identifier of the hand-over it belongs to."},
          {"holder", text, "", "Who relinquishes, received, claimed or ended it."},
          {"other", text, "", "The other side of the hand-over."},
          {"carrier", text, "", "Who carries it."},
          {"basis", text, "", "How it is kept, or how custody ended."},
          {"place", text, "", "Where."},
          {"reason", text, "", reasonText},
          {"by", text, "", byWhom},
          {"time", time, "", "When, UTC."}},
         {"entry", "item"},
         "custody_event"},
        {"seals",
         "Custody seals: applied, looked at, broken",
         "SELECT entry, seal, what, place, reason, by_whom, time_us FROM seal_event ORDER BY lamport, entry, "
         "seal",
         {{"entry", text, "", "Ledger entry (uuid).", "", true},
          {"seal", text, "", "Number of the seal.", "", true},
          {"what", text, "", "What happened to it or was seen.", "", true},
          {"place", text, "", "The box it closes."},
          {"reason", text, "", reasonText},
          {"by", text, "", byWhom},
          {"time", time, "", "When, UTC."}},
         {"entry", "seal"},
         "seal_event"},
        {"seal_items",
         "What each seal closes",
         "SELECT entry, item, seal FROM seal_item ORDER BY seal, item, entry",
         {{"entry", text, "", "Ledger entry (uuid) that applied it.", "", true},
          {"item", text, "", itemId, "", true},
          {"seal", text, "", "Number of the seal.", "", true}},
         {"entry", "item"},
         "seal_item"},
        {"entry_amendments",
         "Corrections of single values of earlier entries; the values before stay",
         "SELECT entry, target, field, old_value, new_value, reason, by_whom, time_us FROM entry_amendment "
         "ORDER BY "
         "lamport, entry",
         {{"entry", text, "", "Ledger entry (uuid) that corrects.", "", true},
          {"corrected_entry", text, "", "Ledger entry (uuid) that is corrected.", "", true},
          {"field", text, "", "Field that was corrected.", "", true},
          {"before", text, "", "Value before."},
          {"after", text, "", "Value after."},
          {"reason", text, "", reasonText},
          {"by", text, "", byWhom},
          {"recorded", time, "", recordedAt}},
         {"entry"},
         "entry_amendment"},
    };
}

} // namespace holdfast
