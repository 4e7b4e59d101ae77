// SPDX-License-Identifier: GPL-3.0-or-later
#include "sample_desk.h"

#include "dive/last_undo.h"
#include "dive/placement.h"

#include <algorithm>

namespace holdfast
{

namespace
{

/// The slots as they would be without the given samples.
std::vector<SlotState> without(std::vector<SlotState> states, const QStringList &ids)
{
    for (SlotState &slot : states) {
        for (const QString &id : ids) {
            const qsizetype i = slot.held.indexOf(id);
            if (i < 0)
                continue;
            slot.held.removeAt(i);
            slot.heldKinds.removeAt(i);
        }
    }
    return states;
}

QString slotWord(const QString &code)
{
    return code.isEmpty() ? SampleDesk::tr("no slot") : code;
}

} // namespace

SampleDesk::SampleDesk(Desk &desk, UndoList &undo, SlotModel &slotPlan, SampleModel &samples, QObject *parent)
    : QObject(parent), m_desk(&desk), m_undo(&undo), m_slots(&slotPlan), m_samples(&samples)
{
}

const SampleInfo *SampleDesk::find(const QString &id) const
{
    const SnapshotPtr s = m_desk->snapshot();
    if (!s || id.isEmpty())
        return nullptr;
    const auto found =
        std::find_if(s->samples.begin(), s->samples.end(), [&id](const SampleInfo &i) { return i.id == id; });
    return found == s->samples.end() ? nullptr : &*found;
}

const SampleInfo *SampleDesk::chosen() const
{
    return find(m_id);
}

void SampleDesk::choose(const QString &id)
{
    m_id = id;
    judge();
}

void SampleDesk::update(const QuickWords &words)
{
    m_words = words;
    if (!chosen()) { // another dive
        m_id.clear();
        m_carrying = m_amending = false;
    }
    judge();
    chooseWanted();
}

void SampleDesk::want(const QString &id)
{
    m_wanted = id;
    chooseWanted();
}

void SampleDesk::chooseWanted()
{
    const QString id = m_wanted;
    const SampleInfo *sample = find(id);
    if (!sample)
        return;
    m_wanted.clear();
    letGo();
    emit slotWanted(m_slots->rowOf(sample->slot));
    choose(id); // last: the cursor may lie in no slot, or in one that holds another as well
}

void SampleDesk::slotChosen(int slotRow)
{
    m_slotRow = slotRow;
    if (!m_carrying && !m_amending) {
        const QStringList held =
            slotRow < 0 ? QStringList() : m_slots->states()[static_cast<std::size_t>(slotRow)].held;
        m_id = held.contains(m_id) ? m_id : held.value(held.size() - 1);
    }
    judge();
}

int SampleDesk::row() const
{
    const auto &rows = m_samples->rows();
    const auto found =
        std::find_if(rows.begin(), rows.end(), [this](const SampleModel::Row &r) { return r.id == m_id; });
    return m_id.isEmpty() || found == rows.end() ? -1 : static_cast<int>(found - rows.begin());
}

QString SampleDesk::number() const
{
    return m_id.mid(m_id.lastIndexOf(QLatin1Char('-')) + 1);
}

bool SampleDesk::held() const
{
    const SampleInfo *sample = chosen();
    return sample && sample->state == QLatin1String("held");
}

QString SampleDesk::words() const
{
    const SampleInfo *s = chosen();
    if (!s)
        return {};
    QStringList words{s->count > 1 ? QStringLiteral("%1 × %2").arg(s->kind).arg(s->count) : s->kind};
    if (!s->description.isEmpty())
        words << s->description;
    if (!s->tool.isEmpty())
        words << tr("by %1").arg(s->tool);
    if (!s->askedBy.isEmpty())
        words << tr("for %1").arg(s->askedBy);
    if (!s->permit.isEmpty())
        words << tr("permit %1").arg(s->permit);
    return tr("%1 · %2 · %3 in %4 · logged by %5")
        .arg(number(), words.join(QStringLiteral(", ")), s->state, slotWord(s->slot), s->loggedBy);
}

void SampleDesk::step(int by)
{
    const auto &rows = m_samples->rows();
    const int count = static_cast<int>(rows.size());
    int at = row();
    if (at < 0)
        at = by > 0 ? -1 : count;
    do {
        at += by;
    } while (at >= 0 && at < count && rows[static_cast<std::size_t>(at)].id.isEmpty());
    if (at < 0 || at >= count)
        return;
    letGo();
    choose(rows[static_cast<std::size_t>(at)].id);
    const SampleInfo *sample = chosen();
    emit slotWanted(sample ? m_slots->rowOf(sample->slot) : -1);
}

void SampleDesk::nextInSlot()
{
    if (m_slotRow < 0 || m_carrying)
        return;
    const QStringList &held = m_slots->states()[static_cast<std::size_t>(m_slotRow)].held;
    if (!held.isEmpty())
        choose(held[(held.indexOf(m_id) + 1) % held.size()]);
}

void SampleDesk::pickUp()
{
    if (!held()) {
        m_desk->notices().say(
            QStringLiteral("sample"), Notices::Weight::Care,
            m_id.isEmpty() ? tr("Choose a sample first: its slot with the arrows, or PgDn in the list.")
                           : tr("%1 is not held: H brings it back first.").arg(number()));
        return;
    }
    m_desk->notices().settle(QStringLiteral("sample"));
    m_amending = false;
    m_carrying = true;
    judge();
}

void SampleDesk::letGo()
{
    if (!m_carrying && !m_amending)
        return;
    m_carrying = m_amending = false;
    judge();
}

/// What Enter and E would do now.
void SampleDesk::judge()
{
    m_ready = m_exchanges = false;
    m_advice.clear();
    m_offers.clear();
    if (const SampleInfo *sample = chosen()) {
        if (m_carrying)
            judgeCarried(*sample);
        else if (m_amending)
            judgeAmended(*sample);
    }
    emit changed();
}

void SampleDesk::judgeCarried(const SampleInfo &sample)
{
    if (m_slotRow < 0 || m_slots->states()[static_cast<std::size_t>(m_slotRow)].code == sample.slot) {
        m_advice =
            tr("Arrows go to the slot that shall hold it. Esc leaves it in %1.").arg(slotWord(sample.slot));
        return;
    }
    const auto states = without(m_slots->states(), {sample.id});
    const SlotState &to = states[static_cast<std::size_t>(m_slotRow)];
    const auto may = mayPlace(to, sample.kind, sample.family, states);
    m_ready = may.has_value();
    if (!may)
        m_advice = may.error().sentence;
    else if (may->isEmpty())
        m_advice = tr("moves %1 from %2 to %3").arg(number(), slotWord(sample.slot), to.code);
    else
        m_advice =
            tr("moves %1 to %2, with this kept: %3").arg(number(), to.code, may->join(QStringLiteral("; ")));
    // Exchanging needs one sample on the other side, and that both fit.
    const SampleInfo *other = to.held.size() == 1 ? find(to.held.first()) : nullptr;
    if (!other || sample.slot.isEmpty())
        return;
    const auto bare = without(m_slots->states(), {sample.id, other->id});
    const int from = m_slots->rowOf(sample.slot);
    m_exchanges = from >= 0 &&
                  mayPlace(bare[static_cast<std::size_t>(m_slotRow)], sample.kind, sample.family, bare) &&
                  mayPlace(bare[static_cast<std::size_t>(from)], other->kind, other->family, bare);
}

void SampleDesk::putDown()
{
    const SampleInfo *sample = chosen();
    if (!sample || !m_carrying || !m_ready)
        return;
    const QString id = sample->id;
    const QString from = sample->slot;
    const QString to = m_slots->states()[static_cast<std::size_t>(m_slotRow)].code;
    const Act act = m_desk->act();
    m_carrying = false;
    write(tr("Moving %1 to %2").arg(number(), to),
          [=](CruiseFile &file) -> Done {
              const auto moved = moveSample(file, act, id, to, {});
              return moved ? Done() : Done(moved.error());
          },
          {tr("the move of %1 from %2 to %3").arg(number(), slotWord(from), to),
           [=](CruiseFile &file, const Act &now) -> Done {
               const auto back = moveSample(file, now, id, from, takenBack);
               return back ? Done() : Done(back.error());
           }});
}

void SampleDesk::exchange()
{
    const SampleInfo *sample = chosen();
    if (!sample || !m_carrying || !m_exchanges)
        return;
    const QString id = sample->id;
    const QString other = m_slots->states()[static_cast<std::size_t>(m_slotRow)].held.value(0);
    const Act act = m_desk->act();
    m_carrying = false;
    write(tr("Exchanging %1 and %2").arg(id, other),
          [=](CruiseFile &file) { return swapSamples(file, act, id, other, {}); },
          {tr("the exchange of %1 and %2").arg(id, other),
           [=](CruiseFile &file, const Act &now) { return swapSamples(file, now, id, other, takenBack); }});
}

void SampleDesk::setState(const QString &state, const QString &reason)
{
    const SampleInfo *sample = chosen();
    if (!sample)
        return;
    const QString id = sample->id;
    const QString before = sample->state;
    const Act act = m_desk->act();
    write(tr("Recording that %1 is %2").arg(number(), state),
          [=](CruiseFile &file) { return setSampleState(file, act, id, state, reason); },
          {tr("that %1 is %2").arg(number(), state), [=](CruiseFile &file, const Act &now) {
               return setSampleState(file, now, id, before, takenBack);
           }});
}

void SampleDesk::beginAmend()
{
    const SampleInfo *sample = chosen();
    if (!sample)
        return;
    m_carrying = false;
    m_amending = true;
    m_before = quickLineOf(*sample, m_words);
    m_line = m_before;
    judge();
}

void SampleDesk::setLine(const QString &line)
{
    if (line == m_line)
        return;
    m_line = line;
    judge();
}

void SampleDesk::takeOffer()
{
    if (!m_offers.isEmpty())
        setLine(m_offers.first() + QLatin1Char(' '));
}

QMap<QString, QString> SampleDesk::changedFields() const
{
    // Compared as the line is read, so that a word the line can't express never looks like a change.
    const SampleDetails was = readQuickLine(m_before, m_words).details;
    const SampleDetails is = readQuickLine(m_line, m_words).details;
    QMap<QString, QString> fields;
    const auto compare = [&fields](const char *field, const QString &a, const QString &b) {
        if (a != b)
            fields.insert(QLatin1String(field), b);
    };
    compare("kind", was.kind, is.kind);
    compare("count", QString::number(was.count), QString::number(is.count));
    compare("description", was.description, is.description);
    compare("tool", was.tool, is.tool);
    compare("asked by", was.askedBy, is.askedBy);
    compare("permit", was.permit, is.permit);
    return fields;
}

void SampleDesk::judgeAmended(const SampleInfo &sample)
{
    const QuickEntry entry = readQuickLine(m_line, m_words);
    m_parts.update(entry.parts);
    m_offers = completeQuickLine(m_line, m_words, m_slots->states(), 3);
    const auto fields = changedFields();
    if (!entry.details.slot.isEmpty())
        m_advice =
            tr("M moves a sample to another slot; %1 is not part of this line.").arg(entry.details.slot);
    else if (entry.details.kind.isEmpty())
        m_advice = tr("A kind is needed.");
    else if (fields.isEmpty())
        m_advice = tr("Change what is wrong; nothing is different yet.");
    else {
        m_ready = true;
        QStringList words;
        for (auto it = fields.begin(); it != fields.end(); ++it)
            words << tr("%1 becomes \"%2\"").arg(it.key(), it.value());
        m_advice = tr("of %1, %2; the record keeps both").arg(sample.id, words.join(QStringLiteral(", ")));
    }
}

void SampleDesk::amend(const QString &reason)
{
    const SampleInfo *sample = chosen();
    if (!sample || !m_amending || !m_ready)
        return;
    const QMap<QString, QString> all{{QStringLiteral("kind"), sample->kind},
                                     {QStringLiteral("count"), QString::number(sample->count)},
                                     {QStringLiteral("description"), sample->description},
                                     {QStringLiteral("tool"), sample->tool},
                                     {QStringLiteral("asked by"), sample->askedBy},
                                     {QStringLiteral("permit"), sample->permit}};
    const QMap<QString, QString> fields = changedFields();
    QMap<QString, QString> before;
    for (auto it = fields.begin(); it != fields.end(); ++it)
        before.insert(it.key(), all.value(it.key()));
    const QString id = sample->id;
    const Act act = m_desk->act();
    const KindTable kinds = m_words.kinds;
    m_amending = false;
    write(tr("Amending %1").arg(number()),
          [=](CruiseFile &file) { return amendSample(file, act, id, fields, reason, kinds); },
          {tr("the amendment of %1").arg(number()), [=](CruiseFile &file, const Act &now) {
               return amendSample(file, now, id, before, takenBack, kinds);
           }});
}

void SampleDesk::write(const QString &doing, CruiseWriter::Work work, UndoList::Step step)
{
    judge();
    m_desk->write(doing, std::move(work), [this, step = std::move(step)](const Done &result) {
        if (!result)
            return;
        m_undo->remember(step);
        emit done();
    });
}

} // namespace holdfast
