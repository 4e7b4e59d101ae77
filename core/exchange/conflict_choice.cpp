// SPDX-License-Identifier: GPL-3.0-or-later
#include "exchange/conflicts.h"

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

QString stations(const Conflict &conflict, const ConflictSide &but)
{
    QStringList names;
    for (const ConflictSide &s : conflict.sides) {
        if (s.station != but.station && !names.contains(s.station))
            names << s.station;
    }
    return names.join(q(", "));
}

/// "description of TK26-01-017" for a conflict about "TK26-01-017: description".
QString subject(const Conflict &conflict)
{
    const qsizetype colon = conflict.about.lastIndexOf(q(": "));
    return colon < 0
               ? conflict.about
               : QStringLiteral("%1 of %2").arg(conflict.about.mid(colon + 2), conflict.about.left(colon));
}

Choice ofValue(const Conflict &conflict, const ConflictSide &side)
{
    if (isAboutPlan(conflict))
        return {true,
                QStringLiteral("The %1 will be what station %2 said: %3. Slots that only the plan of %4 has "
                               "go, but for those in which something lies; both plans stay in the record.")
                    .arg(subject(conflict), side.station, side.says, stations(conflict, side))};
    if (side.shown)
        return {true,
                QStringLiteral("The %1 stays as it is shown now: %2 (station %3). What %4 said stays in the "
                               "record.")
                    .arg(subject(conflict), side.says, side.station, stations(conflict, side))};
    return {false,
            QStringLiteral("What station %1 said is not shown. If it is right, correct it the usual way "
                           "with a reason: the correction ends the contradiction. Only the side shown now "
                           "is settled here.")
                .arg(side.station)};
}

} // namespace

bool isAboutPlan(const Conflict &conflict)
{
    return conflict.kind == Conflict::Kind::Value && conflict.about.endsWith(q(": plan"));
}

Choice choiceOf(const Conflict &conflict, std::size_t side)
{
    if (side >= conflict.sides.size())
        return {false, q("Choose a side first.")};
    const ConflictSide &chosen = conflict.sides[side];
    switch (conflict.kind) {
    case Conflict::Kind::Value:
        return ofValue(conflict, chosen);
    case Conflict::Kind::SameId: {
        const QString id = conflict.about.section(QLatin1Char(':'), 0, 0);
        if (chosen.shown)
            return {true,
                    QStringLiteral("%1 stays the id of what station %2 recorded; what is shown under a "
                                   "provisional id gets a new one, and its label must be printed again.")
                        .arg(id, chosen.station)};
        return {false, QStringLiteral("%1 stays with the earlier of the two, so that every station decides "
                                      "alike; choose the side shown now, and the other gets a new id.")
                           .arg(id)};
    }
    case Conflict::Kind::SameSlot:
        return {true,
                q("All of them stay in the slot as they are shown. If one lies elsewhere, move that sample "
                  "instead (Dive): that ends the contradiction.")};
    case Conflict::Kind::HeldBack:
        break;
    }
    return {true,
            q("The entry stays in the ledger and out of the tables; it is no open point any more. Enter "
              "what is still true of it again first.")};
}

} // namespace holdfast
