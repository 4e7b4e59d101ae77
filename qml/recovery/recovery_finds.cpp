// SPDX-License-Identifier: GPL-3.0-or-later
// What the Recovery screen logs besides answers: finds, and samples that can't be told apart.
#include "recovery_desk.h"

#include "custody/recovery_finds.h"
#include "custody/specimens.h"

namespace holdfast
{

namespace
{

/// The one of `ids` that the first word names by its last digits, as in "005 brittle star"; with a single id
/// nothing needs to be named. Takes the word off `words`.
Result<QString> hostOf(const QStringList &ids, QString &words)
{
    const QString first = words.section(QLatin1Char(' '), 0, 0).toUpper();
    for (const QString &id : ids) {
        const bool number = !first.isEmpty() && first.back().isDigit();
        if (number && (id == first || id.endsWith(QLatin1Char('-') + first))) {
            words = words.section(QLatin1Char(' '), 1).trimmed();
            return id;
        }
    }
    if (ids.size() == 1)
        return ids.front();
    return fail(ErrorKind::Usage,
                RecoveryDesk::tr("Begin with the number of what it sat on, as in \"%1 brittle star\": %2.")
                    .arg(ids.front().section(QLatin1Char('-'), -1), ids.join(QStringLiteral(", "))));
}

} // namespace

void RecoveryDesk::log(int number, const QString &text)
{
    QString words = text.simplified();
    if (words.isEmpty() || !line())
        return;
    const Act act = m_desk->act();
    const int dive = m_desk->dive();
    const QString slot = line()->slot.code;
    const QStringList held = line()->slot.held;
    const auto logged = std::make_shared<QString>();
    CruiseWriter::Work work;
    if (number == riderNumber) {
        const auto host = hostOf(held, words);
        if (!host)
            return m_desk->notices().say(QStringLiteral("find"), Notices::Weight::Care,
                                         host.error().sentence);
        work = [=, host = *host](CruiseFile &file) -> Done {
            SpecimenDetails d;
            d.material = words;
            d.foundOn = host;
            const auto id = splitSpecimen(file, act, host, d);
            if (!id)
                return id.error();
            *logged = tr("%1 logged: %2, found on %3.").arg(*id, words, host);
            return {};
        };
    } else if (number == looseNumber) {
        work = [=](CruiseFile &file) -> Done {
            const auto kinds = KindTable::load();
            if (!kinds)
                return kinds.error();
            const auto sample = tallyLooseFind(file, act, dive, slot, words, *kinds);
            if (!sample)
                return sample.error();
            *logged = tr("%1 logged: %2, collected within the dive; its label can be printed under Papers.")
                          .arg(sample->id, words);
            return {};
        };
    } else {
        work = [=](CruiseFile &file) -> Done {
            const auto kinds = KindTable::load();
            if (!kinds)
                return kinds.error();
            if (auto done = tallyAlike(file, act, dive, slot, words, *kinds); !done)
                return done;
            *logged = tr("%1: recorded that they can't be told apart.").arg(held.join(QStringLiteral(", ")));
            return {};
        };
    }
    m_desk->write(tr("Logging what was found in %1").arg(slot), work, [this, logged, slot](const Done &done) {
        if (!done)
            return;
        m_desk->notices().say(QStringLiteral("find"), Notices::Weight::Note, *logged);
        m_wants = 0;
        emit changed();
        emit tallied(slot);
    });
}

} // namespace holdfast
