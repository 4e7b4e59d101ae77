// SPDX-License-Identifier: GPL-3.0-or-later
#include "exchange_desk.h"

#include "base/counted.h"
#include "dive/readers.h"
#include "exchange/take_in.h"
#include "ledger/station_key.h"

#include <QDir>
#include <QFileInfo>
#include <QSettings>
#include <algorithm>
#include <utility>

namespace holdfast
{

namespace
{
const QString topic = QStringLiteral("exchange");
constexpr int lookMs = 100;
const QString folderKey = QStringLiteral("exchange folder");

QString entriesOf(qint64 n)
{
    return counted(n, ExchangeDesk::tr("entry"), ExchangeDesk::tr("entries"));
}
} // namespace

ExchangeDesk::ExchangeDesk(Desk &desk, QObject *parent) : QObject(parent), m_desk(&desk)
{
    m_look.setInterval(lookMs);
    connect(&m_look, &QTimer::timeout, this, [this] {
        m_progress = m_job->share;
        emit progressed();
    });
    // All conflicts are looked for in the whole ledger: once for a file, and while the page is shown.
    connect(m_desk, &Desk::refreshed, this, [this] {
        if (m_shown || !m_read)
            read();
    });
    connect(m_desk, &Desk::leaving, this, [this] {
        m_read = false;
        m_report.clear();
        emit reported();
    });
}

ExchangeDesk::~ExchangeDesk()
{
    m_job->stop = true;
}

void ExchangeDesk::setShown(bool shown)
{
    if (shown == m_shown)
        return;
    m_shown = shown;
    emit shownChanged();
    if (shown)
        read();
}

void ExchangeDesk::read()
{
    if (!m_desk->isOpen())
        return;
    m_read = true;
    const quint64 turn = ++m_turn;
    m_reader.read<ExchangeView>(
        m_desk->path(),
        [](const CruiseFile &file) -> Result<ExchangeView> {
            auto stations = readStations(file.db(), file.station());
            if (!stations)
                return stations.error();
            auto conflicts = openConflicts(file.db());
            if (!conflicts)
                return conflicts.error();
            return ExchangeView{std::move(*stations), std::move(*conflicts)};
        },
        this,
        [this, turn](const Result<ExchangeView> &view) {
            if (turn == m_turn)
                receive(view);
        });
}

void ExchangeDesk::receive(const Result<ExchangeView> &view)
{
    m_trouble = view ? QString() : view.error().sentence;
    if (view)
        m_view = *view;
    const auto rows = static_cast<int>(m_view.conflicts.size());
    const auto again = std::find_if(m_view.conflicts.begin(), m_view.conflicts.end(),
                                    [this](const Conflict &c) { return c.key == m_key; });
    m_conflict = again != m_view.conflicts.end() ? static_cast<int>(again - m_view.conflicts.begin())
                                                 : std::clamp(m_conflict, rows > 0 ? 0 : -1, rows - 1);
    const QString before = std::exchange(m_key, inHand() ? inHand()->key : QString());
    if (m_key != before || m_side < 0)
        takeShownSide();
    if (rows > 0 && !m_shown)
        m_desk->notices().say(topic, Notices::Weight::Care,
                              tr("%1 between stations to settle.")
                                  .arg(counted(rows, tr("contradiction"), tr("contradictions"))),
                              tr("F5 look"));
    else
        m_desk->notices().settle(topic);
    emit changed();
}

const Conflict *ExchangeDesk::inHand() const
{
    return m_conflict >= 0 && m_conflict < static_cast<int>(m_view.conflicts.size())
               ? &m_view.conflicts[static_cast<std::size_t>(m_conflict)]
               : nullptr;
}

bool ExchangeDesk::begin(const QString &doing)
{
    if (!m_doing.isEmpty())
        return false;
    m_report.clear();
    m_refused = false;
    if (!m_desk->isOpen()) {
        tell(tr("Open a cruise first: Ctrl+O in Cruise."), true);
        return false;
    }
    m_job = std::make_shared<Job>();
    m_look.start();
    m_doing = doing;
    m_progress = 0;
    emit progressed();
    emit reported();
    return true;
}

void ExchangeDesk::end()
{
    m_look.stop();
    m_doing.clear();
    m_progress = 0;
    emit progressed();
    read();
}

void ExchangeDesk::tell(const QString &line, bool refused)
{
    m_report << (refused ? tr("✗ %1") : tr("✓ %1")).arg(line);
    m_refused = m_refused || refused;
    emit reported();
}

/// What is given back is called on the threads that work.
Progress ExchangeDesk::telling(const QString &doing)
{
    m_doing = doing;
    m_job->share = 0;
    emit progressed();
    return [job = m_job](double share) {
        job->share = share;
        return !job->stop.load();
    };
}

void ExchangeDesk::writeOut(const QString &folder, const std::optional<QString> &forStation)
{
    m_reader.read<Given>(
        m_desk->path(),
        [=, now = m_desk->act().now](const CruiseFile &file) -> Result<Given> {
            const auto cruise = readCruise(file.db());
            if (!cruise)
                return cruise.error();
            const auto gathered = gatherExchange(file.db(), file.station(), now, forStation);
            if (!gathered)
                return gathered.error();
            Given given{QDir(folder).filePath(exchangeFileName(cruise->code, file.station()))};
            for (const ChainPart &part : gathered->chains)
                given.entries += static_cast<qint64>(part.entries.size());
            if (auto done = writeExchangeFile(given.path, *gathered); !done)
                return done.error();
            return given;
        },
        this,
        [this, folder, forStation](const Result<Given> &given) {
            if (!given) {
                tell(given.error().sentence, true);
            } else {
                QSettings().setValue(folderKey, folder);
                tell(forStation ? tr("Written for %1: %2, %3.")
                                      .arg(*forStation, given->path, entriesOf(given->entries))
                                : tr("Written: %1, %2.").arg(given->path, entriesOf(given->entries)));
            }
            end();
        });
}

void ExchangeDesk::give(const QString &folder, int station)
{
    const QString to = folder.trimmed();
    if (!begin(tr("writing the exchange file")))
        return;
    if (to.isEmpty() || !QFileInfo(to).isDir()) {
        tell(to.isEmpty() ? tr("Say into which folder: a stick, a shared folder.")
                          : tr("There is no folder %1.").arg(to),
             true);
        return end();
    }
    const bool one = station >= 0 && station < static_cast<int>(m_view.stations.size());
    const StationState *const whom = one ? &m_view.stations[static_cast<std::size_t>(station)] : nullptr;
    writeOut(to, whom && !whom->here ? std::optional(whom->name) : std::nullopt);
}

void ExchangeDesk::takeNext(QStringList paths, const QStringList &trusted, std::function<void()> then)
{
    if (paths.isEmpty())
        return then();
    const QString path = paths.takeFirst();
    const QString name = QFileInfo(path).fileName();
    // One bad file must not keep the others out; a stop ends them all.
    const auto onward = [this, paths, trusted, then] { stopped() ? end() : takeNext(paths, trusted, then); };
    using ReadFile = std::shared_ptr<const ExchangeFile>;
    m_reader.read<ReadFile>(
        m_desk->path(),
        [path, progress = telling(tr("checking %1").arg(name))](const CruiseFile &) -> Result<ReadFile> {
            auto read = readExchangeFile(path, progress);
            if (!read)
                return read.error();
            return std::make_shared<const ExchangeFile>(std::move(*read));
        },
        this,
        [this, name, trusted, onward](const Result<ReadFile> &file) {
            if (!file) {
                tell(file.error().sentence, true);
                return onward();
            }
            const auto taken = std::make_shared<TakenIn>();
            m_desk->write(
                tr("Taking in %1").arg(name),
                [taken, trusted, file = *file,
                 progress = telling(tr("taking in %1").arg(name))](CruiseFile &cruise) -> Done {
                    auto result = takeIn(cruise, *file, trusted, progress);
                    if (!result)
                        return result.error();
                    *taken = *result;
                    return {};
                },
                [this, name, taken, onward](const Done &done) {
                    if (!done) {
                        tell(done.error().whileDoing(name).sentence, true);
                        return onward();
                    }
                    for (auto it = taken->added.begin(); it != taken->added.end(); ++it)
                        tell(tr("%1: %2 of station %3 were new here.")
                                 .arg(name, entriesOf(it.value()), it.key()));
                    if (taken->added.isEmpty())
                        tell(tr("%1, from station %2: nothing new.").arg(name, taken->from));
                    onward();
                });
        });
}

/// The keys that were typed; nothing when one is none, which is told.
std::optional<QStringList> ExchangeDesk::keysIn(const QString &trusted)
{
    auto keys = trustedKeys(trusted);
    if (keys)
        return std::move(*keys);
    tell(keys.error().sentence, true);
    end();
    return std::nullopt;
}

void ExchangeDesk::take(const QString &path, const QString &trusted)
{
    if (!begin(tr("checking the file")))
        return;
    const auto keys = keysIn(trusted);
    if (!keys)
        return;
    if (path.trimmed().isEmpty()) {
        tell(tr("Say which file: type its path, choose it, or drop it here."), true);
        return end();
    }
    takeNext({path.trimmed()}, *keys, [this] { end(); });
}

void ExchangeDesk::meet(const QString &folder, const QString &trusted)
{
    if (!begin(tr("looking into the folder")))
        return;
    const auto keys = keysIn(trusted);
    if (!keys)
        return;
    const QString where = folder.trimmed();
    m_reader.read<QStringList>(
        m_desk->path(),
        [where](const CruiseFile &file) -> Result<QStringList> {
            const auto cruise = readCruise(file.db());
            if (!cruise)
                return cruise.error();
            return exchangeFilesOfOthers(where, cruise->code, file.station());
        },
        this,
        [this, where, keys = *keys](const Result<QStringList> &paths) {
            if (!paths) {
                tell(where.isEmpty() ? tr("Say through which folder: a stick, a shared folder.")
                                     : paths.error().sentence,
                     true);
                return end();
            }
            if (paths->isEmpty())
                tell(tr("No other station has left a file there."));
            takeNext(*paths, keys, [this, where] { writeOut(where, {}); });
        });
}

void ExchangeDesk::choose(int row)
{
    m_conflict = std::clamp(row, -1, static_cast<int>(m_view.conflicts.size()) - 1);
    m_key = inHand() ? inHand()->key : QString();
    takeShownSide();
    emit changed();
}

/// Until a person chooses, what is shown now is the side in hand.
void ExchangeDesk::takeShownSide()
{
    m_side = -1;
    if (const Conflict *const c = inHand()) {
        for (std::size_t i = 0; i < c->sides.size(); ++i) {
            if (m_side < 0 || c->sides[i].shown)
                m_side = static_cast<int>(i);
        }
    }
}

void ExchangeDesk::chooseSide(int row)
{
    const Conflict *const c = inHand();
    m_side = c ? std::clamp(row, 0, static_cast<int>(c->sides.size()) - 1) : -1;
    emit changed();
}

Choice ExchangeDesk::choice() const
{
    const Conflict *const c = inHand();
    return c && m_side >= 0 ? choiceOf(*c, static_cast<std::size_t>(m_side)) : Choice();
}

void ExchangeDesk::settle(const QString &reason)
{
    const Conflict *const c = inHand();
    if (!c || !mayTake() || !begin(tr("settling")))
        return;
    const QString station = isAboutPlan(*c) ? c->sides[static_cast<std::size_t>(m_side)].station : QString();
    const Act act = m_desk->act();
    const auto fresh = std::make_shared<QString>();
    m_desk->write(
        tr("Settling %1").arg(c->about),
        [=, key = c->key](CruiseFile &file) -> Done {
            if (!station.isEmpty())
                return takePlanOf(file, act, key, station, reason);
            const auto id = settleConflict(file, act, key, reason);
            if (!id)
                return id.error();
            *fresh = *id;
            return {};
        },
        [this, about = c->about, fresh, station, by = act.person](const Done &done) {
            if (!done)
                tell(done.error().sentence, true);
            else if (!station.isEmpty())
                tell(tr("Settled by %1: %2, it is the one of station %3.").arg(by, about, station));
            else if (fresh->isEmpty())
                tell(tr("Settled by %1: %2.").arg(by, about));
            else
                tell(tr("Settled by %1: %2; the later one is %3 now, print its label again (Papers).")
                         .arg(by, about, *fresh));
            end();
            if (done)
                emit settled();
        });
}

QString ExchangeDesk::answer() const
{
    if (!m_desk->isOpen())
        return tr("no cruise is open");
    if (!m_trouble.isEmpty())
        return m_trouble;
    if (m_view.stations.size() < 2)
        return tr("no other station is known here yet");
    QStringList words;
    if (const auto open = static_cast<qint64>(m_view.conflicts.size()); open > 0)
        words << tr("%1 to settle").arg(counted(open, tr("contradiction"), tr("contradictions")));
    if (const qint64 here = knownHereOnly(m_view.stations); here > 0)
        words << tr("%1 known only here").arg(entriesOf(here));
    return words.isEmpty() ? tr("nothing that is known of here") : words.join(QStringLiteral(" · "));
}

QStringList ExchangeDesk::stations() const
{
    QStringList lines;
    for (const StationState &s : m_view.stations) {
        const QString last =
            s.lastEntry ? tr("%1 %2").arg(dateText(*s.lastEntry), clockText(*s.lastEntry)) : tr("none");
        if (s.here) {
            lines << tr("%1 (this one): %2, last %3").arg(s.name, entriesOf(s.entries), last);
            continue;
        }
        QStringList lacks;
        for (auto it = s.lacks.begin(); it != s.lacks.end(); ++it)
            lacks << tr("%1 of %2").arg(it.value()).arg(it.key());
        lines << tr("%1: %2 here, last %3; %4")
                     .arg(s.name, entriesOf(s.entries), last,
                          lacks.isEmpty() ? tr("had seen all when it wrote it")
                                          : tr("had not seen %1").arg(lacks.join(QStringLiteral(", "))));
    }
    return lines;
}

QString ExchangeDesk::ownKey() const
{
    for (const StationState &s : m_view.stations) {
        if (s.here && !s.publicKey.isEmpty())
            return keyMark(s.publicKey);
    }
    return tr("none yet");
}

QString ExchangeDesk::folder() const
{
    return QSettings().value(folderKey).toString();
}

QStringList ExchangeDesk::conflicts() const
{
    QStringList lines;
    for (const Conflict &c : m_view.conflicts)
        lines << tr("%1   %2").arg(c.key, c.about);
    return lines;
}

QStringList ExchangeDesk::sides() const
{
    QStringList lines;
    if (const Conflict *const c = inHand()) {
        for (const ConflictSide &s : c->sides)
            lines << tr("%1%2 says: %3   (%4, entry %5, %6 %7)")
                         .arg(s.shown ? tr("shown now: ") : QString(), s.station, s.says, s.by)
                         .arg(s.seq)
                         .arg(dateText(s.time), clockText(s.time));
    }
    return lines;
}

QString ExchangeDesk::advice() const
{
    return inHand() ? inHand()->advice : QString();
}

} // namespace holdfast
