// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/feed_setup.h"

#include "base/template_folder.h"
#include "dive/log_intake.h"
#include "dive/verbs.h"

#include <QJsonArray>
#include <algorithm>
#include <cmath>

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

constexpr qint64 shortestSilenceMs = 500;
constexpr qint64 longestSilenceMs = 3'600'000;

Done check(const FeedSetup &feed)
{
    const bool printable =
        std::all_of(feed.name.begin(), feed.name.end(), [](QChar c) { return c.isPrint(); });
    if (feed.name.isEmpty() || feed.name != feed.name.trimmed() || feed.name.size() > 40 || !printable)
        return fail(
            ErrorKind::Usage,
            u"A feed needs a name of 1 to 40 letters, digits and blanks, not \"%1\"."_s.arg(feed.name));
    if (feed.silentAfterMs < shortestSilenceMs || feed.silentAfterMs > longestSilenceMs)
        return fail(
            ErrorKind::Usage,
            u"Feed %1: it may be silent for 0.5 to 3600 s before it is told, not %2 s."_s.arg(feed.name).arg(
                static_cast<double>(feed.silentAfterMs) / 1000));
    if (auto profile = feedProfile(feed.profile); !profile)
        return profile.error().whileDoing(u"Feed %1"_s.arg(feed.name));
    return {};
}

/// Sets one feed inside a transaction.
Done setOne(CruiseFile &file, const Act &act, const FeedSetup &feed)
{
    if (auto good = check(feed); !good)
        return good;
    const auto there = readFeeds(file.db(), file.station());
    if (!there)
        return there.error();
    for (const FeedSetup &other : *there) {
        if (other.name != feed.name && other.address.text() == feed.address.text())
            return fail(ErrorKind::Duplicate,
                        u"Feed %1 has the address %2 already; two feeds can't share it."_s.arg(
                            other.name, feed.address.text()));
    }
    auto entry = file.record(act, verb::feedSet,
                             {{u"station"_s, file.station()},
                              {u"name"_s, feed.name},
                              {u"address"_s, feed.address.text()},
                              {u"profile"_s, feed.profile},
                              {u"silentAfterMs"_s, feed.silentAfterMs}});
    if (!entry)
        return entry.error();
    return {};
}

Done feedSet(const Database &db, const Entry &e)
{
    const QJsonObject b = e.bodyObject();
    return execSql(db.connection(),
                   u"INSERT INTO feed (station, name, address, profile, silent_after_ms, place) "
                   "SELECT ?, ?, ?, ?, ?, coalesce(max(place), 0) + 1 FROM feed WHERE station=? "
                   "ON CONFLICT (station, name) DO UPDATE SET address=excluded.address, "
                   "profile=excluded.profile, silent_after_ms=excluded.silent_after_ms"_s,
                   {b.value(u"station"_s).toString(), b.value(u"name"_s).toString(),
                    b.value(u"address"_s).toString(), b.value(u"profile"_s).toString(),
                    b.value(u"silentAfterMs"_s).toInteger(), b.value(u"station"_s).toString()});
}

Done feedRemoved(const Database &db, const Entry &e)
{
    const QJsonObject b = e.bodyObject();
    return execSql(db.connection(), u"DELETE FROM feed WHERE station=? AND name=?"_s,
                   {b.value(u"station"_s).toString(), b.value(u"name"_s).toString()});
}

Done recordingClosed(const Database &db, const Entry &e)
{
    const QJsonObject b = e.bodyObject();
    const auto text = [&b](const QString &key) { return b.value(key).toString(); };
    const auto whole = [&b](const QString &key) { return b.value(key).toInteger(); };
    return execSql(
        db.connection(),
        u"INSERT INTO recording (uuid, dive, feed, address, profile, begun_us, lines, bytes, blocks, "
        "first_us, last_us, digest, ending, closed_us, by_whom) VALUES "
        "(?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)"_s,
        {text(u"recording"_s), whole(u"dive"_s), text(u"feed"_s), text(u"address"_s), text(u"profile"_s),
         whole(u"begunUs"_s), whole(u"lines"_s), whole(u"bytes"_s), whole(u"blocks"_s), whole(u"firstUs"_s),
         whole(u"lastUs"_s), text(u"digest"_s), text(u"ending"_s), e.timeUs, e.actor});
}

} // namespace

