// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/valued_samples.h"

#include "base/template_folder.h"
#include "custody/blank_labels.h"
#include "custody/held_acts.h"
#include "print/page_text.h"
#include "print/value_text.h"

namespace holdfast
{

namespace
{

std::optional<double> valueOf(const WaterValue &v)
{
    return v.has() ? std::optional<double>(v.value) : std::nullopt;
}

/// Without a value: that its log is at another station, when that is why.
QString fixWord(const NavFix &fix, const AbsentLogs &absent)
{
    switch (fix.flag) {
    case FixFlag::Good:
        return {};
    case FixFlag::NotEvaluated:
        return QStringLiteral("not checked");
    case FixFlag::Suspect:
        return QStringLiteral("doubtful");
    case FixFlag::Fail:
        return QStringLiteral("failed");
    case FixFlag::NoFix:
        break;
    }
    return absent.positionAt.isEmpty() ? QStringLiteral("no fix") : absent.positionWord();
}

QString waterWord(QcFlag flag, const AbsentLogs &absent)
{
    switch (flag) {
    case QcFlag::Pass:
        return {};
    case QcFlag::NotEvaluated:
        return QStringLiteral("not checked");
    case QcFlag::Suspect:
        return QStringLiteral("doubtful");
    case QcFlag::Fail:
        return QStringLiteral("failed");
    case QcFlag::Missing:
        break;
    }
    return absent.ctdAt.isEmpty() ? QStringLiteral("none") : absent.ctdWord();
}

QString preservedText(const PreservationInfo &p)
{
    QString text = p.preservative;
    if (!p.percent.isEmpty())
        text += QStringLiteral(" %1 %").arg(p.percent);
    // Ten per cent formalin is under four of formaldehyde: it must be clear which of the two was counted.
    if (!p.base.isEmpty() && p.base != p.preservative)
        text += QLatin1Char(' ') + p.base;
    return text;
}

} // namespace

std::optional<double> ValuedSample::depthM() const
{
    const auto depth = valueOf(water.depthM);
    return depth ? depth : fix.depthM;
}

Result<std::vector<ValuedSample>> valuedSamples(const Database &db, int dive)
{
    const auto track = diveTrack(db, dive, FixMethod::Smooth);
    if (!track)
        return track.error();
    return valuedSamples(db, dive, *track);
}

Result<std::vector<ValuedSample>> valuedSamples(const Database &db, int dive, const Track &track)
{
    const auto samples = readSamples(db, dive);
    if (!samples)
        return samples.error();
    std::vector<UtcTime> times;
    for (const SampleInfo &s : *samples)
        times.push_back(s.time);
    const auto water = diveWater(db, dive, times);
    if (!water)
        return water.error();
    const auto absent = absentLogs(db, dive);
    if (!absent)
        return absent.error();
    std::vector<ValuedSample> out;
    for (std::size_t i = 0; i < samples->size(); ++i) {
        if (samples->at(i).momentKnown) {
            out.push_back({samples->at(i), track.at(times[i]), water->at(i), *absent, {}});
            absent->explain(out.back().fix);
            continue;
        }
        const auto stamp = readStamp(db, samples->at(i).stamp);
        if (!stamp)
            return stamp.error();
        out.push_back({samples->at(i), fixOfUnknownMoment(), waterOfUnknownMoment(), {}, findSpan(*stamp)});
    }
    return out;
}

QString foundText(const TimeSpan &span)
{
    const QString from = dateTimeText(span.from).left(16);
    const QString to = dateTimeText(span.to).left(16);
    return QStringLiteral("%1 to %2 UTC, found at recovery")
        .arg(from, to.left(10) == from.left(10) ? to.mid(11) : to);
}

QString KeptNow::containerOf() const
{
    return containerCount > 1 ? QStringLiteral("%1 of %2").arg(containerNumber).arg(containerCount)
                              : QString();
}

Result<SubstanceTable> substanceTable()
{
    const auto folder = templateFolder();
    if (!folder)
        return folder.error();
    return loadSubstances(*folder + QStringLiteral("/hazards"), QStringLiteral("substances"));
}

Result<KeptNow> keptNow(const Database &db, const QString &id, const SubstanceTable &table)
{
    KeptNow kept;
    const auto preserved = readPreservedNow(db, id);
    if (!preserved)
        return preserved.error();
    if (*preserved) {
        const PreservationInfo &last = **preserved;
        kept.preservative = preservedText(last);
        kept.preservativeInFull = kept.preservative;
        if (last.base == u"formalin")
            kept.preservativeInFull +=
                QStringLiteral(" (%1 % formaldehyde)").arg(last.formaldehydePercent.toDouble(), 0, 'g', 3);
        if (last.item != id)
            kept.preservativeInFull += QStringLiteral(", from %1").arg(last.item);
        if (const Substance *substance = table.named(last.preservative))
            kept.hazard = substance->labelWord;
    }
    if (*preserved && (*preserved)->item == id) {
        const PreservationInfo &last = **preserved;
        kept.containerNumber = last.containerNumber;
        kept.containerCount = last.containerCount;
        kept.container = last.container;
        if (!kept.containerOf().isEmpty())
            kept.container = (kept.container + QLatin1Char(' ') + kept.containerOf()).trimmed();
    }
    const auto stored = readStorage(db, id);
    if (!stored)
        return stored.error();
    if (!stored->empty()) {
        kept.place = stored->back().place;
        if (!stored->back().temperatureC.isEmpty())
            kept.temperature = stored->back().temperatureC + QStringLiteral(" °C");
    }
    return kept;
}

Result<CustodySample> sheetRow(const Database &db, const ValuedSample &v, const SubstanceTable &table)
{
    const SampleInfo &s = v.sample;
    CustodySample row;
    row.id = s.id;
    if (v.span)
        row.found = foundText(*v.span);
    else
        row.time = s.time;
    row.slot = s.slot;
    row.kind = s.kind;
    row.description = s.description;
    if (s.count > 1)
        row.description = QStringLiteral("%1 pieces").arg(s.count) +
                          (s.description.isEmpty() ? QString() : QStringLiteral(", ") + s.description);
    row.collectedBy = s.loggedBy;
    row.depthM = v.depthM();
    row.temperatureDegC = valueOf(v.water.temperatureDegC);
    row.salinity = valueOf(v.water.practicalSalinity);
    row.oxygenUmolKg = valueOf(v.water.oxygenUmolKg);
    row.waterFlag = waterWord(v.water.flag, v.absent);
    row.latitudeDeg = v.fix.latitudeDeg;
    row.longitudeDeg = v.fix.longitudeDeg;
    row.uncertainty95M = v.fix.uncertainty95M;
    row.fixFlag = fixWord(v.fix, v.absent);
    const auto kept = keptNow(db, s.id, table);
    if (!kept)
        return kept.error();
    row.preservative = kept->preservativeInFull;
    row.hazard = kept->hazard;
    row.storage = joinedValues({kept->place, kept->temperature});
    const auto labels = labelsOfItem(db, s.id);
    if (!labels)
        return labels.error();
    QStringList notes = s.warnings;
    for (const QString &label : *labels)
        notes << QStringLiteral("carries label %1").arg(label);
    if (s.state == QLatin1String("lost"))
        notes.prepend(QStringLiteral("LOST"));
    row.note = notes.join(QStringLiteral("; "));
    if (s.state == QLatin1String("void"))
        row.setAside = QStringLiteral("void");
    return row;
}

} // namespace holdfast
