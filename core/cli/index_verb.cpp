// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/csv.h"
#include "cli/cli.h"
#include "cli/interrupt.h"
#include "dive/loadout.h"
#include "handoff/cruise_index.h"

#include <QJsonArray>
#include <cmath>

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

/// "A..B", either end may be left out.
Result<std::pair<std::optional<double>, std::optional<double>>> rangeOf(const QString &text, const char *flag)
{
    const QStringList ends = text.split(q(".."));
    std::optional<double> values[2];
    for (int i = 0; i < 2; ++i) {
        const QString end = ends.value(i);
        bool good = end.isEmpty();
        if (!good)
            values[i] = end.toDouble(&good);
        if (!good || ends.size() != 2 || (values[i] && !std::isfinite(*values[i])))
            return fail(
                ErrorKind::Usage,
                QStringLiteral("--%1 needs two numbers as in 800..1200, not \"%2\".").arg(q(flag), text));
    }
    if (values[0] && values[1] && *values[0] > *values[1])
        return fail(ErrorKind::Usage,
                    QStringLiteral("--%1 goes from the smaller to the greater number: %2..%3, not \"%4\".")
                        .arg(q(flag), ends.at(1), ends.at(0), text));
    return std::pair(values[0], values[1]);
}

/// "WEST,SOUTH,EAST,NORTH" in degrees; west may be greater than east.
Result<std::array<double, 4>> boxOf(const QString &text)
{
    const QStringList parts = text.split(QLatin1Char(','));
    std::array<double, 4> box{};
    bool good = parts.size() == 4;
    for (std::size_t i = 0; good && i < 4; ++i) {
        box[i] = parts.at(static_cast<qsizetype>(i)).toDouble(&good);
        good = good && std::abs(box[i]) <= (i % 2 == 0 ? 180 : 90); // false for what is no number
    }
    if (!good)
        return fail(
            ErrorKind::Usage,
            QStringLiteral("--box needs WEST,SOUTH,EAST,NORTH in degrees, longitudes from -180 to 180, "
                           "latitudes from -90 to 90, not \"%1\".")
                .arg(text));
    if (box[1] > box[3])
        return fail(ErrorKind::Usage, QStringLiteral("--box has its south at %1, north of its north at %2.")
                                          .arg(parts.at(1), parts.at(3)));
    return box;
}

Result<QString> familyOf(const QString &text)
{
    if (sampleFamilies().contains(text))
        return text;
    return fail(
        ErrorKind::Usage,
        QStringLiteral("\"%1\" is no family; there are %2.").arg(text, sampleFamilies().join(q(", "))));
}

Result<IndexQuestion> questionOf(const Arguments &a)
{
    IndexQuestion w;
    w.words = a.positional().mid(2).join(QLatin1Char(' '));
    w.cruise = a.text(q("cruise"));
    if (a.has(q("family"))) {
        const auto family = familyOf(a.text(q("family")).trimmed().toLower());
        if (!family)
            return family.error();
        w.family = *family;
    }
    w.afterId = a.text(q("after"));
    for (const auto &[flag, into] : {std::pair("from", &w.from), std::pair("to", &w.to)}) {
        if (!a.has(q(flag)))
            continue;
        const auto t = a.time(q(flag));
        if (!t)
            return t.error();
        *into = *t;
    }
    if (w.from && w.to && *w.from > *w.to)
        return fail(ErrorKind::Usage, q("--from is after --to; nothing can lie between."));
    if (a.has(q("depth"))) {
        const auto range = rangeOf(a.text(q("depth")), "depth");
        if (!range)
            return range.error();
        w.shallowestM = range->first;
        w.deepestM = range->second;
    }
    if (a.has(q("box"))) {
        const auto box = boxOf(a.text(q("box")));
        if (!box)
            return box.error();
        w.box = *box;
    }
    if (a.has(q("limit"))) {
        const auto limit = a.whole(q("limit"));
        if (!limit)
            return limit.error();
        if (*limit < 1 || *limit > 10000)
            return fail(ErrorKind::Usage, q("--limit is 1 to 10000."));
        w.limit = *limit;
    }
    return w;
}

