// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/line_splitter.h"

#include <algorithm>

namespace holdfast
{

void LineSplitter::push(QByteArrayView bytes, const Take &take)
{
    while (!bytes.isEmpty()) {
        const auto newline = std::find(bytes.begin(), bytes.end(), '\n');
        const qsizetype found = newline - bytes.begin();
        const qsizetype room = longest - m_rest.size();
        if (newline == bytes.end() && found < room) {
            m_rest.append(bytes.data(), bytes.size());
            return;
        }
        if (found > room) {
            m_rest.append(bytes.data(), room);
            bytes = bytes.sliced(room);
            ++m_cut;
        } else {
            m_rest.append(bytes.data(), found);
            const bool ended = newline != bytes.end();
            bytes = bytes.sliced(found + (ended ? 1 : 0));
            m_cut += ended ? 0 : 1;
        }
        take(std::exchange(m_rest, {}));
    }
}

void LineSplitter::end(const Take &take)
{
    if (!m_rest.isEmpty())
        take(std::exchange(m_rest, {}));
}

} // namespace holdfast
