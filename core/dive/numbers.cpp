// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/numbers.h"

#include "dive/id_book.h"
#include "ledger/canonical.h"

#include <QSet>

#include <algorithm>

namespace holdfast
{

namespace
{

/// Blocks after the first station's among which the others are spread by their names: as many as keep the
/// usual names (deck, lab, wet lab …) apart.
constexpr qint64 otherBlocks = 25;

/// From (inclusive) to (exclusive).
constexpr qint64 blankNumbers = 100000; ///< the first number that no blank label has

struct Block {
    qint64 from = 1;
    qint64 to = provisionalNumbers;
};

Result<Block> blockOf(const Database &db, const QString &station)
{
    auto row = query(db.connection(),
                     QStringLiteral("SELECT own.numbers_from, (SELECT min(numbers_from) FROM station WHERE "
                                    "numbers_from > own.numbers_from) FROM station own WHERE own.name=?"),
                     {station});
    if (!row)
        return row.error();
    Block block;
    if (row->next()) {
        block.from = row->integer(0);
        if (!row->isNull(1))
            block.to = row->integer(1);
    }
    return block;
}

/// One more than the largest number in the block that the query, which ends in a condition, finds.
Result<int> nextIn(const Database &db, const QString &sql, const QVariant &about, const Block &block)
{
    auto row = query(db.connection(), sql + QStringLiteral(" AND number >= ? AND number < ?"),
                     {about, block.from, block.to});
    if (!row)
        return row.error();
    const qint64 next = row->next() && !row->isNull(0) ? row->integer(0) + 1 : block.from;
    if (next < block.to)
        return static_cast<int>(next);
    return fail(ErrorKind::Refused,
                QStringLiteral(
                    "This station's numbers, %1 to %2, are used up here; the numbers after them are those of "
                    "another station. Let that station give the next one.")
                    .arg(block.from)
                    .arg(block.to - 1));
}

} // namespace

Result<int> nextSampleNumber(const Database &db, const QString &station, int dive)
{
    const auto block = blockOf(db, station);
    if (!block)
        return block.error();
    return nextIn(db, QStringLiteral("SELECT max(number) FROM sample WHERE dive=?"), dive, *block);
}

Result<int> nextBlankNumber(const Database &db, const QString &station, int dive, int count)
{
    auto row = query(db.connection(),
                     QStringLiteral("SELECT numbers_from, (SELECT count(*) FROM station) FROM station WHERE "
                                    "name=?"),
                     {station});
    if (!row)
        return row.error();
    Block block{1, blankNumbers};
    if (row->next() && (row->integer(1) > 1 || row->integer(0) > 1)) {
        block.from = (row->integer(0) - 1) / numbersInABlock * blanksInABlock + 1;
        block.to = std::min<qint64>(block.from + blanksInABlock, blankNumbers);
    }
    auto last =
        query(db.connection(),
              QStringLiteral("SELECT max(first + count) FROM blank_label WHERE dive=? AND first>=? AND "
                             "first<?"),
              {dive, block.from, block.to});
    if (!last)
        return last.error();
    const qint64 first = last->next() && !last->isNull(0) ? last->integer(0) : block.from;
    if (first + count <= block.to)
        return static_cast<int>(first);
    return fail(ErrorKind::Refused,
                QStringLiteral("Of this station's numbers for blank labels, %1 to %2, there are %3 left for "
                               "dive %4, too few for %5. Let another station print them.")
                    .arg(block.from)
                    .arg(block.to - 1)
                    .arg(std::max<qint64>(0, block.to - first))
                    .arg(dive)
                    .arg(count));
}

Result<int> nextPartNumber(const Database &db, const QString &station, const QString &parent)
{
    auto block = blockOf(db, station);
    if (!block)
        return block.error();
    const bool alone = block->from == 1 && block->to == provisionalNumbers;
    if (!alone) {
        block->from = (block->from - 1) / numbersInABlock * partsInABlock + 1;
        block->to = block->from + partsInABlock;
    }
    return nextIn(db, QStringLiteral("SELECT max(number) FROM specimen WHERE parent=?"), parent, *block);
}

Result<int> freeNumbersFrom(const Database &db, const QString &station)
{
    auto rows = query(
        db.connection(),
        QStringLiteral("SELECT numbers_from FROM station UNION SELECT number FROM sample WHERE number < ?"),
        {provisionalNumbers});
    if (!rows)
        return rows.error();
    QSet<qint64> taken{0};
    while (rows->next())
        taken.insert((rows->integer(0) - 1) / numbersInABlock);
    bool good = false;
    const qint64 start = sha256Hex(station.toCaseFolded().toUtf8()).left(8).toLongLong(&good, 16);
    for (qint64 i = 0; good; ++i) {
        const qint64 block = i < otherBlocks ? 1 + (start + i) % otherBlocks : i + 1;
        if (!taken.contains(block))
            return static_cast<int>(block * numbersInABlock + 1);
    }
    return fail(ErrorKind::Internal, QStringLiteral("A station's numbers can't be chosen."));
}

} // namespace holdfast
