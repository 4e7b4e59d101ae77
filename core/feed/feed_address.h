// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QString>

namespace holdfast
{

/// Where the lines of a live feed come from, written as one word:
///   udp://0.0.0.0:47001            listens at that port; the address is one of this computer, 0.0.0.0 for
///                                  all of them, or a multicast group that is joined
///   tcp://192.168.1.20:4001        connects to a server
///   serial:/dev/ttyUSB0,9600,8N1   reads a serial line; without the last parts 9600 baud, 8N1
///   replay:logs/ctd.csv,10         plays a log file, 1 to 100 times as fast; without the last part once
struct FeedAddress {
    enum class Way { Udp, Tcp, Serial, Replay };
    Way way = Way::Udp;
    QString host; ///< UDP, TCP
    quint16 port = 0;
    QString path; ///< serial device or log file
    int baud = 9600;
    int dataBits = 8;  ///< 5 to 8
    char parity = 'N'; ///< N none, E even, O odd
    int stopBits = 1;  ///< 1 or 2
    double speed = 1;  ///< replay

    /// The word that parseFeedAddress() reads.
    [[nodiscard]] QString text() const;
    /// The same for a record that leaves the ship: of a file that is played only its name, not its folders.
    [[nodiscard]] QString recorded() const;
    /// For people: "UDP port 47001", "TCP 192.168.1.20 port 4001", "serial /dev/ttyUSB0, 9600 baud 8N1".
    [[nodiscard]] QString words() const;
};

/// Error Usage says what was read and how an address is written. Pure.
[[nodiscard]] Result<FeedAddress> parseFeedAddress(const QString &text);

/// "host:port" with a port from 1 to 65535 (0 where `anyPort`); an IPv6 host stands in brackets.
[[nodiscard]] Result<FeedAddress> parseHostAndPort(const QString &text, bool anyPort = false);

} // namespace holdfast