Done setFeed(CruiseFile &file, const Act &act, const FeedSetup &feed)
{
    return file.write([&] { return setOne(file, act, feed); });
}

Done removeFeed(CruiseFile &file, const Act &act, const QString &name)
{
    return file.write([&]() -> Done {
        const auto there = readFeeds(file.db(), file.station());
        if (!there)
            return there.error();
        QStringList names;
        for (const FeedSetup &feed : *there)
            names << feed.name;
        if (!names.contains(name))
            return fail(
                ErrorKind::NotFound,
                u"Station %1 has no feed \"%2\"; there %3."_s.arg(
                    file.station(), name, names.isEmpty() ? u"are none"_s : u"are "_s + names.join(u", "_s)));
        auto entry = file.record(act, verb::feedRemoved, {{u"station"_s, file.station()}, {u"name"_s, name}});
        if (!entry)
            return entry.error();
        return {};
    });
}

Done useFeedSet(CruiseFile &file, const Act &act, const QString &name)
{
    const auto json = readTemplate(u"feed-sets"_s, name);
    if (!json)
        return json.error();
    const auto feeds = parseFeedSet(*json, name + u".json"_s);
    if (!feeds)
        return feeds.error();
    return file.write([&]() -> Done {
        for (const FeedSetup &feed : *feeds) {
            if (auto done = setOne(file, act, feed); !done)
                return done;
        }
        return {};
    });
}

Result<std::vector<FeedSetup>> readFeeds(const Database &db, const QString &station)
{
    auto rows = query(db.connection(),
                      u"SELECT name, address, profile, silent_after_ms FROM feed WHERE station=? ORDER BY "
                      "place, name"_s,
                      {station});
    if (!rows)
        return rows.error();
    std::vector<FeedSetup> feeds;
    while (rows->next()) {
        auto address = parseFeedAddress(rows->text(1));
        if (!address)
            return address.error().whileDoing(u"Feed %1"_s.arg(rows->text(0)));
        feeds.push_back({rows->text(0), *address, rows->text(2), rows->integer(3)});
    }
    return feeds;
}

Result<std::vector<FeedSetup>> parseFeedSet(const QJsonObject &json, const QString &from)
{
    std::vector<FeedSetup> feeds;
    const QJsonArray list = json.value(u"feeds"_s).toArray();
    if (list.isEmpty())
        return fail(ErrorKind::Malformed, u"%1: \"feeds\" must be a list of at least one feed."_s.arg(from));
    for (qsizetype i = 0; i < list.size(); ++i) {
        const QJsonObject o = list.at(i).toObject();
        const QString where = u"%1, feed %2"_s.arg(from).arg(i + 1);
        for (auto it = o.begin(); it != o.end(); ++it) {
            static const QStringList known{u"name"_s, u"address"_s, u"profile"_s, u"silent_after_s"_s};
            if (!known.contains(it.key()))
                return fail(ErrorKind::Malformed, u"%1: there is no key \"%2\"; there are %3."_s.arg(
                                                      where, it.key(), known.join(u", "_s)));
        }
        const auto address = parseFeedAddress(o.value(u"address"_s).toString());
        if (!address)
            return address.error().whileDoing(where);
        const double silent = o.value(u"silent_after_s"_s).toDouble(10);
        const FeedSetup feed{o.value(u"name"_s).toString(), *address, o.value(u"profile"_s).toString(),
                             std::llround(silent * 1000)};
        if (auto good = check(feed); !good)
            return good.error().whileDoing(where);
        feeds.push_back(feed);
    }
    return feeds;
}

VerbRules feedVerbRules()
{
    return {
        {verb::feedSet, feedSet}, {verb::feedRemoved, feedRemoved}, {verb::recordingClosed, recordingClosed}};
}

} // namespace holdfast
