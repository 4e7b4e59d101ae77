// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QByteArray>
#include <functional>

namespace holdfast
{

/// Makes lines of bytes as they arrive from a socket or a serial line. A line ends at a line feed, which is
/// dropped; all its other bytes stay, a carriage return too. A line longer than `longest` is given in pieces,
/// so that a sender without line ends can't fill the memory. Pure.
class LineSplitter
{
public:
    using Take = std::function<void(const QByteArray &line)>;
    static constexpr qsizetype longest = 4096;

    void push(QByteArrayView bytes, const Take &take);
    /// The sender has stopped in the middle of a line, or a datagram has ended: what there is, is a line.
    void end(const Take &take);
    /// How many pieces ended without a line feed because they were too long.
    [[nodiscard]] std::int64_t cut() const { return m_cut; }

private:
    QByteArray m_rest;
    std::int64_t m_cut = 0;
};

} // namespace holdfast
