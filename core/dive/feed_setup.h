// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"
#include "feed/feed_address.h"

#include <vector>

namespace holdfast
{

/// A live feed of a station: where its lines come from and how they are read.
struct FeedSetup {
    QString name; ///< 1 to 40 characters, as on the screen: "CTD", "position"
    FeedAddress address;
    QString profile;              ///< of templates/feeds
    qint64 silentAfterMs = 10000; ///< it is loud when it has said nothing for so long; 500 to 3,600,000
};

/// Adds a feed to the file's own station, or changes the one of that name. Errors: Usage for a name or a span
/// out of range, NotFound for a profile that is not there, Duplicate when another feed has the address.
[[nodiscard]] Done setFeed(CruiseFile &file, const Act &act, const FeedSetup &feed);
/// Error NotFound names the feeds that are there.
[[nodiscard]] Done removeFeed(CruiseFile &file, const Act &act, const QString &name);
/// Sets all feeds of a template (templates/feed-sets) in one entry each; others of the station stay.
[[nodiscard]] Done useFeedSet(CruiseFile &file, const Act &act, const QString &name);

/// The feeds of a station in the order in which they were set.
[[nodiscard]] Result<std::vector<FeedSetup>> readFeeds(const Database &db, const QString &station);

/// The feeds of a template: {"feeds": [{"name", "address", "profile", "silent_after_s"}]}. Errors name the
/// feed and the key.
[[nodiscard]] Result<std::vector<FeedSetup>> parseFeedSet(const QJsonObject &json, const QString &from);

/// The projectors for feeds and recordings.
[[nodiscard]] VerbRules feedVerbRules();

} // namespace holdfast
