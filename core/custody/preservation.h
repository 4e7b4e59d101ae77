// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/holding_limits.h"
#include "custody/items.h"
#include "dive/cruise_file.h"
#include "dive/kinds.h"

namespace holdfast
{

/// What limits are looked up in; read once from the templates.
struct HoldingRules {
    HoldingTable limits;
    KindTable kinds; ///< gives the family of a material
    [[nodiscard]] static Result<HoldingRules> load();
    [[nodiscard]] const HoldingLimit *of(const Item &item) const;
};

struct Preservative {
    QString name;    ///< ethanol, formalin, frozen, none …; not empty
    QString percent; ///< concentration, a number as text; may be empty
    QString base; ///< "formalin" or "formaldehyde": what the percent counts; needed when the name is either
    QString container;                           ///< jar, bag, cryovial …
    int containerNumber = 1, containerCount = 1; ///< jar 2 of 3
    UtcTime at{};                                ///< when it went in
};

/// Percent of formaldehyde by mass in formalin of `formalinPercent`, and back. Formalin is the stock solution
/// of 37 % formaldehyde by mass, so 10 % formalin holds about 3.7 % (Western Australian Museum,
/// Preservation and Lodgement of Marine Fauna, 2011: "about 3.7-4 %"). Any number of 0 or more.
[[nodiscard]] constexpr double formaldehydeOfFormalin(double formalinPercent)
{
    return formalinPercent * 0.37;
}
[[nodiscard]] constexpr double formalinOfFormaldehyde(double formaldehydePercent)
{
    return formaldehydePercent / 0.37;
}

/// Whether the name of a preservative says formalin or formaldehyde, whose percentage needs its base.
[[nodiscard]] bool isFormaldehyde(const QString &preservative);
/// "formalin", "formaldehyde" or nothing, small letters; else Error Usage.
[[nodiscard]] Result<QString> checkedBase(const QString &base);
/// A percentage in both ways of counting; both empty without percentage or base.
struct BothPercents {
    QString formalin, formaldehyde;
};
[[nodiscard]] BothPercents bothPercents(const QString &percent, const QString &base);

/// What people must be told now; the warnings are in the record, the cautions are not.
struct HeldNotice {
    QStringList warnings;
    QStringList cautions;
};

/// Puts items into a preservative, all or none. A preservative that its limit does not name, and a limit that
/// has passed, are warnings; what met its limit before is not late when it changes its jar. Usage: no name, a
/// percent out of 0 to 100, formalin without its base, jar 3 of 2, a time in the future or before the sample
/// was taken.
[[nodiscard]] Result<HeldNotice> preserveItems(CruiseFile &file, const Act &act, const QStringList &ids,
                                               const Preservative &preservative, const HoldingRules &rules);

/// Puts items to a place: a path from the largest to the smallest, "ship/lab 2/freezer A/shelf 3". A
/// temperature (degrees Celsius as text, may be empty) out of the limit's range is a warning, and so is a
/// limit to the cold that has passed, or that goes on because nobody says how cold the place is.
[[nodiscard]] Result<HeldNotice> storeItems(CruiseFile &file, const Act &act, const QStringList &ids,
                                            const QString &place, const QString &temperatureC, UtcTime at,
                                            const HoldingRules &rules);

/// A place as it is kept: blanks around its parts dropped. Usage: no part, an empty part, more than 10.
[[nodiscard]] Result<QString> checkedPlace(const QString &place);

struct PreservationInfo {
    QString item, preservative, percent, base, formalinPercent, formaldehydePercent, container;
    int containerNumber = 1, containerCount = 1;
    QString warnings, by;
    UtcTime time{};
};
struct StorageInfo {
    QString item, place, temperatureC, warnings, by;
    UtcTime time{};
};
/// In the order of the time it was done (then of the ledger: lamport, station, number); the last one counts.
[[nodiscard]] Result<std::vector<PreservationInfo>> readPreservations(const Database &db, const QString &id);
[[nodiscard]] Result<std::vector<StorageInfo>> readStorage(const Database &db, const QString &id);

/// What lies now at a place or below it ("" for everywhere), in order of place and id.
[[nodiscard]] Result<std::vector<StorageInfo>> readPlace(const Database &db, const QString &place);

[[nodiscard]] VerbRules preservationVerbRules();

} // namespace holdfast
