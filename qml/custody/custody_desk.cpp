// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody_desk.h"

#include "base/counted.h"
#include "custody/custody_book.h"
#include "custody/custody_words.h"

namespace holdfast
{

CustodyDesk::CustodyDesk(Desk &desk, QObject *parent) : QObject(parent), m_desk(&desk)
{
    connect(m_desk, &Desk::refreshed, this, &CustodyDesk::read);
}

void CustodyDesk::read()
{
    if (!m_desk->isOpen())
        return;
    const quint64 turn = ++m_turn;
    m_reader.read<CustodyView>(
        m_desk->path(),
        [dive = m_desk->dive(), now = m_desk->act().now](const CruiseFile &file) {
            return readCustody(file.db(), dive, now);
        },
        this,
        [this, turn](const Result<CustodyView> &view) {
            if (turn != m_turn)
                return;
            if (!view)
                return m_desk->notices().say(QStringLiteral("custody"), Notices::Weight::Problem,
                                             view.error().sentence);
            m_view = *view;
            emit changed();
        });
}

void CustodyDesk::setStep(int step)
{
    m_step = step;
    say({});
    emit stepChanged();
}

void CustodyDesk::say(const QString &trouble)
{
    m_trouble = trouble;
    emit troubleChanged();
}

void CustodyDesk::begin()
{
    m_code.clear();
    m_ids.clear();
    m_refused.clear();
    m_seals.clear();
    m_giver = m_desk->person();
    m_receiver.clear();
    setStep(1);
}

void CustodyDesk::beginReceiving(int row)
{
    if (row < 0 || row >= static_cast<int>(m_view.open.size()))
        return;
    const HandOverInfo &h = m_view.open[static_cast<std::size_t>(row)];
    m_code = h.code;
    m_giver = h.from;
    m_receiver = h.to;
    m_ids = h.open();
    m_refused.clear();
    readSeals();
    setStep(2);
}

void CustodyDesk::cancel()
{
    m_ids.clear();
    setStep(0);
}

void CustodyDesk::take(const QString &id)
{
    if (m_step != 1)
        return;
    if (m_ids.contains(id)) {
        emit refused(tr("%1 is in the list already.").arg(id));
        return;
    }
    m_reader.read<CustodyPeriod>(
        m_desk->path(), [id](const CruiseFile &file) { return custodyNow(file.db(), id); }, this,
        [this, id](const Result<CustodyPeriod> &now) {
            if (!now) {
                emit refused(now.error().sentence);
                return;
            }
            if (m_step != 1)
                return;
            if (now->state == PeriodState::Ended || now->state == PeriodState::InTransit ||
                (!now->holder.isEmpty() && !samePerson(now->holder, m_giver))) {
                const QString who = now->state == PeriodState::Ended       ? tr("it is %1").arg(now->basis)
                                    : now->state == PeriodState::InTransit ? tr("it is in transit already")
                                                                           : tr("%1 has it").arg(now->holder);
                emit refused(tr("%1 can't relinquish %2: %3.")
                                 .arg(m_giver.isEmpty() ? tr("Nobody") : m_giver, id, who));
                return;
            }
            if (!m_ids.contains(id))
                m_ids << id;
            emit stepChanged();
        });
}

void CustodyDesk::remove(int row)
{
    if (m_step != 1 || row < 0 || row >= m_ids.size())
        return;
    m_ids.removeAt(row);
    emit stepChanged();
}

void CustodyDesk::refuse(int row, const QString &reason)
{
    if (m_step != 2 || row < 0 || row >= m_ids.size())
        return;
    if (reason.trimmed().isEmpty())
        m_refused.remove(m_ids.at(row));
    else
        m_refused.insert(m_ids.at(row), reason.trimmed());
    emit stepChanged();
}

void CustodyDesk::setGiver(const QString &name)
{
    m_giver = name.simplified();
    emit stepChanged();
}

void CustodyDesk::setReceiver(const QString &name)
{
    m_receiver = name.simplified();
    emit stepChanged();
}

void CustodyDesk::readSeals()
{
    m_seals.clear();
    m_reader.read<QStringList>(
        m_desk->path(),
        [ids = m_ids](const CruiseFile &file) -> Result<QStringList> {
            QStringList seals;
            for (const QString &id : ids) {
                const auto book = CustodyBook::readOf(file.db(), id);
                if (!book)
                    return book.error();
                for (const QString &seal : book->chainOf(id).seals) {
                    if (!seals.contains(seal))
                        seals << seal;
                }
            }
            return seals;
        },
        this,
        [this](const Result<QStringList> &seals) {
            if (!seals)
                return say(seals.error().sentence);
            m_seals = *seals;
            emit stepChanged();
        });
}

void CustodyDesk::next()
{
    if (m_step != 1)
        return;
    if (m_ids.isEmpty())
        return say(tr("Scan or type what is handed over first."));
    if (m_giver.isEmpty() || m_receiver.isEmpty())
        return say(tr("Both names are needed: who relinquishes and who receives."));
    if (samePerson(m_giver, m_receiver))
        return say(tr("%1 can't relinquish to themselves. To put it to another place, store it (Bench).")
                       .arg(m_giver));
    readSeals();
    setStep(2);
}

OfferDetails CustodyDesk::offer(const QString &giverConfirms, UtcTime at) const
{
    OfferDetails o;
    o.ids = m_ids;
    o.from = m_giver;
    o.to = m_receiver;
    o.at = at;
    o.confirmation.by = giverConfirms;
    return o;
}

void CustodyDesk::offerOnly(const QString &giverConfirms)
{
    if (m_step != 2 || !m_code.isEmpty())
        return;
    if (giverConfirms.trimmed().isEmpty())
        return say(tr("%1 must confirm by typing the name.").arg(m_giver));
    const Act act = m_desk->act();
    const auto code = std::make_shared<QString>();
    m_desk->write(
        tr("Relinquishing"),
        [=, o = offer(giverConfirms, act.now)](CruiseFile &file) -> Done {
            const auto offered = offerItems(file, act, o);
            if (!offered)
                return offered.error();
            *code = offered->code;
            return {};
        },
        [this, code](const Done &done) {
            if (!done)
                return say(done.error().sentence);
            setStep(0);
            emit handedOver(*code);
        });
}

void CustodyDesk::complete(const QString &giverConfirms, const QString &receiverConfirms,
                           const QString &condition, const QString &temperatureC, const QString &basis,
                           const QString &sealsSeen)
{
    if (m_step != 2)
        return;
    const bool waited = !m_code.isEmpty();
    if ((!waited && giverConfirms.trimmed().isEmpty()) || receiverConfirms.trimmed().isEmpty())
        return say(waited ? tr("%1 must confirm by typing the name.").arg(m_receiver)
                          : tr("Both must confirm, each by typing their own name: %1 and %2.")
                                .arg(m_giver, m_receiver));
    const QString seen = sealsSeen.trimmed().toLower();
    if (!m_seals.isEmpty() && seen != QLatin1String("intact") && seen != QLatin1String("broken"))
        return say(tr("Look at the seals (%1) and say intact or broken.").arg(seals()));
    const Act act = m_desk->act();
    Receipt r;
    r.offer = m_code;
    r.by = m_receiver;
    r.refused = m_refused;
    for (const QString &id : std::as_const(m_ids)) {
        if (!m_refused.contains(id))
            r.accepted << id;
    }
    r.condition = condition;
    r.temperatureC = temperatureC;
    r.basis = basis;
    r.at = act.now;
    (seen == QLatin1String("intact") ? r.sealsIntact : r.sealsBroken) = m_seals;
    r.confirmation.by = receiverConfirms;
    const auto code = std::make_shared<QString>(m_code);
    m_desk->write(
        tr("Handing over"),
        [=, o = offer(giverConfirms, act.now)](CruiseFile &file) -> Done {
            Receipt receipt = r;
            if (!waited) {
                const auto offered = offerItems(file, act, o);
                if (!offered)
                    return offered.error();
                *code = receipt.offer = offered->code;
            }
            const auto received = receiveItems(file, act, receipt);
            if (received)
                return {};
            // Relinquished it is, then, but the receiver's half did not stand: it is taken back as one act.
            if (!waited) {
                if (const auto back = withdrawOffer(file, act, *code, received.error().sentence, act.now);
                    !back)
                    return back.error();
            }
            return received.error();
        },
        [this, code](const Done &done) {
            if (!done)
                return say(done.error().sentence);
            setStep(0);
            emit handedOver(*code);
        });
}

QString CustodyDesk::answer() const
{
    if (!m_desk->isOpen())
        return tr("no cruise is open");
    if (m_view.items == 0)
        return tr("there is nothing yet");
    QStringList words{counted(m_view.items, tr("thing"), tr("things")) + tr(" with ") +
                      counted(static_cast<qint64>(m_view.holders.size()), tr("holder"), tr("holders"))};
    if (!m_view.open.empty())
        words << counted(static_cast<qint64>(m_view.open.size()), tr("hand-over waiting"),
                         tr("hand-overs waiting"));
    if (breaks() > 0)
        words << counted(breaks(), tr("break in custody"), tr("breaks in custody"));
    return words.join(QStringLiteral(" · "));
}

QStringList CustodyDesk::holders() const
{
    QStringList lines;
    for (const HolderCount &h : m_view.holders)
        lines << tr("%1: %2").arg(h.holder.isEmpty() ? tr("nobody is recorded") : h.holder).arg(h.items);
    return lines;
}

QStringList CustodyDesk::waiting() const
{
    QStringList lines;
    for (const HandOverInfo &h : m_view.open)
        lines << tr("%1  %2 to %3: %4, since %5")
                     .arg(h.code, h.from, h.to)
                     .arg(h.open().size())
                     .arg(clockText(h.time));
    return lines;
}

QStringList CustodyDesk::items() const
{
    QStringList lines;
    for (const QString &id : m_ids) {
        const QString reason = m_refused.value(id);
        lines << (reason.isEmpty() ? id : tr("%1   refused: %2").arg(id, reason));
    }
    return lines;
}

QString CustodyDesk::conditionWords()
{
    return receiptConditions().join(QStringLiteral(", "));
}

QString CustodyDesk::basisWords()
{
    return custodyBases().join(QStringLiteral(", "));
}

} // namespace holdfast
