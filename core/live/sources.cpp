// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/sources.h"

#include "dive/log_intake.h"
#include "live/replay_source.h"
#include "live/serial_source.h"
#include "live/tcp_source.h"
#include "live/udp_source.h"

#include <QDir>

namespace holdfast
{

using namespace Qt::StringLiterals;

Result<std::unique_ptr<LineSource>> makeSource(const FeedAddress &address, const FeedProfile &profile,
                                               const QString &folder, const HostClock &clock)
{
    switch (address.way) {
    case FeedAddress::Way::Udp:
        return std::make_unique<UdpSource>(address, clock);
    case FeedAddress::Way::Tcp:
        return std::make_unique<TcpSource>(address, clock);
    case FeedAddress::Way::Serial:
        return std::make_unique<SerialSource>(address, clock);
    case FeedAddress::Way::Replay:
        break;
    }
    const QString path = QDir(folder).filePath(address.path);
    const auto first = ReplaySource::firstTime(path, profile);
    if (!first)
        return first.error();
    return std::make_unique<ReplaySource>(path, profile, ShipClock::replaying(*first, address.speed), clock);
}

Result<FittingProfile> fittingProfile(const QString &path)
{
    const QStringList tried{u"position-csv"_s, u"ctd-csv"_s, u"dvl-csv"_s, u"nmea"_s};
    for (const QString &name : tried) {
        const auto profile = feedProfile(name);
        if (!profile)
            return profile.error();
        const auto first = ReplaySource::firstTime(path, *profile);
        if (first)
            return FittingProfile{*profile, *first};
        if (first.error().kind == ErrorKind::NotFound || first.error().kind == ErrorKind::Unreadable)
            return first.error();
    }
    return fail(ErrorKind::Malformed,
                u"%1: none of the profiles %2 finds a time in it; say which one reads it."_s.arg(
                    path, tried.join(u", "_s)));
}

} // namespace holdfast
