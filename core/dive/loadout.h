// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QJsonObject>
#include <QRect>
#include <QString>
#include <QStringList>
#include <vector>

namespace holdfast
{

/// What kinds of things are collected; every kind of templates/kinds belongs to one.
[[nodiscard]] const QStringList &sampleFamilies();

/// The smallest place that holds one thing.
struct SlotSpec {
    QString code;        ///< "B2"; unique in the loadout, capital letters and digits
    QStringList accepts; ///< families of kinds it is made for: rock, biology, sediment, water
    bool mixing = false; ///< true where practice allows several samples together (rocks in a rock box)
    bool round = false;  ///< drawn as a circle: tubes, jars, bottles
    QRect area;          ///< in the plan, mm
};

/// A box or rack with its slots.
struct BoxSpec {
    QString title;     ///< "Port biobox"
    QString container; ///< what a slot of it is: "biobox", "rock box", "push core", "suction jar", "Niskin
                       ///< bottle"
    QString where;     ///< "porch", "port tray", "starboard tray"
    bool lid = false;  ///< has a lid that opens and closes
    int unload = 0;    ///< order of unloading at recovery: lowest first (life and cold first, rocks last)
    QRect area;        ///< in the plan, mm
    std::vector<SlotSpec> slotList;
};

/// Which boxes are mounted where on the vehicle for a dive, seen from above.
/// The plan's axes in whole millimetres: x to starboard, y towards the stern, origin at the bow on the port
/// side.
struct Loadout {
    QString name;
    QString title;
    QSize size; ///< of the whole plan, mm
    std::vector<BoxSpec> boxes;

    struct Place {
        const BoxSpec *box;
        const SlotSpec *slot;
    };
    /// All slots in the order of unloading, then in the order of the template.
    [[nodiscard]] std::vector<Place> inUnloadOrder() const;
};

/// Reads a loadout from its JSON (templates/loadouts/README.md). An error names the box, the key and what was
/// expected.
[[nodiscard]] Result<Loadout> parseLoadout(const QJsonObject &json, const QString &where);

} // namespace holdfast
