// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>

namespace holdfast
{

/// A name as Darwin Core wants it: the lowest certain taxon alone, the doubt beside it, and the name as
/// given.
struct CertainName {
    QString scientificName;          ///< "Lophelia"; "Biota" when nothing lower is certain
    QString scientificNameId;        ///< LSID, known here for Biota only; else empty
    QString identificationQualifier; ///< "cf. pertusa", "sp.", "?"
    QString verbatimIdentification;  ///< as logged
};

/// Takes a logged name with its sign of doubt apart. What follows cf., aff., sp., spp., indet., inc., gen. or
/// a question mark is not certain; a doubtful species is certain to its genus ("Gadus cf. morhua" is certain
/// to Gadus); a doubtful single word is certain to nothing, so the name is Biota. `qualifier` as logged apart
/// ("cf.") counts for the last word. Signs: open nomenclature as in Sigovini et al. 2016.
[[nodiscard]] CertainName certainName(const QString &logged, const QString &qualifier = {});

} // namespace holdfast
