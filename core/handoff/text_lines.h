// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QByteArrayView>

namespace holdfast
{

/// The lines of a text one by one, without a list of them: a text that somebody made of nothing but line
/// feeds costs no more memory than itself. Lines end in LF, CR or both (RFC 8493 2.3); the last needs no end.
/// The text must outlive it.
class TextLines
{
public:
    explicit TextLines(QByteArrayView text) : m_rest(text) {}

    /// Steps to the next line; false after the last.
    [[nodiscard]] bool next()
    {
        if (m_rest.isEmpty())
            return false;
        qsizetype end = 0;
        while (end < m_rest.size() && m_rest[end] != '\n' && m_rest[end] != '\r')
            ++end;
        m_line = m_rest.first(end);
        const bool both = m_rest.sliced(end).startsWith("\r\n");
        m_rest = m_rest.sliced(std::min(m_rest.size(), end + (both ? 2 : 1)));
        ++m_number;
        return true;
    }
    [[nodiscard]] QByteArrayView line() const { return m_line; } ///< without its end
    [[nodiscard]] qsizetype number() const { return m_number; }  ///< counted from 1

private:
    QByteArrayView m_rest, m_line;
    qsizetype m_number = 0;
};

} // namespace holdfast
