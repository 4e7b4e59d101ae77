// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/package_readme.h"

#include "base/counted.h"
#include "base/version.h"
#include "custody/photograph_place.h"

#include <algorithm>

namespace holdfast
{

namespace
{

const char *const head = R"(Cruise %1: package %2
%3
Made %4 by %5 with holdfast %6. Dives: %7; samples: %8; specimens and subsamples: %9.

What this is
------------
The complete record of what a remotely operated vehicle collected: each sample with the moment, place and water it
was taken in, what became of it, who had it when, the sensor logs behind every number, and a ledger that proves that
nothing was changed afterwards. Nothing else is needed to read it: all of it is text, but the PDFs, the photographs and
data/logs/values.
)";

const char *const body = R"(
Where to look
-------------
  data/tables/            every table as CSV; datapackage.json and data-dictionary.csv say what each column means
    samples.csv           one row a sample: when, where, how sure, in what water
    sample_values.csv     every water value with its spread, window and quality flag
    specimens.csv         what samples were split into; ids grow by a full stop and a number
    identifications.csv, photographs.csv, preservation.csv, storage.csv   by id of sample or specimen, oldest first
    custody_history.csv   who had each item at every instant, from the seafloor on; custody_findings.csv what does not fit
    hand_overs.csv        relinquished by and received by; hand_over_answers.csv, seals.csv
    stamps.csv            every moment that was caught, also failed attempts
    logs.csv              the sensor logs, with checksums; log_files.csv says where each stands here
  data/dwca/              the same as a Darwin Core Archive: events (cruise > dive > sample > subsample), occurrences of
                          what lives, water values as extended measurements or facts; meta.xml, eml.xml
  data/geojson/           tracks (cut at the 180th meridian) and samples for a map, with uncertainty
  data/provenance/        PROV-JSON: which log, method, parameters and program version gave each value
  data/igsn/              what a registry of physical samples asks of rocks, cores and sediments
  data/papers/            custody sheet and report of each dive as PDF
  data/photographs/       photographs, named by the id of their item; photograph_files.csv says of each whether it is here
  data/ledger/            the ledger as text, what it says, and a script that verifies it
  data/logs/raw/          the sensor logs byte for byte; data/logs/profiles/ says what their columns are
  data/logs/received/     lines of live feeds with the time of their receipt, where feeds were recorded
  data/logs/values/       the same values as the program stored them; only needed to build its file again
  data/schemas/           what the JSON and XML files may hold, for a validator
  data/changes/           what is other than in the version before, who did it and why
  data/histories/         the life of each sample and of its parts in sentences, one file a sample
  data/open-points.txt    what was missing or doubtful when this was packed

How to check it
---------------
  1. Every byte:   sha256sum -c manifest-sha256.txt     (in the folder above data/; sha512 likewise)
  2. The ledger:   python3 data/ledger/verify_ledger.py
     It must say "the ledger holds" and the head
       %1
  3. A printed custody sheet names the ledger's head of the day it was printed. The line of that number and station in
     data/ledger/ledger.txt begins with the same hash.
This folder is a bag by RFC 8493 (BagIt 1.0): any tool for bags verifies it as well.

How to follow one specimen from the seafloor to the freezer
-----------------------------------------------------------
Take its id, for example @PART@: a part of sample @SAMPLE@.
The short way: data/histories/@SAMPLE@.txt tells the whole story. By the tables in data/tables:
  1. samples.csv, id @SAMPLE@: the moment (time), place (latitude_deg, longitude_deg within uncertainty95_m), depth
     and water; slot says where on the vehicle it lay. tally.csv, the row of that dive and slot: what was found there on
     deck.
  2. specimens.csv, id @PART@: what the part is, when and by whom it was split off. Until then it was a piece of
     its parent, and what the tables say of the parent holds for it.
  3. preservation.csv, storage.csv, identifications.csv and photographs.csv, column item: what happened to it, in order;
     the last row counts. A part without a name of its own has its parent's.
  4. custody_history.csv, column item: who had it and where it was, stretch by stretch, to the freezer. Column entry
     names the line of the ledger behind it: "van 113" is the line with "seq":113 and "station":"van".
  5. data/ledger/ledger.txt: every line that names the id, in the order in which things were written down, with the
     person who did each:  grep -nE '"@SAMPLE@"|"@PART@"' data/ledger/ledger.txt

How numbers are written
-----------------------
Times are UTC, ISO 8601, with Z. Positions are WGS 84, degrees, north and east positive; uncertainty95_m is the radius
about the position that holds the truth 95 times in 100. Depths are metres below the surface, positive down. Quality
flags are those of QARTOD: 1 pass, 2 not evaluated, 3 suspect, 4 fail, 9 missing; a missing value is an empty cell and
never a number. CSV is RFC 4180 in UTF-8, with a header row and line feeds. A text cell that would begin with
= + - @, a tab, a carriage return or an apostrophe has one apostrophe put before it, so that no spreadsheet takes it
for a formula: take one leading apostrophe off to have the text back. Numbers stand as they are.
)";

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

