// SPDX-License-Identifier: GPL-3.0-or-later
#include "scan_desk.h"

#include "base/ids.h"
#include "custody/custody_lists.h"
#include "custody/find.h"

#include <QApplication>
#include <QWindow>

namespace holdfast
{

namespace
{
const QString topic = QStringLiteral("scan");
} // namespace

ScanDesk::ScanDesk(Desk &desk, Places &places, RecoveryDesk &recovery, BenchDesk &bench, CustodyDesk &custody)
    : m_desk(&desk), m_places(&places), m_recovery(&recovery), m_bench(&bench), m_custody(&custody)
{
    connect(&m_filter, &ScanFilter::scanned, this, &ScanDesk::take);
    connect(m_desk, &Desk::refreshed, this, [this] {
        m_filter.setFirstLetters(m_desk->cruiseCode().left(1));
        if (!m_record.id.isEmpty())
            show(m_record.id);
    });
    connect(m_desk, &Desk::itemWanted, this, &ScanDesk::open);
    connect(m_custody, &CustodyDesk::refused, this, &ScanDesk::refuse);
    connect(m_recovery, &RecoveryDesk::refused, this, &ScanDesk::refuse);
}

void ScanDesk::watch(QObject *window)
{
    m_filter.watch(qobject_cast<QWindow *>(window));
}

void ScanDesk::refuse(const QString &sentence)
{
    ++m_refusals;
    m_desk->notices().say(topic, Notices::Weight::Care, sentence);
    QApplication::beep();
    emit refused(sentence);
}

void ScanDesk::take(const QString &text)
{
    if (!m_desk->isOpen())
        return refuse(
            tr("No cruise is open, so %1 can't be looked up. Alt+1 opens one.").arg(text.trimmed()));
    const auto read = readPrintedId(text);
    if (!read)
        return refuse(read.error().sentence);
    const QString code = m_desk->cruiseCode();
    if (!read->id.contains(code))
        return refuse(tr("%1 is not of cruise %2.").arg(read->id, code));
    m_reader.read<Item>(
        m_desk->path(), [id = read->id](const CruiseFile &file) { return readItem(file.db(), id); }, this,
        [this](const Result<Item> &item) {
            if (!item)
                return refuse(item.error().sentence);
            m_desk->notices().settle(topic);
            route(*item);
            emit taken(item->id);
        });
}

void ScanDesk::route(const Item &item)
{
    const auto place = static_cast<Places::Name>(m_places->current());
    if (m_custody->step() == 1 && place == Places::Name::Custody)
        return m_custody->take(item.id);
    if (place == Places::Name::Recovery && m_recovery->take(item))
        return;
    if (place == Places::Name::Bench)
        return m_bench->take(item);
    show(item.id);
}

void ScanDesk::open(const QString &place, const QString &id)
{
    if (Places::placeOf(place) == static_cast<int>(Places::Name::Bench)) {
        m_reader.read<Item>(
            m_desk->path(), [id](const CruiseFile &file) { return readItem(file.db(), id); }, this,
            [this](const Result<Item> &item) {
                if (!item)
                    return refuse(item.error().sentence);
                m_bench->show(*item);
            });
    } else if (Places::placeOf(place) != static_cast<int>(Places::Name::Dive)) {
        show(id);
    }
}

void ScanDesk::show(const QString &id)
{
    const quint64 turn = ++m_turn;
    m_reader.read<History>(
        m_desk->path(), [id](const CruiseFile &file) { return readHistory(file.db(), id); }, this,
        [this, turn](const Result<History> &history) {
            if (turn != m_turn)
                return;
            if (!history)
                return refuse(history.error().sentence);
            m_record = *history;
            m_story.clear();
            for (const HistoryLine &l : m_record.lines) {
                m_story << tr("%1  %2  %3").arg(dateText(l.at), clockText(l.at), l.sentence) +
                               QStringLiteral("  (%1, %2)").arg(l.who, l.ref);
                for (const QString &struck : l.struck)
                    m_story << tr("        struck: %1").arg(struck);
            }
            m_breaks.clear();
            for (const CustodyFinding &f : m_record.custody.findings)
                m_breaks
                    << (f.explained ? tr("explained break: %1") : tr("break in custody: %1")).arg(f.sentence);
            const CustodyPeriod *now = m_record.custody.last();
            m_holder = now ? custodyText(*now) : QString();
            emit recordChanged();
        });
}

void ScanDesk::closeRecord()
{
    ++m_turn;
    m_record = {};
    emit recordChanged();
}

void ScanDesk::find(const QString &text)
{
    if (!m_desk->isOpen())
        return;
    const quint64 turn = ++m_turn;
    FindQuery query;
    query.text = text;
    m_reader.read<std::vector<FoundItem>>(
        m_desk->path(),
        [query](const CruiseFile &file) { return findItems(file.db(), query, HoldingRules(), {}); }, this,
        [this, turn, limit = query.limit](const Result<std::vector<FoundItem>> &found) {
            if (turn != m_turn)
                return;
            if (!found)
                return refuse(found.error().sentence);
            m_found.clear();
            m_foundIds.clear();
            for (const FoundItem &f : *found) {
                QStringList parts{f.names.isEmpty() ? f.what : f.names};
                for (const QString &part :
                     {f.slot, f.place, f.holder, f.state == QLatin1String("held") ? QString() : f.state}) {
                    if (!part.isEmpty())
                        parts << part;
                }
                m_found << QStringLiteral("%1   %2").arg(f.id, parts.join(QStringLiteral(" · ")));
                m_foundIds << f.id;
            }
            m_foundWords = m_found.isEmpty() ? tr("nothing fits")
                           : m_found.size() == limit
                               ? tr("the first %1; more words narrow it").arg(limit)
                               : tr("%n found", nullptr, static_cast<int>(m_found.size()));
            emit foundChanged();
        });
}

void ScanDesk::openFound(int row)
{
    if (row >= 0 && row < m_foundIds.size())
        show(m_foundIds.at(row));
}

} // namespace holdfast
