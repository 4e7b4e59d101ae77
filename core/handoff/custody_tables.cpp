// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/sample_tables.h"

namespace holdfast
{

namespace
{

constexpr auto text = CellType::Text;
constexpr auto time = CellType::Time;
constexpr auto yesNo = CellType::YesNo;

QString stateWord(PeriodState state)
{
    switch (state) {
    case PeriodState::Nobody:
        return QStringLiteral("nobody");
    case PeriodState::InVehicle:
        return QStringLiteral("in the vehicle");
    case PeriodState::Held:
        return QStringLiteral("held");
    case PeriodState::InTransit:
        return QStringLiteral("in transit");
    case PeriodState::Ended:
        break;
    }
    return QStringLiteral("ended");
}

/// Calls `take` for each sample and specimen with its id.
template <typename Take>
Done eachItem(const CruiseContent &content, const Take &take)
{
    for (const DiveRecord &dive : content.dives) {
        for (const SampleRecord &s : dive.samples) {
            if (auto done = take(s.info.id, s.item); !done)
                return done;
            for (const SpecimenRecord &p : s.specimens) {
                if (auto done = take(p.info.id, p.item); !done)
                    return done;
            }
        }
    }
    return {};
}

} // namespace

const TableSpec &custodyTable()
{
    static const TableSpec spec{
        "custody_history",
        "Who had each item at every instant, from the seafloor on",
        "",
        {{"item", text, "", "Id of the sample or specimen.", "", true},
         {"from", time, "", "Begin of the stretch, UTC.", "", true},
         {"to", time, "", "Its end, UTC, where the next begins; empty: until this package was made."},
         {"state", text, "",
          "nobody: a gap in custody; ended: nothing of it is left to keep, or its final place.",
          "nobody|in the vehicle|held|in transit|ended", true},
         {"holder", text, "", "Who answers for it."},
         {"basis", text, "", "On what basis, or how custody ended."},
         {"place", text, "", "Where it is kept."},
         {"entry", text, "", "Station and number of the ledger entry that began the stretch."}},
        {"item", "from"}};
    return spec;
}

const TableSpec &custodyFindingsTable()
{
    static const TableSpec spec{
        "custody_findings",
        "What does not fit together in the custody of an item",
        "",
        {{"item", text, "", "Id of the sample or specimen.", "", true},
         {"time", time, "", "When, UTC.", "", true},
         {"kind", text, "", "Kind of finding.", "", true},
         {"sentence", text, "", "The finding."},
         {"explained", yesNo, "", "Whether a person gave a reason."},
         {"entry", text, "", "Station and number of the ledger entry where it shows."}},
        {}};
    return spec;
}

Done writeCustodyTables(PackageWriter &package, const CruiseContent &content)
{
    auto periods = TableWriter::begin(package, custodyTable());
    if (!periods)
        return periods.error();
    auto done = eachItem(content, [&periods](const QString &id, const ItemRecord &item) -> Done {
        for (const CustodyPeriod &p : item.custody.periods) {
            const QVariant to = p.to ? QVariant(qint64{microsecondsOf(*p.to)}) : QVariant();
            if (auto row = periods->row({id, qint64{microsecondsOf(p.from)}, to, stateWord(p.state), p.holder,
                                         p.basis, p.place, p.ref});
                !row)
                return row;
        }
        return {};
    });
    if (!done)
        return done;
    if (auto ended = periods->end(); !ended)
        return ended;
    auto findings = TableWriter::begin(package, custodyFindingsTable());
    if (!findings)
        return findings.error();
    done = eachItem(content, [&findings](const QString &id, const ItemRecord &item) -> Done {
        for (const CustodyFinding &f : item.custody.findings) {
            if (auto row = findings->row(
                    {id, qint64{microsecondsOf(f.at)}, findingWord(f.what), f.sentence, f.explained, f.ref});
                !row)
                return row;
        }
        return {};
    });
    return done ? findings->end() : done;
}

} // namespace holdfast