QJsonObject jsonOf(const IndexedItem &i)
{
    QJsonObject o{{q("id"), i.id},          {q("cruise"), i.cruise},
                  {q("dive"), i.dive},      {q("parent"), i.parent},
                  {q("kind"), i.kind},      {q("family"), i.family},
                  {q("name"), i.name},      {q("description"), i.description},
                  {q("place"), i.place},    {q("state"), i.state},
                  {q("package"), i.package}};
    if (i.time)
        o.insert(q("time"), toIso(*i.time));
    if (i.latitudeDeg) {
        o.insert(q("latitude_deg"), *i.latitudeDeg);
        o.insert(q("longitude_deg"), *i.longitudeDeg);
    }
    if (i.depthM)
        o.insert(q("depth_m"), *i.depthM);
    return o;
}

Done find(const Arguments &a, const World &world)
{
    const auto question = questionOf(a);
    if (!question)
        return question.error();
    const auto index = CruiseIndex::open(a.positional().at(1), false);
    if (!index)
        return index.error();
    const auto page = index->find(*question);
    if (!page)
        return page.error();
    if (a.has(q("json"))) {
        QJsonArray items;
        for (const IndexedItem &i : page->items)
            items.append(jsonOf(i));
        outJson(world, {{q("items"), items}, {q("more"), page->more}});
        return {};
    }
    for (const IndexedItem &i : page->items)
        world.out(QStringLiteral("%1  %2  %3 m  %4%5  %6  [%7]\n")
                      .arg(i.id, -18)
                      .arg(i.time ? toIso(*i.time) : q("—"),
                           i.depthM ? QString::fromLatin1(csvFixed(*i.depthM, 0)) : q("—"), i.kind,
                           i.name.isEmpty() ? QString() : q(", ") + i.name,
                           i.place.isEmpty() ? i.description : i.place, i.package));
    if (page->items.empty())
        world.out(q("Nothing found.\n"));
    if (page->more)
        world.out(QStringLiteral("There are more: --after %1\n").arg(page->items.back().id));
    return {};
}

Done index(const Arguments &a, const World &world)
{
    const QString action = a.positional().at(0);
    if (action == q("find"))
        return find(a, world);
    if (action != q("add"))
        return fail(ErrorKind::Usage, QStringLiteral("\"%1\" is neither add nor find.").arg(action));
    const QStringList packages = a.positional().mid(2);
    if (packages.isEmpty())
        return fail(ErrorKind::Usage, q("Which packages? Name at least one folder, zip or cruise file."));
    auto opened = CruiseIndex::open(a.positional().at(1), true);
    if (!opened)
        return opened.error();
    const InterruptStop interrupt;
    for (const QString &package : packages) {
        const auto items = opened->add(package, {interrupt.token(), {}});
        if (!items)
            return items.error().whileDoing(package);
        world.out(QStringLiteral("%1: %2 items\n").arg(package).arg(*items));
    }
    return {};
}

} // namespace

QList<Verb> indexVerbs()
{
    return {
        {q("index"),
         {q("add|find"), q("INDEX [PACKAGE|FILE|WORD]...")},
         {{q("cruise"), q("CODE"), q("find: only of this cruise")},
          {q("family"), q("WORD"), q("find: biology, rock, sediment or water")},
          {q("from"), q("TIME"), q("find: taken at or after this UTC time")},
          {q("to"), q("TIME"), q("find: taken at or before it")},
          {q("depth"), q("A..B"), q("find: metres, as in 800..1200 or 800..")},
          {q("box"), q("W,S,E,N"), q("find: degrees; W greater than E goes about the antimeridian")},
          {q("limit"), q("N"), q("find: items on a page; 50 when not given")},
          {q("after"), q("ID"), q("find: the page after this id")},
          jsonFlag()},
         q("Searches the samples and specimens of many cruises, from their packages or files."),
         q("index add INDEX PACKAGE|FILE... takes packages in (a later version replaces an earlier one) and\n"
           "cruise files as they are now;\n"
           "index find INDEX [WORD]... finds by words (or their beginnings) and the flags above."),
         index},
    };
}

} // namespace holdfast::cli
