// SPDX-License-Identifier: GPL-3.0-or-later
#include "ready_desk.h"

#include "clock_words.h"
#include "dive/ready_words.h"

#include <algorithm>

namespace holdfast
{

ReadyDesk::ReadyDesk(Desk &desk, FeedDesk &feeds, UndoList &undo, QObject *parent)
    : QObject(parent), m_desk(&desk), m_feeds(&feeds), m_undo(&undo)
{
    connect(m_desk, &Desk::refreshed, this, &ReadyDesk::refresh);
    connect(m_feeds, &FeedDesk::ticked, this, &ReadyDesk::ticked);
}

const Readiness *ReadyDesk::readiness() const
{
    const SnapshotPtr s = m_desk->snapshot(); // the desk keeps it until the next one is there
    return s && s->dive ? &s->readiness : nullptr;
}

void ReadyDesk::refresh()
{
    const Readiness *r = readiness();
    m_lines.update(r ? readyLines(*r) : std::vector<ReadyLine>());
    emit changed();
}

void ReadyDesk::setTrouble(const QString &trouble)
{
    m_trouble = trouble;
    emit troubleChanged();
}

QString ReadyDesk::answer() const
{
    return readiness() ? readyAnswer(m_lines.lines()) : tr("no dive is open");
}

QStringList ReadyDesk::watch() const
{
    QStringList rows;
    if (const Readiness *r = readiness()) {
        for (const WatchPost &post : r->watch)
            rows << tr("%1   %2   since %3 UTC")
                        .arg(post.role, post.person, holdfast::clockText(post.since).left(5));
    }
    return rows;
}

QStringList ReadyDesk::permits() const
{
    QStringList rows;
    if (const Readiness *r = readiness()) {
        for (const PermitLimit &p : r->permits)
            rows << tr("%1   %2 of %3 taken, %4   %5")
                        .arg(p.taxon)
                        .arg(p.taken)
                        .arg(p.most)
                        .arg(p.left() < 0    ? tr("! %1 over").arg(-p.left())
                             : p.left() == 0 ? tr("! none left")
                                             : tr("%1 left").arg(p.left()),
                             p.title);
    }
    return rows;
}

QStringList ReadyDesk::wanted() const
{
    QStringList rows;
    if (const Readiness *r = readiness()) {
        for (const WantedItem &w : r->wanted) {
            const bool over = w.most && w.taken > *w.most;
            rows << tr("%1   %2 of %3%4   %5")
                        .arg(w.kind)
                        .arg(w.taken)
                        .arg(w.most ? tr("%1 to %2").arg(w.least).arg(*w.most)
                                    : tr("at least %1").arg(w.least),
                             w.dive == 0 ? tr(", whole cruise") : QString(),
                             over         ? tr("! over")
                             : w.enough() ? tr("✓ enough")
                                          : tr("%1 to go").arg(w.least - w.taken));
        }
    }
    return rows;
}

QString ReadyDesk::clocksNow() const
{
    if (const QString measured = clockWords(m_feeds->state(), clockLimitS); !measured.isEmpty())
        return measured;
    // A replay, or the first moments of a feed: what there is are the newest times.
    const QJsonObject seen = m_feeds->seen(m_feeds->now());
    QStringList words;
    int late = 0;
    for (auto it = seen.begin(); it != seen.end(); ++it) {
        if (!it.key().startsWith(QLatin1String("age_s ")))
            continue;
        words << tr("%1 %2 s").arg(it.key().mid(6), it.value().toString());
        late += std::abs(it.value().toString().toDouble()) > clockLimitS;
    }
    if (words.isEmpty())
        return tr("no feed gives a time");
    return tr("%1: %2").arg(late == 0
                                ? tr("newest times within %1 s of this clock").arg(clockLimitS)
                                : tr("! %1 further than %2 s from this clock").arg(late).arg(clockLimitS),
                            words.join(QStringLiteral(", ")));
}

int ReadyDesk::readyDive()
{
    if (m_desk->dive() != 0 && !m_desk->person().isEmpty())
        return m_desk->dive();
    m_desk->notices().say(QStringLiteral("ready"), Notices::Weight::Care,
                          m_desk->dive() == 0 ? tr("Open a cruise with a dive first.")
                                              : tr("Say who is logging first: every entry carries a name."),
                          m_desk->dive() == 0 ? tr("Alt+1 Cruise") : tr("F9 person"));
    return 0;
}

void ReadyDesk::write(const QString &doing, CruiseWriter::Work work, UndoList::Step step)
{
    m_desk->write(doing, std::move(work), [this, step = std::move(step)](const Done &done) {
        if (done)
            m_undo->remember(step);
    });
}

void ReadyDesk::confirm(int row)
{
    check(row, true, {});
}

void ReadyDesk::refuse(int row, const QString &note)
{
    check(row, false, note);
}

void ReadyDesk::check(int row, bool inOrder, const QString &note)
{
    const int dive = readyDive();
    if (dive == 0 || row < 0 || row >= m_lines.rowCount())
        return;
    const ReadyLine line = m_lines.lines()[static_cast<std::size_t>(row)];
    const ReadyPoint point = line.point;
    const QString seen = point.item == QLatin1String("feeds")    ? feedsNow()
                         : point.item == QLatin1String("clocks") ? clocksNow()
                                                                 : QString();
    const auto &checks = readiness()->checks;
    const auto found = checks.find(point);
    const std::optional<ReadyCheck> before =
        found == checks.end() ? std::optional<ReadyCheck>() : found->second;
    const Act act = m_desk->act();
    const bool nameLogger =
        inOrder && point.item == QLatin1String("watch") && m_desk->personWithTheLog() != act.person;
    write(tr("Recording \"%1\"").arg(line.title),
          [=](CruiseFile &file) -> Done {
              if (nameLogger)
                  return checkWatchAndLog(file, act, dive, seen, note);
              return checkReady(file, act, dive, point, inOrder, seen, note);
          },
          {tr("\"%1\"").arg(line.title), [=](CruiseFile &file, const Act &now) {
               return before ? checkReady(file, now, dive, point, before->inOrder, before->seen, before->note)
                             : withdrawReady(file, now, dive, point);
           }});
}

bool ReadyDesk::addWatch(const QString &line)
{
    const int dive = readyDive();
    const auto words = parseWatch(line);
    setTrouble(words ? QString() : words.error().sentence);
    if (!words || dive == 0)
        return false;
    if (words->role == logRole()) { // the name that every entry carries from now on
        m_desk->setPerson(words->person);
        return true;
    }
    QString before;
    for (const WatchPost &post : readiness()->watch) {
        if (post.role == words->role)
            before = post.person;
    }
    const Act act = m_desk->act();
    const WatchWords post = *words;
    const QString to = post.person == QLatin1String("off") ? QString() : post.person;
    write(tr("Recording the watch"),
          [=](CruiseFile &file) { return changeWatch(file, act, dive, post.role, to); },
          {tr("the change of %1").arg(post.role), [=](CruiseFile &file, const Act &now) {
               return changeWatch(file, now, dive, post.role, before);
           }});
    return true;
}

bool ReadyDesk::addPermit(const QString &line)
{
    const auto words = parsePermit(line);
    setTrouble(words ? QString() : words.error().sentence);
    if (!words || readyDive() == 0)
        return false;
    std::optional<PermitLimit> before;
    for (const PermitLimit &p : readiness()->permits) {
        if (p.taxon.compare(words->taxon, Qt::CaseInsensitive) == 0)
            before = p;
    }
    const Act act = m_desk->act();
    const PermitWords permit = *words;
    write(tr("Recording the permit"),
          [=](CruiseFile &file) { return limitPermit(file, act, permit.taxon, permit.most, permit.title); },
          {tr("the permit of %1").arg(permit.taxon), [=](CruiseFile &file, const Act &now) {
               return before ? limitPermit(file, now, before->taxon, before->most, before->title)
                             : limitPermit(file, now, permit.taxon, {});
           }});
    return true;
}

bool ReadyDesk::addWanted(const QString &line)
{
    const auto words = parseWanted(line);
    setTrouble(words ? QString() : words.error().sentence);
    const int dive = words ? readyDive() : 0;
    if (dive == 0)
        return false;
    const WantedWords want = *words;
    const int scope = want.wholeCruise ? 0 : dive;
    std::optional<WantedItem> before;
    for (const WantedItem &w : readiness()->wanted) {
        if (w.dive == scope && w.kind == want.kind)
            before = w;
    }
    const Act act = m_desk->act();
    write(tr("Recording the plan"),
          [=](CruiseFile &file) {
              return want.off ? dropItem(file, act, scope, want.kind)
                              : wantItem(file, act, scope, want.kind, want.least, want.most);
          },
          {tr("the plan for %1").arg(want.kind), [=](CruiseFile &file, const Act &now) {
               return before ? wantItem(file, now, scope, before->kind, before->least, before->most)
                             : dropItem(file, now, scope, want.kind);
           }});
    return true;
}

} // namespace holdfast
