// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/completeness.h"

#include "handoff/cruise_content.h"

#include <QJsonArray>
#include <cmath>

namespace holdfast
{

namespace
{

using Cell = CompletenessCell;

Cell met(const QString &word)
{
    return {CellState::Met, word, {}};
}

Cell open(CellState state, const QString &word, const QString &sentence)
{
    return {state, word, sentence};
}

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

/// What a log at another station means for the package.
QString elsewhere(const char *kind, const QStringList &stations)
{
    return QStringLiteral(
               "The %1 log is at station %2; take the same file in here, too, or make the package at "
               "that station.")
        .arg(q(kind), stations.join(q(", ")));
}

Cell judgeFix(const Requirement &r, const SampleRecord &s, const AbsentLogs &absent)
{
    if (s.fix.flag == FixFlag::NoFix && !absent.positionAt.isEmpty())
        return open(r.weight, absent.positionWord(), elsewhere("position", absent.positionAt));
    if (!s.fix.latitudeDeg)
        return open(r.weight, q("no fix"), s.fix.reason.isEmpty() ? q("There is no fix.") : s.fix.reason);
    if (s.fix.flag == FixFlag::Good)
        return met(q("fix"));
    return open(CellState::Doubtful, q("doubtful"), s.fix.reason);
}

Cell judgeUncertainty(const Requirement &r, const SampleRecord &s)
{
    if (!s.fix.uncertainty95M)
        return {};
    const QString word =
        QStringLiteral("±%1 m").arg(*s.fix.uncertainty95M, 0, 'f', *s.fix.uncertainty95M < 10 ? 1 : 0);
    if (*s.fix.uncertainty95M <= r.limit)
        return met(word);
    return open(r.weight, word,
                QStringLiteral("The position is uncertain by %1 m; the limit is %2 m.")
                    .arg(*s.fix.uncertainty95M, 0, 'f', 1)
                    .arg(r.limit));
}

Cell judgeWater(const Requirement &r, const SampleRecord &s, const AbsentLogs &absent)
{
    switch (s.water.flag) {
    case QcFlag::Pass:
        return met(q("pass"));
    case QcFlag::NotEvaluated:
        return open(CellState::Doubtful, q("not checked"), q("The water values were not evaluated."));
    case QcFlag::Suspect:
        return open(CellState::Doubtful, q("suspect"), q("The water values are suspect."));
    case QcFlag::Fail:
        return open(r.weight, q("failed"), q("No scan of the water passed its tests."));
    case QcFlag::Missing:
        break;
    }
    if (!absent.ctdAt.isEmpty())
        return open(r.weight, absent.ctdWord(), elsewhere("CTD", absent.ctdAt));
    return open(r.weight, q("none"), q("There are no water values for its moment."));
}

Cell judgeAccepted(const Requirement &r, const SampleRecord &s)
{
    switch (s.acceptance) {
    case Acceptance::AsAccepted:
        return met(q("accepted"));
    case Acceptance::ChangedSince:
        return open(r.weight, q("changed"), q("The logs give other values now than those last accepted."));
    case Acceptance::Never:
        break;
    }
    return open(r.weight, q("never"), q("Nobody has accepted its fix and water values yet."));
}

Cell judgeNames(const Requirement &r, const ItemRecord &item)
{
    if (item.names.empty())
        return open(r.weight, q("none"), q("It has no name yet."));
    const Identification &last = item.names.back();
    if (!last.qualifier.isEmpty())
        return open(CellState::Doubtful, last.qualifier,
                    QStringLiteral("Its name is in doubt: %1 %2.").arg(last.qualifier, last.name));
    return met(q("named"));
}

Cell judgePhotographs(const Requirement &r, const ItemRecord &item)
{
    if (item.photographs.empty())
        return open(r.weight, q("none"), q("No photograph is linked to it."));
    QStringList gone;
    for (const Photograph &photo : item.photographs) {
        const QString why = item.packed.value(photo.sha256).whyNot;
        if (!why.isEmpty())
            gone << QStringLiteral("%1 (%2)").arg(photo.fileName, why);
    }
    const auto all = static_cast<qsizetype>(item.photographs.size());
    if (gone.isEmpty())
        return met(QString::number(all));
    // With none of them left it has no photograph; with some it has fewer than the record says.
    return open(gone.size() == all ? r.weight : CellState::Doubtful,
                QStringLiteral("%1 of %2").arg(all - gone.size()).arg(all),
                QStringLiteral("Linked photographs that can't be had: %1.").arg(gone.join(q(", "))));
}

Cell judgePreservation(const Requirement &r, const ItemRecord &item)
{
    if (item.preserved)
        return met(item.preserved->preservative);
    return open(r.weight, q("none"), q("Nothing is recorded of how it is preserved."));
}

Cell judgeStorage(const Requirement &r, const ItemRecord &item)
{
    if (!item.storage.empty())
        return met(q("stored"));
    return open(r.weight, q("none"), q("No place is recorded where it is kept."));
}

Cell judgeCustody(const Requirement &r, const ItemRecord &item)
{
    const CustodyPeriod *const last = item.custody.last();
    if (!last || last->state == PeriodState::Nobody)
        return open(r.weight, q("nobody"), q("Nobody is recorded who has it."));
    if (last->state == PeriodState::InTransit)
        return open(
            r.weight, q("in transit"),
            QStringLiteral("It was handed over by %1 and nobody has received it yet.").arg(last->holder));
    for (const CustodyFinding &f : item.custody.findings) {
        if (!f.explained)
            return open(CellState::Doubtful, findingWord(f.what), f.sentence);
    }
    if (last->state == PeriodState::InVehicle)
        return open(r.weight, q("open"), q("It was never handed over since it came up with the vehicle."));
    return met(last->state == PeriodState::Ended ? last->basis : last->holder);
}

Cell judgePermit(const Requirement &r, const SampleRecord &s)
{
    if (s.info.permit.isEmpty())
        return open(r.weight, q("none"), q("No permit is named for it."));
    if (!s.permitDoubt.isEmpty())
        return open(CellState::Doubtful, s.info.permit,
                    QStringLiteral("Its permit is in doubt: %1.").arg(s.permitDoubt));
    return met(s.info.permit);
}

bool asked(const Requirement &r, const QString &family)
{
    return r.families.isEmpty() || r.families.contains(family);
}

bool isOfItem(const QString &check)
{
    static const QStringList checks{q("identification"), q("photograph"), q("preservation"), q("storage"),
                                    q("custody")};
    return checks.contains(check);
}

Cell judgeItem(const Requirement &r, const ItemRecord &item)
{
    if (r.check == QLatin1String("identification"))
        return judgeNames(r, item);
    if (r.check == QLatin1String("photograph"))
        return judgePhotographs(r, item);
    if (r.check == QLatin1String("preservation"))
        return judgePreservation(r, item);
    if (r.check == QLatin1String("custody"))
        return judgeCustody(r, item);
    return judgeStorage(r, item);
}

Cell judgeSample(const Requirement &r, const SampleRecord &s, const AbsentLogs &absent)
{
    if (!asked(r, s.info.family))
        return {};
    if (r.check == QLatin1String("fix"))
        return judgeFix(r, s, absent);
    if (r.check == QLatin1String("uncertainty"))
        return judgeUncertainty(r, s);
    if (r.check == QLatin1String("water"))
        return judgeWater(r, s, absent);
    if (r.check == QLatin1String("accepted"))
        return judgeAccepted(r, s);
    if (r.check == QLatin1String("permit"))
        return judgePermit(r, s);
    if (!isOfItem(r.check) || s.info.state == QLatin1String("lost"))
        return {};
    if (r.check == QLatin1String("custody") && !s.notFound.isEmpty())
        return open(r.weight, q("not found"),
                    QStringLiteral("It %1; record it as lost, or where it is.").arg(s.notFound));
    if (!s.specimens.empty() && r.check != QLatin1String("photograph"))
        return {}; // judged by its specimens
    return judgeItem(r, s.item);
}

Cell judgeSpecimen(const Requirement &r, const SampleRecord &s, const SpecimenRecord &specimen)
{
    if (!isOfItem(r.check) || !asked(r, specimen.family) || s.info.state == QLatin1String("lost") ||
        r.check == QLatin1String("photograph"))
        return {};
    // A part has its parent's name until it gets one of its own; an associate is another animal.
    if (r.check == QLatin1String("identification") && specimen.item.names.empty() &&
        specimen.info.details.foundOn.isEmpty()) {
        for (const SpecimenRecord &other : s.specimens) {
            if (other.info.id == specimen.info.parent && !other.item.names.empty())
                return judgeNames(r, other.item);
        }
        return judgeNames(r, s.item);
    }
    return judgeItem(r, specimen.item);
}

Cell judgeLogs(const Requirement &r, const DiveRecord &d)
{
    QStringList missing;
    for (const char *kind : {"position", "ctd"}) {
        const bool there = std::any_of(d.logs.begin(), d.logs.end(), [kind](const IntakeInfo &log) {
            return log.kind == QLatin1String(kind) && !log.replaced;
        });
        if (!there)
            missing << q(kind);
    }
    QStringList absent; // a log that another station has is not in this file, so not in its package
    if (!d.absent.positionAt.isEmpty())
        absent << elsewhere("position", d.absent.positionAt);
    if (!d.absent.ctdAt.isEmpty())
        absent << elsewhere("CTD", d.absent.ctdAt);
    if (!missing.isEmpty())
        absent.prepend(
            QStringLiteral("Dive %1 has no %2 log.").arg(d.info.number).arg(missing.join(q(" and no "))));
    if (absent.isEmpty())
        return met(q("logs"));
    const QString where = d.absent.positionAt.isEmpty() ? d.absent.ctdWord() : d.absent.positionWord();
    return open(r.weight, missing.isEmpty() ? where : q("no log"), absent.join(q(" ")));
}

Cell judgeDive(const Requirement &r, const DiveRecord &d)
{
    if (r.check == QLatin1String("closed"))
        return d.info.closed ? met(q("closed"))
                             : open(r.weight, q("open"),
                                    QStringLiteral("Dive %1 is not closed: its tally is not complete.")
                                        .arg(d.info.number));
    if (r.check == QLatin1String("logs"))
        return judgeLogs(r, d);
    return {};
}

Cell judgeCruise(const Requirement &r, const DatasetAbout &about)
{
    if (r.check == QLatin1String("licence"))
        return about.licence.isEmpty() ? open(r.weight, q("none"),
                                              q("No licence is stated for the data: it stands in the file "
                                                "CRUISE.about.json beside the cruise file (--about)."))
                                       : met(q("stated"));
    if (r.check == QLatin1String("contact"))
        return about.contact.name.isEmpty() ? open(r.weight, q("none"),
                                                   q("No person is named who answers questions: "
                                                     "CRUISE.about.json beside the cruise file "
                                                     "(--about)."))
                                            : met(q("stated"));
    return {};
}

} // namespace

QString cellWord(CellState state)
{
    switch (state) {
    case CellState::Met:
        return q("met");
    case CellState::Doubtful:
        return q("doubtful");
    case CellState::Missing:
        return q("missing");
    case CellState::NotAsked:
        break;
    }
    return {};
}

CompletenessGrid judgeCompleteness(const CruiseContent &content, const DatasetAbout &about,
                                   const CompletenessRules &rules)
{
    CompletenessGrid grid{rules.requirements(), {}};
    const auto add = [&grid](RowKind kind, const QString &id, int dive, const auto &judge) {
        CompletenessRow row{kind, id, dive, {}};
        for (const Requirement &r : grid.requirements)
            row.cells.push_back(judge(r));
        grid.rows.push_back(std::move(row));
    };
    add(RowKind::Cruise, content.cruise.code, 0, [&](const Requirement &r) { return judgeCruise(r, about); });
    for (const DiveRecord &d : content.dives) {
        add(RowKind::Dive, QStringLiteral("dive %1").arg(d.info.number), d.info.number,
            [&](const Requirement &r) { return judgeDive(r, d); });
        for (const SampleRecord &s : d.samples) {
            if (s.info.state == QLatin1String("void"))
                continue;
            add(RowKind::Sample, s.info.id, d.info.number,
                [&](const Requirement &r) { return judgeSample(r, s, d.absent); });
            for (const SpecimenRecord &p : s.specimens)
                add(RowKind::Specimen, p.info.id, d.info.number,
                    [&](const Requirement &r) { return judgeSpecimen(r, s, p); });
        }
    }
    return grid;
}

std::vector<OpenPoint> CompletenessGrid::openPoints() const
{
    std::vector<OpenPoint> points;
    for (const CompletenessRow &row : rows) {
        for (std::size_t i = 0; i < row.cells.size(); ++i) {
            const Cell &c = row.cells[i];
            if (c.state == CellState::Doubtful || c.state == CellState::Missing)
                points.push_back(
                    {row.id, row.dive, requirements[i].title, c.state, c.sentence, requirements[i].mend});
        }
    }
    return points;
}

int CompletenessGrid::count(CellState state) const
{
    int n = 0;
    for (const CompletenessRow &row : rows) {
        for (const Cell &c : row.cells)
            n += c.state == state ? 1 : 0;
    }
    return n;
}

QString CompletenessGrid::text() const
{
    QString out = QStringLiteral("%1 met, %2 doubtful, %3 missing.\n")
                      .arg(count(CellState::Met))
                      .arg(count(CellState::Doubtful))
                      .arg(count(CellState::Missing));
    for (const OpenPoint &p : openPoints())
        out += QStringLiteral("%1  %2  %3: %4\n")
                   .arg(p.row, -16)
                   .arg(cellWord(p.state), -8)
                   .arg(p.requirement, p.sentence);
    return out;
}

QJsonObject CompletenessGrid::json() const
{
    QJsonArray points;
    for (const OpenPoint &p : openPoints())
        points.append(QJsonObject{{q("row"), p.row},
                                  {q("dive"), p.dive},
                                  {q("requirement"), p.requirement},
                                  {q("state"), cellWord(p.state)},
                                  {q("sentence"), p.sentence},
                                  {q("mend"), p.mend}});
    return {{q("met"), count(CellState::Met)},
            {q("doubtful"), count(CellState::Doubtful)},
            {q("missing"), count(CellState::Missing)},
            {q("open"), points}};
}

} // namespace holdfast
