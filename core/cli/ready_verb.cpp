// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"
#include "dive/readiness.h"
#include "dive/ready_words.h"

#include <QJsonArray>

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

/// The points a word means: "boxes" all boxes, a box by its title in any letter case, else an item.
std::vector<ReadyPoint> pointsOf(const QString &word, const QStringList &boxes)
{
    std::vector<ReadyPoint> points;
    for (const QString &box : boxes) {
        if (word == q("boxes") || word.compare(box, Qt::CaseInsensitive) == 0)
            points.push_back({readyItemBox(), box});
    }
    if (points.empty())
        points.push_back({word, {}});
    return points;
}

Done check(OpenDive &open, const Arguments &a, const Act &act)
{
    const auto readiness = readReadiness(open.file.db(), open.dive);
    if (!readiness)
        return readiness.error();
    for (const char *flag : {"confirm", "refuse", "withdraw"}) {
        if (!a.has(q(flag)))
            continue;
        for (const ReadyPoint &point : pointsOf(a.text(q(flag)), readiness->boxes)) {
            const bool withdraw = QLatin1String(flag) == QLatin1String("withdraw");
            auto done =
                withdraw ? withdrawReady(open.file, act, open.dive, point)
                         : checkReady(open.file, act, open.dive, point,
                                      QLatin1String(flag) == QLatin1String("confirm"), {}, a.text(q("note")));
            if (!done)
                return done;
        }
    }
    return {};
}

/// The words of --watch, --permit and --want; all of them are read before anything is done.
struct Numbers {
    decltype(parseWatch(QString())) watch;
    decltype(parsePermit(QString())) permit;
    decltype(parseWanted(QString())) want;
};

Result<Numbers> numbersOf(const Arguments &a)
{
    Numbers n{parseWatch(a.text(q("watch"))), parsePermit(a.text(q("permit"))),
              parseWanted(a.text(q("want")))};
    if (a.has(q("watch")) && !n.watch)
        return n.watch.error();
    if (a.has(q("permit")) && !n.permit)
        return n.permit.error();
    if (a.has(q("want")) && !n.want)
        return n.want.error();
    return n;
}

Done setNumbers(OpenDive &open, const Arguments &a, const Numbers &n, const Act &act)
{
    if (a.has(q("watch"))) {
        if (auto done = changeWatch(open.file, act, open.dive, n.watch->role, n.watch->person); !done)
            return done;
    }
    if (a.has(q("permit"))) {
        if (auto done = limitPermit(open.file, act, n.permit->taxon, n.permit->most, n.permit->title); !done)
            return done;
    }
    if (a.has(q("want"))) {
        const int scope = n.want->wholeCruise ? 0 : open.dive;
        if (auto done = n.want->off
                            ? dropItem(open.file, act, scope, n.want->kind)
                            : wantItem(open.file, act, scope, n.want->kind, n.want->least, n.want->most);
            !done)
            return done;
    }
    return {};
}

QString stateWord(ReadyLine::State state)
{
    switch (state) {
    case ReadyLine::State::Open:
        return q("open");
    case ReadyLine::State::Doubt:
        return q("not in order");
    case ReadyLine::State::InOrder:
        break;
    }
    return q("in order");
}

void outText(const Readiness &readiness, int dive, const World &world)
{
    const auto lines = readyLines(readiness);
    world.out(q("What is left to ready dive %1? %2\n").arg(dive).arg(readyAnswer(lines)));
    for (const ReadyLine &line : lines)
        world.out(q("  %1  %2  (%3)\n").arg(stateWord(line.state), -12).arg(line.title, line.words));
    for (const PermitLimit &p : readiness.permits)
        world.out(q("  permit  %1: %2 taken, %3 of %4%5\n")
                      .arg(p.taxon)
                      .arg(p.taken)
                      .arg(p.left() < 0 ? q("%1 over").arg(-p.left()) : q("%1 left").arg(p.left()))
                      .arg(p.most)
                      .arg(p.title.isEmpty() ? QString() : q(" (%1)").arg(p.title)));
    for (const WantedItem &w : readiness.wanted)
        world.out(q("  wanted  %1: %2 taken of at least %3%4%5\n")
                      .arg(w.kind)
                      .arg(w.taken)
                      .arg(w.least)
                      .arg(w.most ? q(", at most %1").arg(*w.most) : QString(),
                           w.dive == 0 ? q(", whole cruise") : QString()));
}

