// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/feed_address.h"

#include <QRegularExpression>

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

Error notAnAddress(const QString &text, const QString &why)
{
    return fail(ErrorKind::Usage,
                u"\"%1\" is no address of a feed: %2. Write udp://0.0.0.0:47001, tcp://192.168.1.20:4001, "
                "serial:/dev/ttyUSB0,9600,8N1 or replay:logs/ctd.csv,10."_s.arg(text, why));
}

Result<FeedAddress> parseSerial(const QString &text)
{
    const QStringList parts = text.sliced(7).split(u',');
    FeedAddress a;
    a.way = FeedAddress::Way::Serial;
    a.path = parts.at(0);
    if (a.path.isEmpty() || parts.size() > 3)
        return notAnAddress(text, u"a serial line is its device, the baud rate and the frame"_s);
    if (parts.size() > 1) {
        bool good = false;
        a.baud = parts.at(1).toInt(&good);
        if (!good || a.baud < 50 || a.baud > 4'000'000)
            return notAnAddress(text, u"the baud rate is a number from 50 to 4000000"_s);
    }
    if (parts.size() > 2) {
        static const QRegularExpression frame(u"^[5-8][NEO][12]$"_s);
        if (!frame.match(parts.at(2)).hasMatch())
            return notAnAddress(text, u"the frame is data bits, parity and stop bits, as in 8N1 or 7E1"_s);
        a.dataBits = parts.at(2).at(0).digitValue();
        a.parity = parts.at(2).at(1).toLatin1();
        a.stopBits = parts.at(2).at(2).digitValue();
    }
    return a;
}

Result<FeedAddress> parseReplay(const QString &text)
{
    FeedAddress a;
    a.way = FeedAddress::Way::Replay;
    a.path = text.sliced(7);
    const qsizetype comma = a.path.lastIndexOf(u',');
    bool isNumber = false;
    const double speed = comma < 0 ? 0 : a.path.sliced(comma + 1).toDouble(&isNumber);
    if (isNumber) {
        if (!(speed >= 1 && speed <= 100))
            return notAnAddress(text, u"a replay runs 1 to 100 times as fast"_s);
        a.speed = speed;
        a.path.truncate(comma);
    }
    if (a.path.isEmpty())
        return notAnAddress(text, u"the log file is missing"_s);
    return a;
}

} // namespace

Result<FeedAddress> parseHostAndPort(const QString &text, bool anyPort)
{
    static const QRegularExpression shape(u"^(\\[[0-9A-Fa-f:.%]+\\]|[0-9A-Za-z.-]+):([0-9]{1,5})$"_s);
    const auto match = shape.match(text);
    FeedAddress a;
    const int port = match.captured(2).toInt();
    if (!match.hasMatch() || port > 65535 || (port == 0 && !anyPort))
        return fail(ErrorKind::Usage,
                    u"\"%1\" is no host and port, as in 127.0.0.1:47001 (ports are 1 to 65535)."_s.arg(text));
    a.host = match.captured(1);
    if (a.host.startsWith(u'['))
        a.host = a.host.sliced(1, a.host.size() - 2);
    a.port = static_cast<quint16>(port);
    return a;
}

Result<FeedAddress> parseFeedAddress(const QString &text)
{
    if (text.contains(u'\n') || text.size() > 1000)
        return notAnAddress(text.left(40), u"it is one line"_s);
    if (text.startsWith(u"serial:"_s))
        return parseSerial(text);
    if (text.startsWith(u"replay:"_s))
        return parseReplay(text);
    const bool udp = text.startsWith(u"udp://"_s);
    if (!udp && !text.startsWith(u"tcp://"_s))
        return notAnAddress(text, u"it does not begin with udp://, tcp://, serial: or replay:"_s);
    auto a = parseHostAndPort(text.sliced(6));
    if (!a)
        return notAnAddress(text, u"after // stand a host and a port from 1 to 65535"_s);
    a->way = udp ? FeedAddress::Way::Udp : FeedAddress::Way::Tcp;
    return a;
}

QString FeedAddress::text() const
{
    const QString shownHost = host.contains(u':') ? u"[%1]"_s.arg(host) : host;
    switch (way) {
    case Way::Udp:
        return u"udp://%1:%2"_s.arg(shownHost).arg(port);
    case Way::Tcp:
        return u"tcp://%1:%2"_s.arg(shownHost).arg(port);
    case Way::Serial:
        return u"serial:%1,%2,%3%4%5"_s.arg(path)
            .arg(baud)
            .arg(dataBits)
            .arg(QLatin1Char(parity))
            .arg(stopBits);
    case Way::Replay:
        break;
    }
    return u"replay:%1,%2"_s.arg(path).arg(speed);
}

QString FeedAddress::recorded() const
{
    FeedAddress shown = *this;
    if (way == Way::Replay)
        shown.path = path.section(u'/', -1).section(u'\\', -1);
    return shown.text();
}

QString FeedAddress::words() const
{
    switch (way) {
    case Way::Udp:
        return host == u"0.0.0.0"_s ? u"UDP port %1"_s.arg(port) : u"UDP %1 port %2"_s.arg(host).arg(port);
    case Way::Tcp:
        return u"TCP %1 port %2"_s.arg(host).arg(port);
    case Way::Serial:
        return u"serial %1, %2 baud %3%4%5"_s.arg(path)
            .arg(baud)
            .arg(dataBits)
            .arg(QLatin1Char(parity))
            .arg(stopBits);
    case Way::Replay:
        break;
    }
    return u"replay of %1, %2 ×"_s.arg(path.section(u'/', -1)).arg(speed);
}

} // namespace holdfast
