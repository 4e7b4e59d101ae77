// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/dataset_about.h"

namespace holdfast
{

/// What is told about a data set, as fields that a person fills in one after the other.
struct AboutField {
    QString key;        ///< "licence", "contact.name"; creators and permits have one line each
    QString title;      ///< "licence"
    QString hint;       ///< what belongs in it
    bool lines = false; ///< several lines
};
[[nodiscard]] const std::vector<AboutField> &aboutFields();

/// The text of a field. People stand as "name; organisation; email".
[[nodiscard]] QString aboutText(const DatasetAbout &about, const QString &key);
/// Puts a text into a field; an empty one empties it. Error Malformed says what was expected, and nothing is
/// changed; NotFound for a key that is none.
[[nodiscard]] Done setAboutText(DatasetAbout &about, const QString &key, const QString &text);

/// A licence by the address of its text.
struct OpenLicence {
    QString name, url;
};
/// Those that archives of biodiversity data commonly take (common practice; the archive's own list decides).
[[nodiscard]] const std::vector<OpenLicence> &openLicences();

/// The field that mends an unmet requirement of the whole data set ("licence", "contact"); empty: none does.
[[nodiscard]] QString aboutFieldFor(const QString &check);

} // namespace holdfast
