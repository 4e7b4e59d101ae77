// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/items.h"
#include "dive/actions.h"

#include <vector>

namespace holdfast
{

// Bench work: what becomes of a sample. A specimen of sample TK26-04-017 is TK26-04-017.2, a subsample of
// that TK26-04-017.2.1; a number is given once and never again. core/custody/README.md lists the entries.

/// The honest answer to "when was it collected" where nobody saw the moment.
struct TimeSpan {
    UtcTime from{};
    UtcTime to{};
};

struct SpecimenDetails {
    QString material;         ///< what it is: coral, tissue, sediment, rock … ; not empty
    QString purpose;          ///< what it is for: DNA, morphology … ; may be empty
    std::optional<int> count; ///< 1 to 100000; none: not counted
    QString massG;            ///< grams, a number as text; empty: not weighed
    QString sizeMm;           ///< millimetres as measured, "84 x 32 x 20"; may be empty
    QString description;
    QString foundOn;              ///< id of the item it sat on or in; empty: part of its parent
    QString relation;             ///< how ("found on" when empty and foundOn is given)
    std::optional<TimeSpan> span; ///< none with foundOn: from the host's moment to on deck
    std::optional<UtcTime> at;    ///< when it was split off; none: as it is recorded
};

/// Splits a specimen off a sample, or a subsample off a specimen. @return its id.
/// Refused: the parent is lost or void; a fourth level; an associate whose time span is not known yet
/// because the dive has no "on deck"; a split before its parent was there. Error Usage for a span that ends
/// before it begins and for a split in the future.
[[nodiscard]] Result<QString> splitSpecimen(CruiseFile &file, const Act &act, const QString &parent,
                                            const SpecimenDetails &details);
/// The same off each of several, all or none. @return their ids.
[[nodiscard]] Result<QStringList> splitSpecimens(CruiseFile &file, const Act &act, const QStringList &parents,
                                                 const SpecimenDetails &details);

/// Something in a slot (or nowhere) at recovery that nobody logged and that sits on nothing logged: it gets a
/// sample number of the dive, its stamp is the moment of the find, and the stamp's "seen" holds the span in
/// which it must have been collected (without one: launched to on deck).
[[nodiscard]] Result<LoggedSample> logFind(CruiseFile &file, const Act &act, int dive,
                                           const SampleDetails &details, std::optional<TimeSpan> span,
                                           const KindTable &kinds);
/// The span of a find; none for a sample whose moment was caught.
[[nodiscard]] std::optional<TimeSpan> findSpan(const StampInfo &stamp);

struct Identification {
    QString item;
    QString name;      ///< scientific name or working name; not empty
    QString rank;      ///< a word of taxonRanks(); may be empty
    QString qualifier; ///< as in cf. or aff.; may be empty
    QString identifiedBy;
    QString date; ///< yyyy-mm-dd
    QString remark;
    QString recordedBy; ///< readers only
    UtcTime recorded{}; ///< readers only
};
/// The words for a rank, from kingdom to form, as Darwin Core's taxonRank uses them.
[[nodiscard]] const QStringList &taxonRanks();
/// Names an item; earlier names stay in the record, the last one counts.
[[nodiscard]] Done identifyItem(CruiseFile &file, const Act &act, const Identification &identification);
/// The same for several items, all or none; `identification.item` does not count.
[[nodiscard]] Done identifyItems(CruiseFile &file, const Act &act, const QStringList &ids,
                                 const Identification &identification);

struct Photograph {
    QString item, fileName, path, sha256, caption, by;
    qint64 bytes = 0;
    UtcTime time{};
};
/// Name, size and SHA-256 of a photograph: reads the whole file. Unreadable when it can't be read or is
/// empty.
[[nodiscard]] Result<Photograph> readPhotograph(const QString &path);
/// Links a photograph: the file stays where it is, the record keeps its name, size and SHA-256, and where it
/// lies as photograph_place.h says. Unreadable as readPhotograph(), Refused when it is the cruise file,
/// Duplicate when the item has the same bytes already.
[[nodiscard]] Result<Photograph> linkPhotograph(CruiseFile &file, const Act &act, const QString &item,
                                                const QString &path, const QString &caption);
/// The same to several items, all or none. @return it as linked to the last one.
[[nodiscard]] Result<Photograph> linkPhotographs(CruiseFile &file, const Act &act, const QStringList &ids,
                                                 const QString &path, const QString &caption);
/// The same of one that was read already, on a thread that nobody waits for.
[[nodiscard]] Result<Photograph> linkPhotographs(CruiseFile &file, const Act &act, const QStringList &ids,
                                                 const Photograph &seen, const QString &caption);

/// Corrects material, purpose, count, mass, size or description of a specimen; the earlier value stays.
[[nodiscard]] Done amendSpecimen(CruiseFile &file, const Act &act, const QString &id, const QString &field,
                                 const QString &value, const QString &reason);

/// Takes a specimen that was split by mistake out of the record, with a reason; it stays to be seen and its
/// number is never given again. Refused: it is no specimen, it is void already, it has parts that are not, it
/// is not at hand.
[[nodiscard]] Done voidSpecimen(CruiseFile &file, const Act &act, const QString &id, const QString &reason);
/// The same with several, all or none.
[[nodiscard]] Done voidSpecimens(CruiseFile &file, const Act &act, const QStringList &ids,
                                 const QString &reason);

/// One field of several samples and specimens, all or none; each must have that field.
[[nodiscard]] Done amendItems(CruiseFile &file, const Act &act, const QStringList &ids, const QString &field,
                              const QString &value, const QString &reason, const KindTable &kinds);

struct SpecimenInfo {
    QString id, uuid, sample, parent;
    int number = 0;
    QString state; ///< held or void
    SpecimenDetails details;
    QString by;
    UtcTime time{};
};
/// All specimens and subsamples of a sample, in the order they were made; void ones too.
[[nodiscard]] Result<std::vector<SpecimenInfo>> readSpecimens(const Database &db, const QString &sample);
[[nodiscard]] Result<SpecimenInfo> readSpecimen(const Database &db, const QString &id);
/// Oldest first; the last one counts.
[[nodiscard]] Result<std::vector<Identification>> readIdentifications(const Database &db, const QString &id);
[[nodiscard]] Result<std::vector<Photograph>> readPhotographs(const Database &db, const QString &id);

struct SpecimenAmendment {
    QString field, oldValue, newValue, reason, by;
    UtcTime time{};
};
[[nodiscard]] Result<std::vector<SpecimenAmendment>> readSpecimenAmendments(const Database &db,
                                                                            const QString &id);

/// The projectors of these entries.
[[nodiscard]] VerbRules specimenVerbRules();

} // namespace holdfast
