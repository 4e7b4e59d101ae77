// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody_desk.h"

#include "base/counted.h"
#include "base/ids.h"
#include "custody/confirming.h"
#include "custody/custody_book.h"
#include "custody/custody_words.h"
#include "custody/drawn_signature.h"
#include "custody/items.h"
#include "scan_filter.h"

#include <tuple>

namespace holdfast
{

CustodyDesk::CustodyDesk(Desk &desk, QObject *parent) : QObject(parent), m_desk(&desk)
{
    connect(m_desk, &Desk::refreshed, this, &CustodyDesk::read);
    auto table = HoldingTable::load();
    if (table)
        m_table.emplace(std::move(*table));
    else
        m_desk->notices().say(QStringLiteral("holding"), Notices::Weight::Problem, table.error().sentence);
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
    m_cautions.clear();
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
    readCautions();
    m_refused.clear();
    readSeals();
    readPins();
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
            readCautions();
            emit stepChanged();
        });
}

bool CustodyDesk::isId(const QString &text)
{
    return ScanFilter::looksLikeId(text.trimmed());
}

bool CustodyDesk::takeTyped(const QString &text)
{
    const auto read = readPrintedId(text);
    if (!read) {
        say(read.error().sentence);
        return false;
    }
    if (!read->checked) {
        say(tr("Type %1 with its check character, the one behind the *: it tells a mistyped id.")
                .arg(read->id));
        return false;
    }
    say({});
    m_reader.read<Item>(
        m_desk->path(), [id = read->id](const CruiseFile &file) { return readItem(file.db(), id); }, this,
        [this](const Result<Item> &item) {
            if (item)
                take(item->id);
            else
                say(item.error().sentence);
        });
    return true;
}

/// What the things are in and what they are: who takes them must know.
void CustodyDesk::readCautions()
{
    if (!m_table)
        return;
    m_reader.read<ItemCautions>(
        m_desk->path(),
        [ids = m_ids, table = *m_table](const CruiseFile &file) {
            return cautionsOfItems(file.db(), ids, table);
        },
        this,
        [this](const Result<ItemCautions> &cautions) {
            if (!cautions)
                return say(cautions.error().sentence);
            m_cautions = cautions->all();
            emit stepChanged();
        });
}

void CustodyDesk::remove(int row)
{
    if (m_step != 1 || row < 0 || row >= m_ids.size())
        return;
    m_ids.removeAt(row);
    readCautions();
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
    for (const QString &name : {m_giver, m_receiver}) {
        if (isId(name))
            return say(tr("%1 is an id, not a name. Ids go into their own field.").arg(name));
    }
    if (m_giver.isEmpty() || m_receiver.isEmpty())
        return say(tr("Both names are needed: who relinquishes and who receives."));
    if (samePerson(m_giver, m_receiver))
        return say(tr("%1 can't relinquish to themselves. To put it to another place, store it (Bench).")
                       .arg(m_giver));
    readSeals();
    readPins();
    setStep(2);
}

void CustodyDesk::readPins()
{
    m_giverHasPin = m_receiverHasPin = false;
    using Both = std::pair<bool, bool>;
    m_reader.read<Both>(
        m_desk->path(),
        [giver = m_giver, receiver = m_receiver](const CruiseFile &file) -> Result<Both> {
            const auto book = pinBookOf(file);
            if (!book)
                return book.error();
            return Both{book->has(giver), book->has(receiver)};
        },
        this,
        [this](const Result<Both> &both) {
            if (!both)
                return say(both.error().sentence);
            std::tie(m_giverHasPin, m_receiverHasPin) = *both;
            emit stepChanged();
        });
}

Result<CustodyDesk::Party> CustodyDesk::party(const QString &name, const QString &pin,
                                              const QVariantList &drawn)
{
    if (!pin.trimmed().isEmpty())
        return Party{{name, QStringLiteral("pin"), {}}, pin.trimmed()};
    if (drawn.isEmpty())
        return fail(ErrorKind::Usage,
                    tr("%1 must confirm: by their own PIN, or by signing in the field.").arg(name));
    DrawnSignature signature;
    for (const QVariant &one : drawn) {
        const QVariantList numbers = one.toList();
        QVector<QPoint> stroke;
        for (qsizetype i = 0; i + 1 < numbers.size(); i += 2)
            stroke << QPoint(numbers.at(i).toInt(), numbers.at(i + 1).toInt());
        signature.strokes << stroke;
    }
    const auto data = signature.json();
    if (!data)
        return data.error().whileDoing(name);
    return Party{{name, QStringLiteral("drawn"), *data}, {}};
}

