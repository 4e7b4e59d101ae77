// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/tally_changes.h"

#include "custody/custody_verbs.h"
#include "custody/entry_body.h"
#include "custody/tally.h"
#include "dive/id_book.h"
#include "dive/verbs.h"

#include <QSet>

namespace holdfast
{

namespace
{

/// Follows the samples of one dive through its slots, entry by entry.
class SlotsThroughTime
{
public:
    SlotsThroughTime(int dive, const std::vector<SampleInfo> &samples) : m_dive(dive)
    {
        for (const SampleInfo &sample : samples)
            m_samples.insert(sample.id, {{}, true, !sample.momentKnown});
    }

    Done enter(const Entry &entry)
    {
        const EntryBody b(entry);
        if (entry.verb == verb::slotTallied)
            return tallied(b);
        const QString id = b.text("id");
        const auto sample = m_samples.find(id);
        if (sample == m_samples.end())
            return {};
        if (entry.verb == verb::sampleLogged) {
            sample->slot = b.text("slot");
            if (!sample->foundAtRecovery || !answeredBy(sample->slot, foundMore))
                change(sample->slot, QStringLiteral("%1 was logged there").arg(id));
        } else if (entry.verb == verb::sampleMoved) {
            const QString from = sample->slot;
            sample->slot = b.text("to");
            if (sample->held) {
                change(from, QStringLiteral("%1 was moved out of it").arg(id));
                change(sample->slot, QStringLiteral("%1 was moved into it").arg(id));
            }
        } else {
            const QString state = b.text("to");
            const bool heldBefore = sample->held;
            sample->held = state == QLatin1String("held");
            if (sample->held != heldBefore && (sample->held || !answeredBy(sample->slot, foundGone)))
                change(sample->slot, QStringLiteral("%1 was recorded as %2").arg(id, state));
        }
        return {};
    }

    [[nodiscard]] const QHash<QString, QString> &changed() const { return m_changed; }

private:
    struct Sample {
        QString slot; ///< "" in none
        bool held = true;
        bool foundAtRecovery = false;
    };
    static constexpr std::array foundMore{TallyAnswer::Extra, TallyAnswer::Different};
    static constexpr std::array foundGone{TallyAnswer::Empty, TallyAnswer::Different};

    Done tallied(const EntryBody &b)
    {
        if (b.whole("dive") != m_dive)
            return {};
        const auto answer = tallyAnswerFrom(b.text("answer"));
        if (!answer)
            return answer.error();
        m_answers.insert(b.text("slot"), *answer);
        m_changed.remove(b.text("slot"));
        return {};
    }

    [[nodiscard]] bool answeredBy(const QString &slot, const std::array<TallyAnswer, 2> &answers) const
    {
        const auto answer = m_answers.constFind(slot);
        return answer != m_answers.constEnd() && (*answer == answers[0] || *answer == answers[1]);
    }

    void change(const QString &slot, const QString &what)
    {
        if (m_answers.contains(slot))
            m_changed.insert(slot, what);
    }

    int m_dive;
    QHash<QString, Sample> m_samples;
    QHash<QString, TallyAnswer> m_answers;
    QHash<QString, QString> m_changed;
};

/// Entries that two stations could not both have: they are in the ledger but changed nothing.
Result<QSet<QString>> heldBack(const Database &db)
{
    auto rows = query(db.connection(), QStringLiteral("SELECT entry FROM held_back"));
    if (!rows)
        return rows.error();
    QSet<QString> entries;
    while (rows->next())
        entries.insert(rows->text(0));
    return entries;
}

} // namespace

Result<QHash<QString, QString>> changedSinceTally(const Database &db, int dive)
{
    const auto samples = readSamples(db, dive);
    if (!samples)
        return samples.error();
    const auto held = heldBack(db);
    if (!held)
        return held.error();
    const auto book = IdBook::fromLedger(db);
    if (!book)
        return book.error();
    SlotsThroughTime slotsThroughTime(dive, *samples);
    auto read = forEachEntryWith(
        db, {verb::slotTallied, verb::sampleLogged, verb::sampleMoved, verb::sampleState},
        [&](const Entry &entry) -> Done {
            return held->contains(entry.uuid) ? Done() : slotsThroughTime.enter(book->resolved(entry));
        });
    if (!read)
        return read.error();
    return slotsThroughTime.changed();
}

} // namespace holdfast
