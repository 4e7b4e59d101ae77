// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/sample_cells.h"

#include "base/ids.h"
#include "print/page_text.h"
#include "print/value_text.h"

#include <QMap>

namespace holdfast
{

namespace
{

QString positionCell(const CustodySample &s)
{
    QString text = missingText();
    if (s.latitudeDeg && s.longitudeDeg)
        text = latitudeText(*s.latitudeDeg) + QLatin1Char('\n') + longitudeText(*s.longitudeDeg);
    return s.fixFlag.isEmpty() ? text : text + QLatin1Char('\n') + s.fixFlag;
}

QString waterFlagCell(const CustodySample &s)
{
    if (!s.waterFlag.isEmpty())
        return s.waterFlag;
    const bool any = s.temperatureDegC || s.salinity || s.oxygenUmolKg;
    return any ? QStringLiteral("pass") : missingText();
}

QString noteCell(const CustodySample &s)
{
    if (s.waiting)
        return QStringLiteral("waiting: its details are still to come");
    if (s.setAside.isEmpty())
        return s.note;
    return s.setAside + (s.note.isEmpty() ? QString() : QLatin1Char('\n') + s.note);
}

} // namespace

QString orMissing(const QString &text)
{
    return text.isEmpty() ? missingText() : text;
}

QString twoLineTime(const std::optional<UtcTime> &time)
{
    return time ? dateText(*time) + QLatin1Char('\n') + clockText(*time) : missingText();
}

QString sampleCell(const CustodySample &s, const QString &field)
{
    static const QMap<QString, QString (*)(const CustodySample &)> texts{
        {QStringLiteral("id"),
         [](const CustodySample &x) { return x.id.isEmpty() ? missingText() : printedId(x.id); }},
        {QStringLiteral("time"),
         [](const CustodySample &x) { return x.found.isEmpty() ? twoLineTime(x.time) : x.found; }},
        {QStringLiteral("slot"), [](const CustodySample &x) { return orMissing(x.slot); }},
        {QStringLiteral("kind"), [](const CustodySample &x) { return orMissing(x.kind); }},
        {QStringLiteral("description"), [](const CustodySample &x) { return orMissing(x.description); }},
        {QStringLiteral("what"),
         [](const CustodySample &x) {
             return orMissing(joinedValues({x.kind, x.description}));
         }},
        {QStringLiteral("collected_by"), [](const CustodySample &x) { return orMissing(x.collectedBy); }},
        {QStringLiteral("depth"), [](const CustodySample &x) { return numberText(x.depthM, 1); }},
        {QStringLiteral("temperature"),
         [](const CustodySample &x) { return numberText(x.temperatureDegC, 3); }},
        {QStringLiteral("salinity"), [](const CustodySample &x) { return numberText(x.salinity, 3); }},
        {QStringLiteral("oxygen"), [](const CustodySample &x) { return numberText(x.oxygenUmolKg, 1); }},
        {QStringLiteral("water_flag"), waterFlagCell},
        {QStringLiteral("position"), positionCell},
        {QStringLiteral("uncertainty"),
         [](const CustodySample &x) { return uncertaintyText(x.uncertainty95M); }},
        {QStringLiteral("preservative"), [](const CustodySample &x) { return orMissing(x.preservative); }},
        {QStringLiteral("storage"), [](const CustodySample &x) { return orMissing(x.storage); }},
        {QStringLiteral("hazard"), [](const CustodySample &x) { return orMissing(x.hazard); }},
        {QStringLiteral("note"), noteCell},
    };
    const auto text = texts.value(field, nullptr);
    return text ? text(s) : QString();
}

} // namespace holdfast