void CustodyDesk::confirm(const std::vector<Party> &parties, std::function<void()> then)
{
    if (m_confirming)
        return;
    m_confirming = true;
    say({});
    m_reader.read<bool>(
        m_desk->path(),
        [parties, now = m_desk->act().now](const CruiseFile &file) -> Result<bool> {
            for (const Party &p : parties) {
                if (p.pin.isEmpty())
                    continue;
                if (auto right = confirmByPin(file, p.confirmation.by, p.pin, now); !right)
                    return right.error();
            }
            return true;
        },
        this,
        [this, then = std::move(then)](const Result<bool> &right) {
            m_confirming = false;
            if (!right)
                return say(right.error().sentence);
            // Somebody may have gone back meanwhile.
            if (m_step == 2)
                then();
            emit troubleChanged();
        });
}

void CustodyDesk::setPin(bool ofReceiver, const QString &old, const QString &pin, const QString &again)
{
    const QString person = ofReceiver ? m_receiver : m_giver;
    if (pin != again)
        return say(tr("The two do not agree; type the new PIN of %1 again.").arg(person));
    const Act act{person, m_desk->act().now};
    m_desk->write(
        tr("Setting the PIN of %1").arg(person),
        [=](CruiseFile &file) { return holdfast::setPin(file, act, person, pin, old); },
        [this, ofReceiver](const Done &done) {
            say(done ? QString() : done.error().sentence);
            if (!done)
                return;
            readPins();
            emit pinSet(ofReceiver);
        });
}

OfferDetails CustodyDesk::offer(const Confirmation &giver, UtcTime at) const
{
    OfferDetails o;
    o.ids = m_ids;
    o.from = m_giver;
    o.to = m_receiver;
    o.at = at;
    o.confirmation = giver;
    return o;
}

CruiseWriter::Reply CustodyDesk::ended(const std::shared_ptr<QString> &code)
{
    return [this, code](const Done &done) {
        if (!done)
            return say(done.error().sentence);
        setStep(0);
        emit handedOver(*code);
    };
}

void CustodyDesk::offerOnly(const QString &giverPin, const QVariantList &giverDrawn)
{
    if (m_step != 2 || !m_code.isEmpty())
        return;
    const auto giver = party(m_giver, giverPin, giverDrawn);
    if (!giver)
        return say(giver.error().sentence);
    confirm({*giver}, [this, confirmation = giver->confirmation] {
        const Act act = m_desk->act();
        const auto code = std::make_shared<QString>();
        m_desk->write(
            tr("Relinquishing"),
            [=, o = offer(confirmation, act.now)](CruiseFile &file) -> Done {
                const auto offered = offerItems(file, act, o);
                if (!offered)
                    return offered.error();
                *code = offered->code;
                return {};
            },
            ended(code));
    });
}

void CustodyDesk::complete(const QString &giverPin, const QVariantList &giverDrawn,
                           const QString &receiverPin, const QVariantList &receiverDrawn,
                           const QString &condition, const QString &temperatureC, const QString &basis,
                           const QString &sealsSeen)
{
    if (m_step != 2)
        return;
    const bool waited = !m_code.isEmpty();
    const auto giver = waited ? Result<Party>(Party{}) : party(m_giver, giverPin, giverDrawn);
    const auto receiver = party(m_receiver, receiverPin, receiverDrawn);
    for (const Result<Party> *one : {&giver, &receiver}) {
        if (!*one)
            return say(one->error().sentence);
    }
    const QString seen = sealsSeen.trimmed().toLower();
    if (!m_seals.isEmpty() && seen != QLatin1String("intact") && seen != QLatin1String("broken"))
        return say(tr("Look at the seals (%1) and say intact or broken.").arg(seals()));
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
    (seen == QLatin1String("intact") ? r.sealsIntact : r.sealsBroken) = m_seals;
    r.confirmation = receiver->confirmation;
    std::vector<Party> parties{*receiver};
    if (!waited)
        parties.insert(parties.begin(), *giver);
    confirm(parties, [this, r, confirmation = giver->confirmation] { hand(confirmation, r); });
}

void CustodyDesk::hand(const Confirmation &giver, Receipt receipt)
{
    const Act act = m_desk->act();
    receipt.at = act.now;
    const auto code = std::make_shared<QString>(m_code);
    m_desk->write(
        tr("Handing over"),
        [=, o = offer(giver, act.now)](CruiseFile &file) -> Done {
            if (!code->isEmpty()) {
                const auto received = receiveItems(file, act, receipt);
                return received ? Done() : Done(received.error());
            }
            const auto done = handOverItems(file, act, o, receipt);
            if (!done)
                return done.error();
            *code = done->offered.code;
            return {};
        },
        ended(code));
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
