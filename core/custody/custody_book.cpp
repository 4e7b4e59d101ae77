// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/custody_book.h"

#include "custody/custody_words.h"
#include "store/sql.h"

#include <QMap>
#include <QSet>
#include <algorithm>
#include <limits>
#include <tuple>

namespace holdfast
{

namespace
{

using What = CustodyEvent::What;

/// An event with its place in the one order of all entries.
struct Raw {
    QString item;
    CustodyEvent event;
    qint64 lamport = 0;
    QString station;
    qint64 seq = 0;
};

/// Restricts a query to the items of one sample, or to none of them; the placeholder is bound twice.
const QString family = QStringLiteral(
    " AND %1 IN (SELECT id FROM sample WHERE id=? UNION ALL SELECT id FROM specimen WHERE sample=?)");

/// Runs `sql` (whose first columns are item, lamport, station, seq, time) and turns each row into an event.
/// Without `itemColumn` it restricts itself, by two placeholders when there is a sample.
template <typename F>
Done gather(const Database &db, const QString &sql, const QString &itemColumn, const QString &sample,
            std::vector<Raw> &out, F fill)
{
    auto statement = Statement::prepare(
        db.connection(), sample.isEmpty() || itemColumn.isEmpty() ? sql : sql + family.arg(itemColumn));
    if (!statement)
        return statement.error();
    if (auto done = statement->run(sample.isEmpty() ? QVariantList{} : QVariantList{sample, sample}); !done)
        return done;
    while (statement->next()) {
        Raw raw;
        raw.item = statement->text(0);
        raw.lamport = statement->integer(1);
        raw.station = statement->text(2);
        raw.seq = statement->integer(3);
        raw.event.at = utcFromMicroseconds(statement->integer(4));
        raw.event.ref = QStringLiteral("%1 %2").arg(raw.station).arg(raw.seq);
        fill(*statement, raw.event);
        out.push_back(std::move(raw));
    }
    return {};
}

Done gatherCustody(const Database &db, const QString &sample, std::vector<Raw> &out)
{
    static const QHash<QString, What> words{
        {QStringLiteral("offered"), What::Offered}, {QStringLiteral("accepted"), What::Accepted},
        {QStringLiteral("refused"), What::Refused}, {QStringLiteral("withdrawn"), What::Withdrawn},
        {QStringLiteral("claimed"), What::Claimed}, {QStringLiteral("secured"), What::Secured},
        {QStringLiteral("ended"), What::Ended}};
    return gather(
        db,
        QStringLiteral("SELECT c.item, l.lamport, l.station, l.seq, c.time_us, c.what, c.offer, "
                       "c.holder, c.other, c.carrier, c.basis, c.place, c.reason FROM custody_event "
                       "c JOIN ledger l ON l.uuid=c.entry WHERE 1"),
        QStringLiteral("c.item"), sample, out, [](const Statement &row, CustodyEvent &e) {
            e.what = words.value(row.text(5), What::Handled);
            e.offer = row.text(6);
            e.holder = row.text(7);
            e.other = row.text(8);
            e.carrier = row.text(9);
            e.basis = row.text(10);
            e.place = row.text(11);
            e.reason = row.text(12);
        });
}

Done gatherSeals(const Database &db, const QString &sample, std::vector<Raw> &out)
{
    static const QHash<QString, What> words{{QStringLiteral("applied"), What::SealApplied},
                                            {QStringLiteral("intact"), What::SealIntact},
                                            {QStringLiteral("broken"), What::SealBroken}};
    return gather(db,
                  QStringLiteral("SELECT DISTINCT i.item, l.lamport, l.station, l.seq, s.time_us, s.what, "
                                 "s.seal, s.reason FROM seal_event s JOIN seal_item i ON i.seal=s.seal AND "
                                 "(s.what<>'applied' OR i.entry=s.entry) JOIN ledger l ON l.uuid=s.entry "
                                 "WHERE 1"),
                  QStringLiteral("i.item"), sample, out, [](const Statement &row, CustodyEvent &e) {
                      e.what = words.value(row.text(5), What::SealFound);
                      e.seal = row.text(6);
                      e.reason = row.text(7);
                  });
}

Done gatherWork(const Database &db, const QString &sample, std::vector<Raw> &out)
{
    if (auto done = gather(db,
                           QStringLiteral("SELECT p.item, l.lamport, l.station, l.seq, p.time_us, "
                                          "p.preservative FROM preservation p JOIN ledger l ON "
                                          "l.uuid=p.entry WHERE 1"),
                           QStringLiteral("p.item"), sample, out,
                           [](const Statement &row, CustodyEvent &e) {
                               e.what = What::Handled;
                               e.reason = QStringLiteral("preserved in %1").arg(row.text(5));
                           });
        !done)
        return done;
    return gather(db,
                  QStringLiteral("SELECT s.item, l.lamport, l.station, l.seq, s.time_us, s.place FROM "
                                 "storage s JOIN ledger l ON l.uuid=s.entry WHERE 1"),
                  QStringLiteral("s.item"), sample, out, [](const Statement &row, CustodyEvent &e) {
                      e.what = What::Moved;
                      e.place = row.text(5);
                  });
}

/// A sample that is lost, void or held again is so with all its parts.
Done gatherStates(const Database &db, const QString &sample, std::vector<Raw> &out)
{
    const QString items =
        sample.isEmpty()
            ? QStringLiteral("SELECT id, id AS sample FROM sample UNION ALL SELECT id, sample FROM "
                             "specimen")
            : QStringLiteral("SELECT id, id AS sample FROM sample WHERE id=? UNION ALL SELECT id, "
                             "sample FROM specimen WHERE sample=?");
    return gather(db,
                  QStringLiteral("SELECT i.id, l.lamport, l.station, l.seq, a.time_us, a.new_value, "
                                 "a.reason, a.by_whom FROM amendment a JOIN (%1) i ON i.sample=a.sample "
                                 "JOIN ledger l ON l.uuid=a.entry WHERE a.field='state'")
                      .arg(items),
                  QString(), sample, out, [](const Statement &row, CustodyEvent &e) {
                      const bool again = row.text(5) == QLatin1String("held");
                      e.what = again ? What::Again : What::Ended;
                      e.reason = again ? row.text(6) : row.text(5);
                      if (again)
                          e.holder = row.text(7);
                  });
}

/// A specimen that was split by mistake ends as void.
Done gatherVoided(const Database &db, const QString &sample, std::vector<Raw> &out)
{
    return gather(
        db,
        QStringLiteral("SELECT a.specimen, l.lamport, l.station, l.seq, a.time_us, a.new_value FROM "
                       "specimen_amendment a JOIN ledger l ON l.uuid=a.entry WHERE a.field='state'"),
        QStringLiteral("a.specimen"), sample, out, [](const Statement &row, CustodyEvent &e) {
            e.what = What::Ended;
            e.reason = row.text(5);
        });
}

struct Appointment {
    QString person, ref;
    UtcTime at{};
};

Result<QHash<int, std::vector<Appointment>>> custodians(const Database &db)
{
    auto rows = query(
        db.connection(),
        QStringLiteral("SELECT c.dive, c.person, c.time_us, l.station, l.seq FROM custodian c "
                       "JOIN ledger l ON l.uuid=c.entry ORDER BY c.time_us, l.lamport, l.station, l.seq"));
    if (!rows)
        return rows.error();
    QHash<int, std::vector<Appointment>> out;
    while (rows->next())
        out[static_cast<int>(rows->integer(0))].push_back(
            {rows->text(1), QStringLiteral("%1 %2").arg(rows->text(3)).arg(rows->integer(4)),
             utcFromMicroseconds(rows->integer(2))});
    return out;
}

/// From the seafloor on: who answered at the moment of collecting, and whoever came after.
void addBeginning(CustodyBook::Kept &kept, UtcTime collected, const QString &slot,
                  const std::vector<Appointment> &all)
{
    CustodyEvent begun;
    begun.what = What::Begun;
    begun.at = collected;
    begun.basis = basisInVehicle;
    begun.place = slot.isEmpty() ? QStringLiteral("vehicle, dive %1").arg(kept.dive)
                                 : QStringLiteral("vehicle, dive %1, %2").arg(kept.dive).arg(slot);
    begun.order = -1;
    for (const Appointment &a : all) {
        if (a.at <= collected) {
            begun.holder = a.person;
            begun.ref = a.ref;
            continue;
        }
        CustodyEvent later;
        later.what = What::Appointed;
        later.at = a.at;
        later.holder = a.person;
        later.ref = a.ref;
        kept.own.push_back(later);
    }
    kept.own.push_back(begun);
}

} // namespace

Result<CustodyBook> CustodyBook::read(const Database &db, const QString &sample)
{
    CustodyBook book;
    const auto appointed = custodians(db);
    if (!appointed)
        return appointed.error();
    const QVariantList one = sample.isEmpty() ? QVariantList{} : QVariantList{sample};
    auto samples = Statement::prepare(
        db.connection(), QStringLiteral("SELECT id, dive, time_us, slot FROM sample%1 ORDER BY id")
                             .arg(sample.isEmpty() ? QString() : QStringLiteral(" WHERE id=?")));
    if (!samples)
        return samples.error();
    if (auto done = samples->run(one); !done)
        return done.error();
    QSet<int> without;
    while (samples->next()) {
        Kept kept{samples->text(0), samples->text(0), {}, static_cast<int>(samples->integer(1)), {}, 0, {}};
        const auto &people = appointed->value(kept.dive);
        if (people.empty())
            without.insert(kept.dive);
        addBeginning(kept, utcFromMicroseconds(samples->integer(2)), samples->text(3), people);
        book.m_items.insert(kept.id, std::move(kept));
    }
    book.m_without = without.values();
    std::sort(book.m_without.begin(), book.m_without.end());

    auto parts = Statement::prepare(
        db.connection(),
        QStringLiteral("SELECT p.id, p.sample, p.parent, s.dive, p.time_us FROM specimen p JOIN sample s ON "
                       "s.id=p.sample%1")
            .arg(sample.isEmpty() ? QString() : QStringLiteral(" WHERE p.sample=?")));
    if (!parts)
        return parts.error();
    if (auto done = parts->run(one); !done)
        return done.error();
    while (parts->next()) {
        const UtcTime split = utcFromMicroseconds(parts->integer(4));
        const QString id = parts->text(0);
        const QString parent = parts->text(2);
        // What is split off at the same instant as a hand-over of its parent was still with the parent.
        book.m_items.insert(id, {id,
                                 parts->text(1),
                                 parent,
                                 static_cast<int>(parts->integer(3)),
                                 split,
                                 std::numeric_limits<int>::max(),
                                 {}});
        CustodyEvent handled;
        handled.what = What::Handled;
        handled.at = split;
        handled.order = std::numeric_limits<int>::max();
        handled.reason = QStringLiteral("%1 was split off").arg(id);
        handled.ref = QStringLiteral("split of %1").arg(id);
        const auto at = book.m_items.find(parent);
        if (at != book.m_items.end())
            at->own.push_back(handled);
    }

    std::vector<Raw> raws;
    for (const auto step : {gatherCustody, gatherSeals, gatherWork, gatherStates, gatherVoided}) {
        if (auto done = step(db, sample, raws); !done)
            return done.error();
    }
    std::sort(raws.begin(), raws.end(), [](const Raw &a, const Raw &b) {
        return std::tie(a.lamport, a.station, a.seq) < std::tie(b.lamport, b.station, b.seq);
    });
    // What one entry says has one order: seals are looked at before what they close is received.
    int order = 0;
    QString before;
    for (Raw &raw : raws) {
        if (raw.event.ref != before)
            ++order;
        before = raw.event.ref;
        raw.event.order = order;
        const auto kept = book.m_items.find(raw.item);
        if (kept != book.m_items.end())
            kept->own.push_back(std::move(raw.event));
    }
    book.m_ids = book.m_items.keys();
    book.m_ids.sort();
    return book;
}

Result<CustodyBook> CustodyBook::readAll(const Database &db)
{
    return read(db, {});
}

Result<CustodyBook> CustodyBook::readOf(const Database &db, const QString &id)
{
    auto row = query(db.connection(), QStringLiteral("SELECT sample FROM specimen WHERE id=?"), {id});
    if (!row)
        return row.error();
    return read(db, row->next() ? row->text(0) : id);
}

const CustodyBook::Kept *CustodyBook::item(const QString &id) const
{
    const auto it = m_items.constFind(id);
    return it == m_items.constEnd() ? nullptr : &*it;
}

std::vector<CustodyEvent> CustodyBook::eventsOf(const QString &id) const
{
    const Kept *kept = item(id);
    if (!kept)
        return {};
    if (kept->parent.isEmpty())
        return kept->own;
    return eventsOfPart(eventsOf(kept->parent), kept->split, kept->splitOrder, kept->own);
}

CustodyChain CustodyBook::chainOf(const QString &id) const
{
    CustodyChain chain = custodyChain(eventsOf(id));
    const Kept *kept = item(id);
    if (!kept || kept->parent.isEmpty())
        return chain;
    QSet<QString> own;
    for (const CustodyEvent &e : kept->own)
        own.insert(e.ref);
    chain.findings.erase(std::remove_if(chain.findings.begin(), chain.findings.end(),
                                        [&own](const CustodyFinding &f) { return !own.contains(f.ref); }),
                         chain.findings.end());
    return chain;
}

Result<CustodyPeriod> custodyNow(const Database &db, const QString &id)
{
    const auto book = CustodyBook::readOf(db, id);
    if (!book)
        return book.error();
    const CustodyChain chain = book->chainOf(id);
    if (const CustodyPeriod *last = chain.last())
        return *last;
    return fail(ErrorKind::NotFound, QStringLiteral("No sample or specimen has the id %1.").arg(id));
}

} // namespace holdfast
