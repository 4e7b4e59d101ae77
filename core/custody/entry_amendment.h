// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"

namespace holdfast
{

// Corrections of what was recorded on bench and in custody: one line through, the old text legible, who, when
// and why (field-documentation practice under EPA plans). The earlier value stays; nothing is deleted.
// Samples and specimens have their own (dive/actions.h, specimens.h); a tally is answered again.

/// An entry by "station number" as histories print it ("van 123"), or by its uuid. NotFound.
[[nodiscard]] Result<Entry> readEntry(const Database &db, const QString &name);

/// The fields of an entry of this verb that can be corrected; empty when none can.
[[nodiscard]] QStringList amendableFields(const QString &verb);

/// Usage: a field it does not have (the sentence lists those it has), a value the field can't have, no
/// reason. Nothing is written when the value is the same. The names of who gave and who received are not
/// among the fields: another person in custody is a hand-over or a claim. A preservative that turns out to be
/// (or not to be) formaldehyde clears its percentage and base in the same stroke, for they counted something
/// else. @return the fields that were cleared; they are to be corrected too.
[[nodiscard]] Result<QStringList> amendEntry(CruiseFile &file, const Act &act, const QString &entry,
                                             const QString &field, const QString &value,
                                             const QString &reason);

struct EntryAmendment {
    QString entry, target, field, oldValue, newValue, reason, by;
    UtcTime time{};
};
/// Of one entry, oldest first.
[[nodiscard]] Result<std::vector<EntryAmendment>> readEntryAmendments(const Database &db,
                                                                      const QString &target);

[[nodiscard]] VerbRules entryAmendmentVerbRules();

} // namespace holdfast