void outReadiness(const Readiness &readiness, int dive, const World &world)
{
    QJsonArray points;
    for (const ReadyLine &line : readyLines(readiness))
        points.append(QJsonObject{{q("item"), line.point.item},
                                  {q("subject"), line.point.subject},
                                  {q("state"), stateWord(line.state)},
                                  {q("words"), line.words}});
    QJsonArray permits;
    for (const PermitLimit &p : readiness.permits)
        permits.append(QJsonObject{
            {q("taxon"), p.taxon}, {q("most"), p.most}, {q("taken"), p.taken}, {q("title"), p.title}});
    QJsonArray wanted;
    for (const WantedItem &w : readiness.wanted)
        wanted.append(QJsonObject{{q("kind"), w.kind},
                                  {q("dive"), w.dive},
                                  {q("least"), w.least},
                                  {q("most"), w.most ? QJsonValue(*w.most) : QJsonValue()},
                                  {q("taken"), w.taken}});
    QJsonObject watch;
    for (const WatchPost &post : readiness.watch)
        watch.insert(post.role, post.person);
    outJson(world, {{q("dive"), dive},
                    {q("points"), points},
                    {q("watch"), watch},
                    {q("permits"), permits},
                    {q("wanted"), wanted}});
}

Done ready(const Arguments &a, const World &world)
{
    bool writes = false;
    for (const char *flag : {"confirm", "refuse", "withdraw", "watch", "permit", "want"})
        writes = writes || a.has(q(flag));
    const auto numbers = numbersOf(a);
    if (!numbers)
        return numbers.error();
    auto open = openDive(a, writes ? Database::Access::ReadWrite : Database::Access::ReadOnly);
    if (!open)
        return open.error();
    const Act act{a.person(), world.now()};
    if (auto done = check(*open, a, act); !done)
        return done;
    if (auto done = setNumbers(*open, a, *numbers, act); !done)
        return done;
    const auto readiness = readReadiness(open->file.db(), open->dive);
    if (!readiness)
        return readiness.error();
    if (a.has(q("json")))
        outReadiness(*readiness, open->dive, world);
    else
        outText(*readiness, open->dive, world);
    return {};
}

} // namespace

QList<Verb> readyVerbs()
{
    return {
        {q("ready"),
         {q("FILE")},
         {diveFlag(),
          {q("confirm"), q("POINT"),
           q("this point is in order: a box by its title, boxes, feeds, clocks, watch, "
             "permits or plan")},
          {q("refuse"), q("POINT"), q("this point is not in order; --note says why")},
          {q("withdraw"), q("POINT"), q("takes a check back: the point is open again")},
          {q("note"), q("TEXT"), q("words kept with the check")},
          {q("watch"), q("POST NAME"),
           q("who has a post from now on, as in \"pilot Tomas\"; log is who logs")},
          {q("permit"), q("TAXON N NAME"), q("how many of a taxon a permit allows on this cruise")},
          {q("want"), q("KIND N-M"),
           q("what is wanted of this dive, at least N and at most M; \"cruise\" behind "
             "it: of the cruise")},
          jsonFlag(),
          byFlag()},
         q("Shows what is left to ready a dive, and records what was checked, by whom."),
         q("A box is confirmed empty and clean by the name of who looked. Samples over a permit or the plan "
           "are\n"
           "logged with a recorded warning, never refused: the permit's own text decides, ask who holds it."),
         ready}};
}

} // namespace holdfast::cli