/// A part of which most is known, so that what is told can be tried at once.
QString exampleOf(const CruiseContent &content)
{
    QString best = content.cruise.code + q("-01-001.1");
    std::size_t most = 0;
    for (const DiveRecord &d : content.dives) {
        for (const SampleRecord &s : d.samples) {
            for (const SpecimenRecord &p : s.specimens) {
                const std::size_t known = 1 + p.item.preservations.size() + p.item.storage.size() +
                                          p.item.names.size() + p.item.custody.periods.size();
                if (known > most) {
                    most = known;
                    best = p.info.id;
                }
            }
        }
    }
    return best;
}

/// Which codes a data manager should look up before releasing the data.
QString codesText(const std::vector<VocabularyTerm> &vocabulary)
{
    QStringList open;
    for (const VocabularyTerm &t : vocabulary) {
        if (t.status != QLatin1String("resolved"))
            open << t.p01 + QLatin1Char('/') + t.p06;
    }
    QString text = QString::fromUtf8(R"(
Codes of quantities and units
-----------------------------
data/dwca names quantities and units by addresses of the NERC vocabularies P01 and P06;
data/tables/vocabulary_codes.csv says what each code means, where that is from, and whether it was looked up.
)");
    if (!open.isEmpty())
        text +=
            QStringLiteral("Nobody has looked these up at the vocabulary server yet; do so once before you "
                           "release the data:\n  %1\n")
                .arg(open.join(QStringLiteral("  ")));
    return text;
}

/// What it tells of people and of their computers.
QString privacyText(const CruiseContent &content)
{
    qsizetype entries = 0;
    const auto count = [&entries](const ItemRecord &item) {
        entries += std::count_if(item.photographs.begin(), item.photographs.end(),
                                 [](const Photograph &p) { return namesAComputersFolders(p.path); });
    };
    for (const DiveRecord &d : content.dives) {
        for (const SampleRecord &s : d.samples) {
            count(s.item);
            for (const SpecimenRecord &p : s.specimens)
                count(p.item);
        }
    }
    QString text = QString::fromUtf8(R"(
People and computers
--------------------
Names of people stand here as they were written down: who logged, handed over, received and named each thing is what
custody is made of. Of the computers on board nothing is told but the names of stations, the ports that instruments were
read from and, in the ledger, the place of a log file that somebody had played as a live feed, as it was typed.
Photographs are named by their file name and SHA-256.
)");
    if (entries > 0)
        text += QStringLiteral(
                    "%1 of a computer on board, in data/ledger/ledger.txt only: an earlier version of "
                    "the program recorded where a photograph lay, and a signed entry stays as it is.\n")
                    .arg(counted(entries, QStringLiteral("entry of the ledger names a folder"),
                                 QStringLiteral("entries of the ledger name a folder")));
    return text;
}

} // namespace

QByteArray packageReadme(const CruiseContent &content, const std::vector<VocabularyTerm> &vocabulary,
                         const PackageOrder &order, const MadePackage &made, const QString &ledgerHead)
{
    qsizetype samples = 0;
    qsizetype specimens = 0;
    for (const DiveRecord &d : content.dives) {
        samples += static_cast<qsizetype>(d.samples.size());
        for (const SampleRecord &s : d.samples)
            specimens += static_cast<qsizetype>(s.specimens.size());
    }
    const QString title = QStringLiteral("Cruise %1: package %2").arg(content.cruise.code, made.name);
    QString out = QString::fromUtf8(head)
                      .arg(content.cruise.code, made.name, QString(title.size(), QLatin1Char('=')),
                           toIso(order.now), order.person, programVersion())
                      .arg(content.dives.size())
                      .arg(samples)
                      .arg(specimens);
    const QString part = exampleOf(content);
    const QString sample = part.section(QLatin1Char('.'), 0, 0);
    out += QString::fromUtf8(body).replace(q("@PART@"), part).replace(q("@SAMPLE@"), sample).arg(ledgerHead);
    out += codesText(vocabulary) + privacyText(content);
    const DatasetAbout &a = order.about;
    out += QStringLiteral("\nTerms and contact\n-----------------\nLicence: %1\nContact: %2 %3 %4\n")
               .arg(a.licence.isEmpty() ? QStringLiteral("not stated") : a.licence,
                    a.contact.name.isEmpty() ? QStringLiteral("not stated") : a.contact.name,
                    a.contact.organisation, a.contact.email);
    if (!a.embargoUntil.isEmpty())
        out += QStringLiteral("Embargo until: %1\n").arg(a.embargoUntil);
    return out.toUtf8();
}

} // namespace holdfast
