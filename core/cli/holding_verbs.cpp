// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"
#include "custody/due.h"

#include <QJsonArray>
#include <QJsonDocument>
#include <QJsonObject>
#include <QRegularExpression>

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

void tell(const HeldNotice &notice, const World &world)
{
    for (const QString &warning : notice.warnings)
        world.err(QStringLiteral("warning (recorded): %1\n").arg(warning));
    for (const QString &caution : notice.cautions)
        world.err(QStringLiteral("caution: %1\n").arg(caution));
}

Result<UtcTime> whenOf(const Arguments &a, UtcTime now)
{
    if (!a.has(q("at")))
        return now;
    return a.time(q("at"));
}

/// "2/3" into the container's number and how many there are.
Done readContainerOf(const Arguments &a, Preservative &p)
{
    if (!a.has(q("of")))
        return {};
    static const QRegularExpression form(QStringLiteral("^(\\d{1,5})/(\\d{1,5})\\z"));
    const auto match = form.match(a.text(q("of")).trimmed());
    if (!match.hasMatch())
        return fail(ErrorKind::Usage,
                    QStringLiteral("--of needs the container's number and how many there are, as in 2/3, not "
                                   "\"%1\".")
                        .arg(a.text(q("of"))));
    p.containerNumber = match.captured(1).toInt();
    p.containerCount = match.captured(2).toInt();
    return {};
}

Done preserve(const Arguments &a, const World &world)
{
    const Act act{a.person(), world.now()};
    const auto at = whenOf(a, act.now);
    if (!at)
        return at.error();
    Preservative p;
    p.name = a.text(q("in"));
    p.percent = a.text(q("percent"));
    p.base = a.text(q("base"));
    p.container = a.text(q("container"));
    p.at = *at;
    if (auto good = readContainerOf(a, p); !good)
        return good;
    const auto rules = HoldingRules::load();
    if (!rules)
        return rules.error();
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    const QStringList ids = a.positional().mid(1);
    const auto notice = preserveItems(*file, act, ids, p, *rules);
    if (!notice)
        return notice.error();
    tell(*notice, world);
    world.out(QStringLiteral("%1 preserved: %2%3\n")
                  .arg(ids.join(QStringLiteral(", ")).toUpper(), p.name.trimmed(),
                       p.percent.isEmpty() ? QString() : QStringLiteral(" %1 %").arg(p.percent.trimmed())));
    return {};
}

Done store(const Arguments &a, const World &world)
{
    const Act act{a.person(), world.now()};
    const auto at = whenOf(a, act.now);
    if (!at)
        return at.error();
    const auto rules = HoldingRules::load();
    if (!rules)
        return rules.error();
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    const QStringList ids = a.positional().mid(1);
    const auto notice =
        storeItems(*file, act, ids, a.text(q("place")), a.text(q("temperature")), *at, *rules);
    if (!notice)
        return notice.error();
    tell(*notice, world);
    world.out(QStringLiteral("%1 stored: %2\n")
                  .arg(ids.join(QStringLiteral(", ")).toUpper(), a.text(q("place")).trimmed()));
    return {};
}

Done place(const Arguments &a, const World &world)
{
    const auto file = openForReading(a.positional().at(0));
    if (!file)
        return file.error();
    QString path;
    if (a.has(q("at"))) {
        const auto good = checkedPlace(a.text(q("at")));
        if (!good)
            return good.error();
        path = *good;
    }
    const auto rows = readPlace(file->db(), path);
    if (!rows)
        return rows.error();
    if (rows->empty())
        world.out(path.isEmpty() ? QStringLiteral("Nothing is stored yet.\n")
                                 : QStringLiteral("Nothing is stored at %1 or below it.\n").arg(path));
    for (const StorageInfo &s : *rows)
        world.out(
            QStringLiteral("%1  %2%3\n")
                .arg(s.place, s.item,
                     s.temperatureC.isEmpty() ? QString() : QStringLiteral("  %1 C").arg(s.temperatureC)));
    return {};
}

QString leftText(double minutes)
{
    const auto whole = static_cast<int>(minutes < 0 ? -minutes : minutes);
    const QString span = whole < 120 ? QStringLiteral("%1 min").arg(whole)
                                     : QStringLiteral("%1 h %2 min").arg(whole / 60).arg(whole % 60);
    return minutes < 0 ? QStringLiteral("over by %1").arg(span) : QStringLiteral("%1 left").arg(span);
}

