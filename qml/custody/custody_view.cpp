// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody_view.h"

#include "custody/custody_book.h"
#include "dive/readers.h"

#include <algorithm>

namespace holdfast
{

int CustodyView::breaks() const
{
    int n = 0;
    for (const CustodyThread &t : threads)
        n += static_cast<int>(std::count_if(t.chain.findings.begin(), t.chain.findings.end(),
                                            [](const CustodyFinding &f) { return !f.explained; }));
    return n;
}

Result<CustodyView> readCustody(const Database &db, int dive, UtcTime now)
{
    CustodyView view;
    view.now = now;
    const auto samples = readSamples(db, dive);
    if (!samples)
        return samples.error();
    for (const SampleInfo &sample : *samples) {
        const auto book = CustodyBook::readOf(db, sample.id);
        if (!book)
            return book.error();
        for (const QString &id : book->ids())
            view.threads.push_back({id, book->chainOf(id)});
    }
    auto holders =
        query(db.connection(),
              QStringLiteral("SELECT holder, count(*) FROM find_item WHERE state IN ('held', 'in transit') "
                             "GROUP BY holder ORDER BY count(*) DESC, holder"));
    if (!holders)
        return holders.error();
    while (holders->next()) {
        view.holders.push_back({holders->text(0), holders->integer(1)});
        view.items += holders->integer(1);
    }
    auto open = readHandOvers(db, true);
    if (!open)
        return open.error();
    view.open = std::move(*open);
    return view;
}

} // namespace holdfast
