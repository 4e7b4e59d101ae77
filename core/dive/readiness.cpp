// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/readiness.h"

#include "base/template_folder.h"
#include "dive/act_steps.h"
#include "dive/inner_acts.h"
#include "dive/loadout.h"
#include "dive/verbs.h"

#include <algorithm>

namespace holdfast
{

namespace
{

constexpr int mostCounted = 100000;

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

const QStringList &plainItems()
{
    static const QStringList items{s("feeds"), s("clocks"), s("watch"), s("permits"), s("plan")};
    return items;
}

Result<QStringList> boxTitles(const DiveInfo &dive)
{
    const auto json = parseJsonObject(dive.loadoutJson.toUtf8(), s("The dive's loadout"));
    if (!json)
        return json.error();
    const auto loadout = parseLoadout(*json, s("The dive's loadout"));
    if (!loadout)
        return loadout.error();
    QStringList titles;
    for (const BoxSpec &box : loadout->boxes)
        titles << box.title;
    return titles;
}

Done isPoint(const Database &db, int dive, const ReadyPoint &point)
{
    const auto info = readDive(db, dive);
    if (!info)
        return info.error();
    if (point.item == readyItemBox()) {
        const auto titles = boxTitles(*info);
        if (!titles)
            return titles.error();
        if (titles->contains(point.subject))
            return {};
        return fail(ErrorKind::NotFound, s("The loadout of dive %1 has no box \"%2\"; its boxes are %3.")
                                             .arg(dive)
                                             .arg(point.subject, titles->join(s(", "))));
    }
    if (plainItems().contains(point.item) && point.subject.isEmpty())
        return {};
    return fail(ErrorKind::NotFound,
                s("There is no point \"%1\" on the checklist; there are the boxes of the loadout, %2.")
                    .arg(point.item, plainItems().join(s(", "))));
}

Done inRange(int number, const QString &what)
{
    if (number >= 0 && number <= mostCounted)
        return {};
    return fail(ErrorKind::Usage, s("%1 must be 0 to %2, not %3.").arg(what).arg(mostCounted).arg(number));
}

} // namespace

QString readyItemBox()
{
    return s("box");
}

QString logRole()
{
    return s("log");
}

Done checkReady(CruiseFile &file, const Act &act, int dive, const ReadyPoint &point, bool inOrder,
                const QString &seen, const QString &note)
{
    return file.write([&] { return recordReadyCheck(file, act, dive, point, inOrder, seen, note); });
}

Done recordReadyCheck(CruiseFile &file, const Act &act, int dive, const ReadyPoint &point, bool inOrder,
                      const QString &seen, const QString &note)
{
    if (!inOrder && note.trimmed().isEmpty())
        return fail(ErrorKind::Usage, s("Say what is not in order; it stays with the record."));
    if (auto good = isPoint(file.db(), dive, point); !good)
        return good;
    return recorded(file, act, verb::readyChecked,
                    {{s("dive"), dive},
                     {s("item"), point.item},
                     {s("subject"), point.subject},
                     {s("state"), inOrder ? s("in order") : s("not in order")},
                     {s("seen"), seen.trimmed()},
                     {s("note"), note.trimmed()}});
}

Done withdrawReady(CruiseFile &file, const Act &act, int dive, const ReadyPoint &point)
{
    return file.write([&]() -> Done {
        const auto checks = readReadyChecks(file.db(), dive);
        if (!checks)
            return checks.error();
        if (!checks->contains(point))
            return fail(ErrorKind::Refused, s("\"%1\" is not checked on dive %2.")
                                                .arg(point.subject.isEmpty() ? point.item : point.subject)
                                                .arg(dive));
        return recorded(file, act, verb::readyChecked,
                        {{s("dive"), dive},
                         {s("item"), point.item},
                         {s("subject"), point.subject},
                         {s("state"), s("open")},
                         {s("seen"), QString()},
                         {s("note"), QString()}});
    });
}

Result<std::map<ReadyPoint, ReadyCheck>> readReadyChecks(const Database &db, int dive)
{
    auto rows =
        query(db.connection(),
              s("SELECT item, subject, in_order, seen, note, by_whom, time_us FROM ready_check WHERE dive=?"),
              {dive});
    if (!rows)
        return rows.error();
    std::map<ReadyPoint, ReadyCheck> checks;
    while (rows->next())
        checks[{rows->text(0), rows->text(1)}] = {rows->integer(2) != 0, rows->text(3), rows->text(4),
                                                  rows->text(5), utcFromMicroseconds(rows->integer(6))};
    return checks;
}

Done changeWatch(CruiseFile &file, const Act &act, int dive, const QString &role, const QString &person)
{
    return file.write([&] { return recordWatch(file, act, dive, role, person); });
}

Done recordWatch(CruiseFile &file, const Act &act, int dive, const QString &role, const QString &person)
{
    const QString post = role.trimmed().toLower();
    const QString name = person.trimmed();
    if (post.isEmpty() || post.size() > 40)
        return fail(ErrorKind::Usage, s("A post on the watch needs a short name, as in log, lead or pilot."));
    if (!name.isEmpty()) {
        if (auto good = checkPersonName(name); !good)
            return good;
    }
    if (auto info = readDive(file.db(), dive); !info)
        return info.error();
    const auto watch = readWatch(file.db(), dive);
    if (!watch)
        return watch.error();
    const auto held =
        std::find_if(watch->begin(), watch->end(), [&](const WatchPost &p) { return p.role == post; });
    const QString before = held == watch->end() ? QString() : held->person;
    if (before == name)
        return fail(ErrorKind::Refused, name.isEmpty()
                                            ? s("Nobody has the post \"%1\".").arg(post)
                                            : s("%1 has the post \"%2\" already.").arg(name, post));
    return recorded(file, act, verb::watchChanged,
                    {{s("dive"), dive}, {s("role"), post}, {s("from"), before}, {s("to"), name}});
}

Done checkWatchAndLog(CruiseFile &file, const Act &act, int dive, const QString &seen, const QString &note)
{
    return file.write([&]() -> Done {
        if (auto named = recordWatch(file, act, dive, logRole(), act.person); !named)
            return named;
        return recordReadyCheck(file, act, dive, {s("watch"), {}}, true, seen, note);
    });
}

Result<std::vector<WatchPost>> readWatch(const Database &db, int dive)
{
    auto rows =
        query(db.connection(),
              s("SELECT role, person, since_us FROM watch WHERE dive=? ORDER BY role<>'log', role"), {dive});
    if (!rows)
        return rows.error();
    std::vector<WatchPost> posts;
    while (rows->next())
        posts.push_back({rows->text(0), rows->text(1), utcFromMicroseconds(rows->integer(2))});
    return posts;
}

Done limitPermit(CruiseFile &file, const Act &act, const QString &taxon, std::optional<int> most,
                 const QString &title)
{
    const QString name = taxon.trimmed();
    if (name.isEmpty())
        return fail(ErrorKind::Usage,
                    s("Which taxon does the permit limit? Use the word that is typed behind p:."));
    if (most) {
        if (auto good = inRange(*most, s("A permit's number")); !good)
            return good;
    }
    return file.write([&]() -> Done {
        const auto permits = readPermits(file.db());
        if (!permits)
            return permits.error();
        const bool there = std::any_of(permits->begin(), permits->end(), [&](const PermitLimit &p) {
            return p.taxon.compare(name, Qt::CaseInsensitive) == 0;
        });
        if (!most && !there)
            return fail(ErrorKind::Refused, s("No limit is set for %1.").arg(name));
        QJsonObject body{{s("taxon"), name}, {s("title"), title.trimmed()}};
        if (most)
            body.insert(s("most"), *most);
        return recorded(file, act, verb::permitLimited, body);
    });
}

Result<std::vector<PermitLimit>> readPermits(const Database &db)
{
    auto rows = query(db.connection(), s("SELECT taxon, most, title FROM permit_limit ORDER BY taxon"));
    if (!rows)
        return rows.error();
    std::vector<PermitLimit> permits;
    while (rows->next())
        permits.push_back({rows->text(0), static_cast<int>(rows->integer(1)), rows->text(2), 0});
    if (permits.empty())
        return permits;
    // Which limit a word means is said in one place: the file's own comparison knows fewer letters.
    auto taken =
        query(db.connection(),
              s("SELECT permit, sum(count) FROM sample WHERE state<>'void' AND permit<>'' GROUP BY permit"));
    if (!taken)
        return taken.error();
    while (taken->next()) {
        if (const auto i = limitOf(permits, taken->text(0)))
            permits[*i].taken += static_cast<int>(taken->integer(1));
    }
    return permits;
}

std::optional<std::size_t> limitOf(const std::vector<PermitLimit> &permits, const QString &permit)
{
    const QString word = permit.simplified();
    if (word.isEmpty())
        return {};
    for (const bool byTaxon : {true, false}) {
        for (std::size_t i = 0; i < permits.size(); ++i) {
            const QString &name = byTaxon ? permits[i].taxon : permits[i].title;
            if (name.simplified().compare(word, Qt::CaseInsensitive) == 0)
                return i;
        }
    }
    return {};
}

QString permitDoubt(const std::vector<PermitLimit> &permits, const QString &permit)
{
    if (permits.empty() || permit.trimmed().isEmpty())
        return {};
    const auto i = limitOf(permits, permit);
    if (!i)
        return s("no limit is set for permit \"%1\": it counts against none").arg(permit.trimmed());
    const PermitLimit &p = permits[*i];
    if (p.left() >= 0)
        return {};
    return s("over the permit: %1 of at most %2 %3%4")
        .arg(p.taken)
        .arg(p.most)
        .arg(p.taxon, p.title.isEmpty() ? QString() : s(" (%1)").arg(p.title));
}

bool isOfLimits(const QString &warning)
{
    static const QStringList beginnings{s("over the permit"), s("over the plan"),
                                        s("no limit is set for permit")};
    return std::any_of(beginnings.begin(), beginnings.end(),
                       [&warning](const QString &b) { return warning.startsWith(b); });
}

void takeOut(std::vector<PermitLimit> &permits, std::vector<WantedItem> &wanted, const SampleInfo &sample)
{
    if (sample.state == s("void"))
        return;
    if (const auto i = limitOf(permits, sample.permit))
        permits[*i].taken -= sample.count;
    for (WantedItem &w : wanted) {
        if (w.means(sample.kind, sample.family))
            w.taken -= sample.count;
    }
}

bool WantedItem::means(const QString &ofKind, const QString &family) const
{
    return kind.compare(ofKind.trimmed(), Qt::CaseInsensitive) == 0 || (!family.isEmpty() && kind == family);
}

Done wantItem(CruiseFile &file, const Act &act, int dive, const QString &kind, int least,
              std::optional<int> most)
{
    const QString word = kind.trimmed().toLower();
    if (word.isEmpty())
        return fail(ErrorKind::Usage,
                    s("What is wanted? A kind, as in basalt or coral, or a family of kinds."));
    if (auto good = inRange(least, s("The number wanted")); !good)
        return good;
    if (most) {
        if (auto good = inRange(*most, s("The number at most")); !good)
            return good;
        if (*most < least)
            return fail(
                ErrorKind::Usage,
                s("At least %1 and at most %2 %3 can't both be met.").arg(least).arg(*most).arg(word));
    }
    return file.write([&]() -> Done {
        if (dive != 0) {
            if (auto info = readDive(file.db(), dive); !info)
                return info.error();
        }
        QJsonObject body{{s("dive"), dive}, {s("kind"), word}, {s("least"), least}};
        if (most)
            body.insert(s("most"), *most);
        return recorded(file, act, verb::itemWanted, body);
    });
}

Done dropItem(CruiseFile &file, const Act &act, int dive, const QString &kind)
{
    const QString word = kind.trimmed().toLower();
    return file.write([&]() -> Done {
        const auto wanted = readWanted(file.db(), dive);
        if (!wanted)
            return wanted.error();
        const bool there = std::any_of(wanted->begin(), wanted->end(),
                                       [&](const WantedItem &w) { return w.dive == dive && w.kind == word; });
        if (!there)
            return fail(ErrorKind::Refused, s("%1 is not on the plan.").arg(word));
        return recorded(file, act, verb::itemWanted,
                        {{s("dive"), dive}, {s("kind"), word}, {s("dropped"), true}});
    });
}

Result<std::vector<WantedItem>> readWanted(const Database &db, int dive)
{
    auto rows = query(
        db.connection(),
        s("SELECT dive, kind, least, most FROM wanted WHERE dive IN (0, ?) ORDER BY kind, dive"), {dive});
    if (!rows)
        return rows.error();
    std::vector<WantedItem> wanted;
    while (rows->next()) {
        WantedItem w{
            static_cast<int>(rows->integer(0)), rows->text(1), static_cast<int>(rows->integer(2)), {}, 0};
        if (!rows->isNull(3))
            w.most = static_cast<int>(rows->integer(3));
        wanted.push_back(w);
    }
    if (wanted.empty())
        return wanted;
    // What a word means is said in one place: the file's own comparison knows fewer letters.
    auto taken = query(db.connection(), s("SELECT dive, kind, family, sum(count) FROM sample WHERE "
                                          "state<>'void' GROUP BY dive, kind, family"));
    if (!taken)
        return taken.error();
    while (taken->next()) {
        for (WantedItem &w : wanted) {
            if ((w.dive == 0 || w.dive == taken->integer(0)) && w.means(taken->text(1), taken->text(2)))
                w.taken += static_cast<int>(taken->integer(3));
        }
    }
    return wanted;
}

QStringList overLimits(const std::vector<PermitLimit> &permits, const std::vector<WantedItem> &wanted,
                       const QString &kind, const QString &family, const QString &permit, int count)
{
    QStringList sentences;
    std::vector<PermitLimit> with = permits;
    if (const auto i = limitOf(permits, permit))
        with[*i].taken += count;
    if (const QString doubt = permitDoubt(with, permit); !doubt.isEmpty())
        sentences << doubt;
    for (const WantedItem &w : wanted) {
        if (w.means(kind, family) && w.most && w.taken + count > *w.most)
            sentences << s("over the plan of %1: %2 of at most %3 %4")
                             .arg(w.dive == 0 ? s("the cruise") : s("this dive"))
                             .arg(w.taken + count)
                             .arg(*w.most)
                             .arg(w.kind);
    }
    return sentences;
}

Result<Readiness> readReadiness(const Database &db, int dive)
{
    const auto info = readDive(db, dive);
    if (!info)
        return info.error();
    auto boxes = boxTitles(*info);
    if (!boxes)
        return boxes.error();
    auto checks = readReadyChecks(db, dive);
    if (!checks)
        return checks.error();
    auto watch = readWatch(db, dive);
    if (!watch)
        return watch.error();
    auto permits = readPermits(db);
    if (!permits)
        return permits.error();
    auto wanted = readWanted(db, dive);
    if (!wanted)
        return wanted.error();
    return Readiness{std::move(*boxes), std::move(*checks), std::move(*watch), std::move(*permits),
                     std::move(*wanted)};
}

} // namespace holdfast
