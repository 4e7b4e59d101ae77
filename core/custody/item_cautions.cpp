// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/item_cautions.h"

#include "custody/held_acts.h"
#include "custody/specimens.h"
#include "dive/readers.h"

namespace holdfast
{

namespace
{

void addEach(const QStringList &from, QStringList &to)
{
    for (const QString &text : from) {
        if (!to.contains(text))
            to << text;
    }
}

} // namespace

Result<ItemCautions> cautionsOfItems(const Database &db, const QStringList &ids, const HoldingTable &table)
{
    ItemCautions cautions;
    for (const QString &id : ids) {
        const auto item = readItem(db, id);
        if (!item)
            return item.error();
        const auto in = readPreservedNow(db, item->id);
        if (!in)
            return in.error();
        if (*in)
            addEach(table.cautionsFor((*in)->preservative), cautions.substances);
        // Tissue of a coral is coral.
        const auto sample = readSample(db, item->sample);
        if (!sample)
            return sample.error();
        QStringList words{item->what, sample->kind};
        for (const QString &named : {item->id, item->sample}) {
            const auto names = readIdentifications(db, named);
            if (!names)
                return names.error();
            for (const Identification &one : *names)
                words << one.name;
        }
        addEach(table.cautionsForKind(words.join(QStringLiteral(", "))), cautions.kinds);
    }
    return cautions;
}

} // namespace holdfast
