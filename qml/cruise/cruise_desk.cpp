// SPDX-License-Identifier: GPL-3.0-or-later
#include "cruise_desk.h"

#include "base/ids.h"
#include "base/template_folder.h"

#include <QFileInfo>
#include <QSettings>
#include <algorithm>
#include <iterator>

namespace holdfast
{

namespace
{
const QString recentKey = QStringLiteral("recent files");
constexpr int mostRecent = 6;
} // namespace

CruiseDesk::CruiseDesk(Desk &desk, QObject *parent) : QObject(parent), m_desk(&desk)
{
    m_pool.setMaxThreadCount(1);
    lookForRecent();
    connect(m_desk, &Desk::refreshed, this, [this] {
        rememberFile();
        emit changed();
    });
}

void CruiseDesk::rememberFile()
{
    const QString path = QFileInfo(m_desk->path()).absoluteFilePath();
    QStringList files = QSettings().value(recentKey).toStringList();
    if (!files.isEmpty() && files.first() == path)
        return;
    files.removeAll(path);
    files.prepend(path);
    QSettings().setValue(recentKey, files.mid(0, mostRecent));
    lookForRecent();
}

/// A folder of another computer may answer late, or never.
void CruiseDesk::lookForRecent()
{
    m_pool.start([this, files = QSettings().value(recentKey).toStringList()] {
        QStringList there;
        std::copy_if(files.begin(), files.end(), std::back_inserter(there),
                     [](const QString &path) { return QFileInfo::exists(path); });
        QMetaObject::invokeMethod(this, [this, there] {
            m_recent = there;
            emit changed();
        });
    });
}

void CruiseDesk::setTrouble(const QString &trouble)
{
    m_trouble = trouble;
    emit troubleChanged();
}

void CruiseDesk::forgetTrouble()
{
    setTrouble({});
}

void CruiseDesk::begin(const QString &path, const QString &code, const QString &station)
{
    if (m_beginning)
        return; // the key was pressed twice
    const Act act = m_desk->act();
    if (auto good = checkPersonName(act.person); !good)
        return setTrouble(tr("Say who is logging first (F9): the first entry carries a name too."));
    QString file = path.trimmed();
    if (file.isEmpty())
        return setTrouble(tr("Say where the cruise file shall be, as in /home/van/TK26.hfc."));
    if (!file.endsWith(QLatin1String(".hfc")))
        file += QStringLiteral(".hfc");
    setTrouble({});
    m_beginning = true;
    m_pool.start([this, act, file, code = code.trimmed().toUpper(), station = station.trimmed()] {
        const auto created = CruiseFile::create(file, code, station, act, allVerbRules());
        QMetaObject::invokeMethod(this, [this, file, done = created ? Done() : Done(created.error())] {
            m_beginning = false;
            if (!done)
                return setTrouble(done.error().sentence);
            m_desk->openFile(file);
            emit made();
        });
    });
}

void CruiseDesk::planDive(const QString &vehicle, const QString &loadout)
{
    const auto json = readTemplate(QStringLiteral("loadouts"), loadout);
    if (!json)
        return setTrouble(json.error().sentence);
    const Act act = m_desk->act();
    const int number = nextNumber();
    m_desk->write(
        tr("Planning dive %1").arg(number),
        [=](CruiseFile &file) { return holdfast::planDive(file, act, number, vehicle, *json); },
        [this, number](const Done &done) {
            setTrouble(done ? QString() : done.error().sentence);
            if (!done)
                return;
            m_desk->showDive(number);
            emit made();
        });
}

void CruiseDesk::showDiveRow(int row)
{
    const SnapshotPtr s = m_desk->snapshot();
    if (s && row >= 0 && row < static_cast<int>(s->dives.size()))
        m_desk->showDive(s->dives[static_cast<std::size_t>(row)].number);
}

QStringList CruiseDesk::dives() const
{
    QStringList lines;
    const SnapshotPtr s = m_desk->snapshot();
    if (!s)
        return lines;
    for (const DiveInfo &dive : s->dives) {
        const QString state = dive.closed     ? tr("closed")
                              : dive.onDeck   ? tr("on deck")
                              : dive.launched ? tr("in the water")
                                              : tr("planned");
        lines << tr("%1   %2   loadout %3   %4")
                     .arg(dive.number, 2, 10, QLatin1Char('0'))
                     .arg(dive.vehicle, dive.loadout, state);
    }
    return lines;
}

int CruiseDesk::currentDive() const
{
    const SnapshotPtr s = m_desk->snapshot();
    if (!s || !s->dive)
        return -1;
    for (std::size_t i = 0; i < s->dives.size(); ++i) {
        if (s->dives[i].number == s->dive->number)
            return static_cast<int>(i);
    }
    return -1;
}

QString CruiseDesk::loadoutWords() const
{
    return templateNames(QStringLiteral("loadouts")).value_or(QStringList()).join(QStringLiteral(", "));
}

QString CruiseDesk::firstLoadout() const
{
    return templateNames(QStringLiteral("loadouts")).value_or(QStringList()).value(0);
}

int CruiseDesk::nextNumber() const
{
    const SnapshotPtr s = m_desk->snapshot();
    return s && !s->dives.empty() ? s->dives.back().number + 1 : 1;
}

} // namespace holdfast