QJsonObject dueJson(const DueList &list, UtcTime now)
{
    QJsonArray due;
    bool anyOver = false;
    for (const DueItem &d : list.due) {
        anyOver = anyOver || d.clock.state == ClockState::Over;
        due.append(QJsonObject{{q("id"), d.item.id},
                               {q("material"), d.item.what},
                               {q("purpose"), d.item.purpose},
                               {q("what"), d.clock.what},
                               {q("due"), toIso(d.clock.due)},
                               {q("left_minutes"), d.clock.leftMinutes},
                               {q("state"), clockWord(d.clock.state)},
                               {q("question"), d.question},
                               {q("source"), d.source}});
    }
    return {{q("ok"), !anyOver},
            {q("at"), toIso(now)},
            {q("due"), due},
            {q("not_left_bottom"), QJsonArray::fromStringList(list.notLeftBottom)},
            {q("without_limit"), QJsonArray::fromStringList(list.withoutLimit)}};
}

void printDue(const DueList &list, const World &world)
{
    for (const DueItem &d : list.due) {
        const QString what = d.item.purpose.isEmpty()
                                 ? d.item.what
                                 : QStringLiteral("%1, %2").arg(d.item.what, d.item.purpose);
        world.out(QStringLiteral("%1  %2  %3  %4%5%6\n")
                      .arg(d.item.id, -16)
                      .arg(what, -20)
                      .arg(d.clock.what, -17)
                      .arg(leftText(d.clock.leftMinutes),
                           d.clock.state == ClockState::Running
                               ? QString()
                               : QStringLiteral("  %1").arg(clockWord(d.clock.state).toUpper()),
                           d.question.isEmpty() ? QString() : QStringLiteral("  (%1)").arg(d.question)));
    }
    if (list.due.empty())
        world.out(q("Nothing is due.\n"));
    if (!list.notLeftBottom.isEmpty())
        world.out(QStringLiteral("No clock yet, neither off bottom nor on deck is recorded: %1\n")
                      .arg(list.notLeftBottom.join(QStringLiteral(", "))));
    if (!list.withoutLimit.isEmpty())
        world.out(
            QStringLiteral("No limit is known for: %1\n").arg(list.withoutLimit.join(QStringLiteral(", "))));
}

Done due(const Arguments &a, const World &world)
{
    const auto now = whenOf(a, world.now());
    if (!now)
        return now.error();
    const auto rules = HoldingRules::load();
    if (!rules)
        return rules.error();
    const auto file = openForReading(a.positional().at(0));
    if (!file)
        return file.error();
    const auto list = readDue(file->db(), *rules, *now);
    if (!list)
        return list.error();
    if (a.has(q("json")))
        outJson(world, dueJson(*list, *now));
    else
        printDue(*list, world);
    return {};
}

Flag whenFlag()
{
    return {q("at"), q("UTC"), q("when; without it, now")};
}

} // namespace

QList<Verb> holdingVerbs()
{
    return {
        {q("preserve"),
         {q("FILE"), q("ID...")},
         {{q("in"), q("NAME"), q("ethanol, formalin, frozen, none, …"), true},
          {q("percent"), q("X"), q("its concentration")},
          {q("base"), q("WORD"), q("formalin or formaldehyde: what the percent counts")},
          {q("container"), q("TEXT"), q("jar, bag, cryovial, …")},
          {q("of"), q("N/M"), q("which container of how many, as in 2/3")},
          whenFlag(),
          byFlag()},
         q("Records what samples or specimens were preserved in."),
         q("All ids or none. An unusual preservative and a limit that has passed are warnings, and recorded. "
           "Cautions are\nreminders: local rules and people licensed for it decide."),
         preserve},
        {q("store"),
         {q("FILE"), q("ID...")},
         {{q("place"), q("PATH"), q("as in \"ship/lab 2/freezer A/shelf 3\""), true},
          {q("temperature"), q("C"), q("degrees Celsius there")},
          whenFlag(),
          byFlag()},
         q("Records where samples or specimens were put; moving them is the same."),
         {},
         store},
        {q("place"),
         {q("FILE")},
         {{q("at"), q("PATH"), q("a place and all below it; without it, everywhere")}},
         q("Lists what lies where."),
         {},
         place},
        {q("due"),
         {q("FILE")},
         {whenFlag(), jsonFlag()},
         q("Lists what must be cooled or preserved next, least time left first."),
         q("The cold clock runs from leaving the bottom (from on deck where that is not recorded) against "
           "the "
           "limits of\ntemplates/holding; a place stops it that is recorded to be cold enough. SOON: the "
           "warning "
           "time of the limit\nhas begun. OVER: the limit has passed."),
         due},
    };
}

} // namespace holdfast::cli
