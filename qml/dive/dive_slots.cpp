// SPDX-License-Identifier: GPL-3.0-or-later
// What the Dive screen does to the chosen slot: its lid, its reach, and what it says of it.
#include "dive_desk.h"

#include "dive/last_undo.h"

namespace holdfast
{

namespace
{

const SlotSpec *slotNamed(const BoxSpec &box, const QString &code)
{
    for (const SlotSpec &slot : box.slotList) {
        if (slot.code == code)
            return &slot;
    }
    return nullptr;
}

const BoxSpec *boxOf(const Loadout &loadout, const QString &code)
{
    for (const BoxSpec &box : loadout.boxes) {
        if (slotNamed(box, code))
            return &box;
    }
    return nullptr;
}

} // namespace

const SlotState *DiveDesk::chosenState() const
{
    return m_chosen < 0 || m_chosen >= m_slots.rowCount()
               ? nullptr
               : &m_slots.states()[static_cast<std::size_t>(m_chosen)];
}

QStringList DiveDesk::boxCodes() const
{
    const SlotState *slot = chosenState();
    const BoxSpec *box = slot ? boxOf(m_desk->snapshot()->loadout, slot->code) : nullptr;
    if (!box)
        return {};
    if (!box->lid)
        return {slot->code};
    QStringList codes;
    for (const SlotSpec &each : box->slotList)
        codes << each.code;
    return codes;
}

QStringList DiveDesk::trayCodes() const
{
    const SlotState *slot = chosenState();
    const Loadout *loadout = slot ? &m_desk->snapshot()->loadout : nullptr;
    const BoxSpec *box = loadout ? boxOf(*loadout, slot->code) : nullptr;
    QStringList codes;
    if (!box)
        return codes;
    for (const BoxSpec &other : loadout->boxes) {
        if (other.where != box->where)
            continue;
        for (const SlotSpec &each : other.slotList)
            codes << each.code;
    }
    return codes;
}

void DiveDesk::toggleLid()
{
    const UtcTime at = m_feeds->now();
    const int dive = readyDive();
    const SlotState *slot = chosenState();
    if (dive == 0 || !slot)
        return;
    const QStringList codes = boxCodes();
    const bool open = !slot->lidOpen;
    const Act act = m_desk->act();
    const QString said = codes.join(QLatin1Char(' '));
    write(
        tr("Recording the lid of %1").arg(said),
        [=](CruiseFile &file) { return moveLids(file, act, dive, codes, open, at); },
        [this, dive, codes, open, at, said] {
            // Moved back at the same moment, so that no time of lying open comes of a slip of the hand.
            m_undo->remember(
                {open ? tr("opening the lid of %1").arg(said) : tr("shutting the lid of %1").arg(said),
                 [=](CruiseFile &file, const Act &now) {
                     return moveLids(file, now, dive, codes, !open, at + Microseconds(1), takenBack);
                 }});
        });
}

void DiveDesk::writeReach(const QStringList &codes)
{
    const int dive = readyDive();
    const SlotState *slot = chosenState();
    if (dive == 0 || !slot)
        return;
    const bool reachable = !slot->reachable;
    const Act act = m_desk->act();
    const QString said = codes.join(QLatin1Char(' '));
    write(
        tr("Recording the reach of %1").arg(said),
        [=](CruiseFile &file) { return setReaches(file, act, dive, codes, reachable); },
        [this, dive, codes, reachable, said] {
            m_undo->remember({tr("the reach of %1").arg(said), [=](CruiseFile &file, const Act &now) {
                                  return setReaches(file, now, dive, codes, !reachable, takenBack);
                              }});
        });
}

void DiveDesk::toggleReach()
{
    if (const SlotState *slot = chosenState())
        writeReach({slot->code});
}

void DiveDesk::toggleTray()
{
    writeReach(trayCodes());
}

QString DiveDesk::slotText() const
{
    const SlotState *slot = chosenState();
    if (!slot)
        return tr("Arrows go from slot to slot.");
    QStringList words{tr("%1, %2 for %3").arg(slot->code, slot->container, slot->accepts.join(tr(" or ")))};
    if (!slot->held.isEmpty())
        words << tr("holds %1").arg(slot->held.join(QStringLiteral(", ")));
    if (slot->held.size() > 1)
        words << tr("mixed: tell them apart at recovery");
    if (!slot->reachable)
        words << tr("out of reach");
    const QString lid = m_slots.lidSentence(m_chosen);
    if (!lid.isEmpty())
        words << lid;
    return words.join(QStringLiteral(" · "));
}

} // namespace holdfast
