// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/dwc_rules.h"

#include <QDate>
#include <QRegularExpression>
#include <QStringList>

namespace holdfast
{

namespace
{

struct Half {
    UtcTime from{}, to{};
    bool hasTime = false;
    bool zoned = true;
};

std::optional<Half> readHalf(const QString &text)
{
    static const QRegularExpression form(
        QStringLiteral("\\A(\\d{4})(?:-(\\d{2})(?:-(\\d{2})(?:T(\\d{2}:\\d{2}(?::\\d{2}(?:\\.\\d+)?)?)"
                       "(Z|[+-]\\d{2}:?\\d{2})?)?)?)?\\z"));
    const auto m = form.match(text);
    if (!m.hasMatch())
        return std::nullopt;
    const int year = m.captured(1).toInt();
    const int month = m.captured(2).isEmpty() ? 1 : m.captured(2).toInt();
    const int day = m.captured(3).isEmpty() ? 1 : m.captured(3).toInt();
    if (m.captured(4).isEmpty()) {
        const QDate first(year, month, day);
        if (!first.isValid())
            return std::nullopt;
        const QDate last = !m.captured(3).isEmpty()   ? first
                           : !m.captured(2).isEmpty() ? first.addMonths(1).addDays(-1)
                                                      : first.addYears(1).addDays(-1);
        const auto midnight = [](const QDate &date) {
            return UtcTime{std::chrono::days(QDate(1970, 1, 1).daysTo(date))};
        };
        return Half{midnight(first), midnight(last.addDays(1)) - Microseconds(1), false, true};
    }
    QString time = m.captured(4);
    if (time.size() == 5)
        time += QStringLiteral(":00");
    QString zone = m.captured(5);
    if (zone.size() == 5)
        zone.insert(3, QLatin1Char(':'));
    const auto t =
        parseIsoUtc((text.left(11) + time + (zone.isEmpty() ? QStringLiteral("Z") : zone)).toStdString());
    if (!t)
        return std::nullopt;
    return Half{*t, *t, true, !zone.isEmpty()};
}

} // namespace

std::optional<EventDate> readEventDate(const QString &text)
{
    const QStringList parts = text.split(QLatin1Char('/'));
    if (parts.size() > 2)
        return std::nullopt;
    const auto begin = readHalf(parts.front());
    if (!begin)
        return std::nullopt;
    if (parts.size() == 1)
        return EventDate{begin->from, begin->to, begin->hasTime, begin->zoned};
    QString second = parts.back();
    // A shortened end takes what it lacks from the begin: "2007-11-13/15", "T10:00Z/10:05Z".
    const bool whole = QRegularExpression(QStringLiteral("\\A\\d{4}(-|\\z)")).match(second).hasMatch();
    if (!whole && second.contains(QLatin1Char(':')))
        second = parts.front().section(QLatin1Char('T'), 0, 0) + QLatin1Char('T') + second;
    else if (!whole && second.size() < parts.front().size())
        second = parts.front().left(parts.front().size() - second.size()) + second;
    const auto end = readHalf(second);
    if (!end || end->to < begin->from)
        return std::nullopt;
    return EventDate{begin->from, end->to, begin->hasTime || end->hasTime, begin->zoned && end->zoned};
}

QString wrongScientificName(const QString &name)
{
    static const QRegularExpression doubt(
        QStringLiteral("(?:\\?|(?:\\A|\\s)(?:cf|aff|sp|spp|indet|inc|nr|undet)\\.?(?:\\s|\\z|\\d))"),
        QRegularExpression::CaseInsensitiveOption);
    if (name.isEmpty())
        return QStringLiteral("is empty");
    if (doubt.match(name).hasMatch())
        return QStringLiteral("\"%1\" holds a sign of doubt, which belongs into identificationQualifier")
            .arg(name);
    return {};
}

QString wrongBasisOfRecord(const QString &basis)
{
    static const QStringList known{QStringLiteral("PreservedSpecimen"),
                                   QStringLiteral("FossilSpecimen"),
                                   QStringLiteral("LivingSpecimen"),
                                   QStringLiteral("MaterialSample"),
                                   QStringLiteral("HumanObservation"),
                                   QStringLiteral("MachineObservation"),
                                   QStringLiteral("Event"),
                                   QStringLiteral("Taxon"),
                                   QStringLiteral("Occurrence"),
                                   QStringLiteral("MaterialEntity"),
                                   QStringLiteral("MaterialCitation")};
    return known.contains(basis) ? QString() : QStringLiteral("\"%1\" is no basis of record").arg(basis);
}

QString wrongVocabularyUri(const QString &uri, const QString &collection)
{
    const QRegularExpression form(
        QStringLiteral("\\Ahttps?://vocab\\.nerc\\.ac\\.uk/collection/%1/current/[A-Z0-9]+/?\\z")
            .arg(collection));
    if (uri.isEmpty() || form.match(uri).hasMatch())
        return {};
    return QStringLiteral("\"%1\" is no code of NERC collection %2").arg(uri, collection);
}

} // namespace holdfast
