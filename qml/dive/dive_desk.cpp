// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive_desk.h"

#include "dive/last_undo.h"
#include "dive/placement.h"
#include "dive/running_dive.h"
#include "dive_phases.h"

#include <algorithm>

namespace holdfast
{

namespace
{

/// Sets the stamp of that moment aside, whichever waits for it now (placing may have been taken back since).
Done withdrawStamp(CruiseFile &file, const Act &act, int dive, qint64 us)
{
    const auto stamps = readStamps(file.db(), dive);
    if (!stamps)
        return stamps.error();
    for (const StampInfo &stamp : *stamps) {
        if (microsecondsOf(stamp.time) == us && stamp.state == QLatin1String("waiting"))
            return setStampAside(file, act, stamp.uuid, takenBack);
    }
    return fail(ErrorKind::NotFound,
                QStringLiteral("No stamp of %1 waits any more.").arg(clockText(utcFromMicroseconds(us))));
}

} // namespace

DiveDesk::DiveDesk(Desk &desk, FeedDesk &feeds, UndoList &undo, QObject *parent)
    : QObject(parent), m_desk(&desk), m_feeds(&feeds), m_undo(&undo), m_hand(desk, undo, m_slots, m_samples)
{
    if (auto kinds = KindTable::load())
        m_words.kinds = std::move(*kinds);
    else
        desk.notices().say(QStringLiteral("kinds"), Notices::Weight::Problem, kinds.error().sentence);
    connect(m_desk, &Desk::refreshed, this, &DiveDesk::refresh);
    connect(m_feeds, &FeedDesk::ticked, this, &DiveDesk::tick);
    connect(m_undo, &UndoList::changed, this, &DiveDesk::undoChanged);
    connect(m_desk, &Desk::itemWanted, this, [this](const QString &place, const QString &id) {
        if (place == QLatin1String("dive"))
            m_hand.want(id.section(QLatin1Char('.'), 0, 0)); // of a part the sample
    });
    connect(&m_hand, &SampleDesk::slotWanted, this, [this](int row) {
        m_chosen = row;
        m_hand.slotChosen(row);
        judge();
    });
}

void DiveDesk::tick()
{
    emit phaseTicked();
    if (m_slots.tick(m_feeds->now()))
        emit slotTextChanged();
}

void DiveDesk::refresh()
{
    const SnapshotPtr s = m_desk->snapshot();
    m_words.used = s->used;
    m_words.slotCodes.clear();
    for (const SlotState &slot : s->slotStates)
        m_words.slotCodes << slot.code;
    m_slots.update(*s, m_feeds->now());
    if (m_shownDive != m_desk->dive() ||
        m_chosen >= m_slots.rowCount()) { // other slots than those chosen from
        m_shownDive = m_desk->dive();
        m_chosen = -1;
        m_hand.slotChosen(-1);
    }
    m_boxes.update(s->loadout);
    m_stamps.update(s->stamps);
    m_samples.update(*s);
    if (m_openUs != 0 && openRow() < 0) { // it is no longer waiting
        m_drafts.remove(m_openUs);
        m_openUs = 0;
        m_line.clear();
        m_chosen = -1;
    }
    m_hand.update(m_words);
    judge();
    emit openChanged();
    emit phaseChanged();
    emit phaseTicked();
}

int DiveDesk::readyDive()
{
    const QString topic = QStringLiteral("ready");
    if (m_desk->dive() == 0)
        m_desk->notices().say(topic, Notices::Weight::Care, tr("Open a cruise with a dive first."),
                              tr("Alt+1 Cruise"));
    else if (m_desk->person().isEmpty())
        m_desk->notices().say(topic, Notices::Weight::Care,
                              tr("Say who is logging first: every entry carries a name."), tr("F9 person"));
    else {
        m_desk->notices().settle(topic);
        return m_desk->dive();
    }
    return 0;
}

int DiveDesk::stampedDive()
{
    const int shown = readyDive();
    if (shown == 0)
        return 0;
    const QString topic = QStringLiteral("other dive");
    const auto &dives = m_desk->snapshot()->dives;
    int dive = diveInTheWater(dives);
    if (dive == 0)
        dive = m_desk->snapshot()->dive->closed ? runningDive(dives) : shown;
    if (dive == 0)
        m_desk->notices().say(
            topic, Notices::Weight::Problem,
            tr("The moment was not kept: every dive of this cruise is closed. Plan the next "
               "one."),
            tr("Alt+1, then Ctrl+D"));
    else if (dive != shown) {
        m_desk->notices().say(
            topic, Notices::Weight::Care,
            tr("The stamp went into dive %1, which is the one under way; it is shown now.").arg(dive));
        m_desk->showDive(dive);
    }
    return dive;
}

void DiveDesk::write(const QString &doing, CruiseWriter::Work work, std::function<void()> done)
{
    m_desk->write(doing, std::move(work), [done = std::move(done)](const Done &result) {
        if (result && done)
            done();
    });
}

void DiveDesk::endStamp(const QString &doing, EndOfStamp end, std::function<void(const QString &uuid)> done)
{
    const qint64 us = m_openUs;
    m_ending.insert(us); // until the commit has been read: one Enter, one sample
    judge();
    const auto go = [=, this](const QString &uuid) {
        m_desk->write(
            doing, [=](CruiseFile &file) { return end(file, uuid); },
            [=, this](const Done &result) {
                m_ending.remove(us);
                if (result)
                    done(uuid);
                else
                    judge();
            });
    };
    if (const QString uuid = openUuid(); !uuid.isEmpty())
        go(uuid);
    else // the disk is slow or the file locked: nobody has to press again
        m_onceSaved.insert(us, go);
}

void DiveDesk::stamp()
{
    const auto pressed = ShipClock::Host::now();
    const UtcTime at = m_feeds->clock().now(pressed);
    const int dive = stampedDive();
    if (dive == 0)
        return;
    const qint64 us = microsecondsOf(at);
    const QJsonObject seen = m_feeds->seen(at);
    const Act act = m_desk->act();
    m_stamps.addCaught(us, seen, act.person);
    emit openChanged();
    const auto uuid = std::make_shared<QString>();
    m_desk->writeUntilDone(
        tr("Saving the stamp of %1").arg(clockText(at)),
        [=](CruiseFile &file) -> Done {
            auto taken = takeStamp(file, act, dive, at, seen);
            if (!taken)
                return taken.error();
            *uuid = *taken;
            return {};
        },
        [this, us, uuid, dive, pressed](const Done &done) {
            const auto next = m_onceSaved.take(us);
            if (!done) {
                m_ending.remove(us);
                m_stamps.drop(us);
                emit openChanged();
                return;
            }
            m_stamps.setSaved(us, *uuid);
            emit stampSaved(
                std::chrono::duration_cast<Microseconds>(ShipClock::Host::now() - pressed).count());
            m_undo->remember({tr("the stamp of %1").arg(clockText(utcFromMicroseconds(us))),
                              [dive, us](CruiseFile &file, const Act &now) {
                                  return withdrawStamp(file, now, dive, us);
                              }});
            if (next)
                next(*uuid);
        });
}

int DiveDesk::openRow() const
{
    const auto &rows = m_stamps.rows();
    const auto found = std::find_if(rows.begin(), rows.end(),
                                    [this](const StampModel::Row &r) { return r.timeUs == m_openUs; });
    return m_openUs == 0 || found == rows.end() ? -1 : static_cast<int>(found - rows.begin());
}

QString DiveDesk::openUuid() const
{
    const int row = openRow();
    return row < 0 ? QString() : m_stamps.rows()[static_cast<std::size_t>(row)].uuid;
}

QString DiveDesk::openText() const
{
    const int row = openRow();
    if (row < 0)
        return {};
    return m_stamps.data(m_stamps.index(row), static_cast<int>(StampModel::Role::ClockText)).toString();
}

void DiveDesk::open(int row)
{
    if (m_openUs != 0)
        m_drafts.insert(m_openUs, m_line);
    if (row >= m_stamps.count())
        return;
    m_openUs = row < 0 ? 0 : m_stamps.rows()[static_cast<std::size_t>(row)].timeUs;
    m_chosen = -1;
    m_line = m_drafts.value(m_openUs);
    judge();
    emit openChanged();
}

void DiveDesk::setLine(const QString &line)
{
    if (line == m_line)
        return;
    m_line = line;
    const QuickEntry entry = readQuickLine(line, m_words);
    if (!entry.details.slot.isEmpty())
        m_chosen = m_slots.rowOf(entry.details.slot);
    judge();
}

SampleDetails DiveDesk::details() const
{
    SampleDetails d = m_entry.details;
    if (d.slot.isEmpty() && m_chosen >= 0)
        d.slot = m_slots.states()[static_cast<std::size_t>(m_chosen)].code;
    return d;
}

/// Reads the line again and says what Enter would do with it now.
void DiveDesk::judge()
{
    m_entry = readQuickLine(m_line, m_words);
    m_parts.update(m_entry.parts);
    m_offers = completeQuickLine(m_line, m_words, m_slots.states(), 3);
    m_ready = false;
    const SampleDetails d = details();
    if (m_openUs == 0) {
        m_advice = m_stamps.count() > 0 ? tr("Press the digit of a waiting stamp to say what it was.")
                                        : tr("Space takes the moment.");
    } else if (m_ending.contains(m_openUs)) {
        m_advice = tr("on its way to the disk; nothing more to press");
    } else if (d.kind.isEmpty()) {
        m_advice =
            tr("Say what it is: rock, coral, core, water … (k:word for a word that is not known yet).");
    } else if (d.slot.isEmpty()) {
        const QStringList free = freeSlotsFor(m_words.kinds.familyOf(d.kind), m_slots.states());
        m_advice =
            free.isEmpty()
                ? tr("No free slot suits %1: choose one by its code or with the arrows.").arg(d.kind)
                : tr("Which slot? Free for %1: %2").arg(d.kind, free.mid(0, 8).join(QStringLiteral("  ")));
    } else {
        const auto &states = m_slots.states();
        const auto row = static_cast<std::size_t>(m_slots.rowOf(d.slot));
        const QString family = m_words.kinds.familyOf(d.kind);
        auto may = mayPlace(states[row], d.kind, family, states);
        m_ready = may.has_value();
        if (may) {
            const Readiness &r = m_desk->snapshot()->readiness;
            *may += overLimits(r.permits, r.wanted, d.kind, family, d.permit, d.count);
        }
        if (!may)
            m_advice = may.error().sentence;
        else if (!may->isEmpty())
            m_advice = tr("places it in %1, with this kept: %2").arg(d.slot, may->join(QStringLiteral("; ")));
        else
            m_advice = tr("places it in %1").arg(d.slot);
    }
    emit lineChanged();
    emit slotTextChanged();
}

void DiveDesk::place()
{
    const int dive = readyDive();
    if (dive == 0 || !m_ready)
        return;
    const SampleDetails d = details();
    const Act act = m_desk->act();
    const KindTable kinds = m_words.kinds;
    const qint64 us = m_openUs;
    const auto logged = std::make_shared<LoggedSample>();
    endStamp(
        tr("Placing it in %1").arg(d.slot),
        [=](CruiseFile &file, const QString &stampUuid) -> Done {
            auto done = logSample(file, act, stampUuid, d, kinds);
            if (!done)
                return done.error();
            *logged = *done;
            return {};
        },
        [=, this](const QString &) {
            if (m_openUs == us || m_openUs == 0) // else another one is being typed already
                emit placed(logged->id);
            m_undo->remember({tr("%1; its moment waits again").arg(logged->id),
                              [id = logged->id](CruiseFile &file, const Act &now) {
                                  return takeBackSample(file, now, id);
                              }});
        });
}

void DiveDesk::endOpen(const QString &doing, const QString &undoSentence, const QString &reason,
                       Done (*action)(CruiseFile &, const Act &, const QString &, const QString &))
{
    if (openRow() < 0 || m_ending.contains(m_openUs) || readyDive() == 0)
        return;
    const Act act = m_desk->act();
    endStamp(
        doing, [=](CruiseFile &file, const QString &uuid) { return action(file, act, uuid, reason); },
        [this, undoSentence](const QString &uuid) {
            m_undo->remember({undoSentence, [=](CruiseFile &file, const Act &now) {
                                  return reopenStamp(file, now, uuid);
                              }});
        });
}

void DiveDesk::fail(const QString &reason)
{
    endOpen(tr("Recording the failed attempt"), tr("the failed attempt of %1").arg(openText()), reason,
            &failStamp);
}

void DiveDesk::setAside(const QString &reason)
{
    endOpen(tr("Setting the stamp aside"), tr("setting aside %1").arg(openText()), reason, &setStampAside);
}

QString DiveDesk::nextPhase() const
{
    const SnapshotPtr s = m_desk->snapshot();
    const auto phase = s && s->dive ? phaseToCome(*s->dive) : std::optional<Phase>();
    return phase ? phaseWord(*phase) : QString();
}

QString DiveDesk::phaseText() const
{
    const SnapshotPtr s = m_desk->snapshot();
    return s && s->dive ? phaseSpan(*s->dive, m_feeds->now()) : QString();
}

void DiveDesk::reachNextPhase()
{
    const UtcTime at = m_feeds->now();
    const int dive = readyDive();
    const SnapshotPtr s = m_desk->snapshot();
    const auto phase = dive != 0 ? phaseToCome(*s->dive) : std::optional<Phase>();
    if (!phase)
        return;
    const Act act = m_desk->act();
    write(
        tr("Recording \"%1\"").arg(phaseWord(*phase)),
        [=](CruiseFile &file) { return reachPhase(file, act, dive, *phase, at); },
        [this, dive, phase] {
            m_undo->remember({tr("\"%1\" of dive %2").arg(phaseWord(*phase)).arg(dive),
                              [dive, phase](CruiseFile &file, const Act &now) {
                                  return takeBackPhase(file, now, dive, *phase);
                              }});
        });
}

QString DiveDesk::answer() const
{
    if (m_desk->dive() == 0)
        return tr("no dive is open");
    const int n = m_stamps.count();
    return n == 0   ? tr("nothing waits")
           : n == 1 ? tr("1 stamp waits for its details")
                    : tr("%1 stamps wait for their details").arg(n);
}

void DiveDesk::chooseSlot(int row)
{
    m_chosen = std::clamp(row, -1, m_slots.rowCount() - 1);
    m_hand.slotChosen(m_chosen);
    judge();
}

void DiveDesk::moveChoice(SlotModel::Direction direction)
{
    chooseSlot(m_slots.neighbour(m_chosen, direction));
}

void DiveDesk::takeOffer()
{
    if (!m_offers.isEmpty())
        setLine(m_offers.first() + QLatin1Char(' '));
}

QStringList DiveDesk::reasons() const
{
    QStringList all = m_desk->isOpen() ? m_desk->snapshot()->used.reasons : QStringList();
    all.removeAll(takenBack);
    return all.mid(0, 5);
}

} // namespace holdfast
