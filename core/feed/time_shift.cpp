// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/time_shift.h"

#include "feed/text_values.h"

#include <QList>
#include <algorithm>

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

constexpr std::int64_t dayUs = 86'400'000'000;

std::string_view viewOf(const QByteArray &bytes)
{
    return {bytes.constData(), static_cast<std::size_t>(bytes.size())};
}

int decimalsOf(const QByteArray &field)
{
    const qsizetype point = field.indexOf('.');
    if (point < 0)
        return 0;
    const auto first = field.begin() + point + 1;
    return static_cast<int>(std::find_if(first, field.end(), [](char c) { return c < '0' || c > '9'; }) -
                            first);
}

/// ".123" with so many decimals, cut; nothing for none.
QByteArray fraction(std::int64_t us, int decimals)
{
    if (decimals == 0)
        return {};
    const QByteArray six = QByteArray::number(us % 1'000'000).rightJustified(6, '0');
    return '.' + six.leftJustified(decimals, '0', true);
}

QByteArray isoText(UtcTime t, int decimals, char between)
{
    QByteArray text = toIsoMicro(t).toLatin1();
    text.truncate(19);
    text[10] = between;
    return text + fraction(microsecondsOf(t), decimals) + 'Z';
}

QByteArray timeOfDayText(std::int64_t us, int decimals)
{
    const std::int64_t s = us / 1'000'000;
    return QByteArray::number(s / 3600 * 10000 + s / 60 % 60 * 100 + s % 60).rightJustified(6, '0') +
           fraction(us, decimals);
}

/// Where the sentences keep their time of day, counted from 1 after the address; 0: they have none.
int timeField(const QByteArray &type)
{
    if (type == "GLL")
        return 5;
    return type == "GGA" || type == "RMC" || type == "GNS" || type == "ZDA" ? 1 : 0;
}

/// Moves the date too, where the sentence has one: it follows the time over midnight.
void shiftDate(QList<QByteArray> &fields, const QByteArray &type, std::int64_t daysOn)
{
    const bool rmc = type == "RMC" && fields.size() > 9 && fields.at(9).size() == 6;
    const bool zda = type == "ZDA" && fields.size() > 4;
    if (!rmc && !zda)
        return;
    const QByteArray ddmmyy = rmc ? fields.at(9) : QByteArray();
    const int day = rmc ? ddmmyy.left(2).toInt() : fields.at(2).toInt();
    const int month = rmc ? ddmmyy.mid(2, 2).toInt() : fields.at(3).toInt();
    const int year = rmc ? 2000 + ddmmyy.right(2).toInt() : fields.at(4).toInt();
    const auto midnight = utcFromCivil(year, month, day, 0, 0, 0);
    if (!midnight)
        return;
    const QByteArray iso = toIsoMicro(*midnight + Microseconds{daysOn * dayUs}).toLatin1();
    if (rmc) {
        fields[9] = iso.mid(8, 2) + iso.mid(5, 2) + iso.mid(2, 2);
        return;
    }
    fields[2] = iso.mid(8, 2);
    fields[3] = iso.mid(5, 2);
    fields[4] = iso.left(4);
}

} // namespace

QByteArray shiftedSentence(const QByteArray &sentence, Microseconds by)
{
    const qsizetype star = sentence.indexOf('*');
    if (sentence.size() < 7 || sentence.at(0) != '$' || star < 6)
        return sentence;
    QList<QByteArray> fields = sentence.mid(1, star - 1).split(',');
    const QByteArray type = fields.at(0).right(3);
    const int at = timeField(type);
    if (at == 0 || fields.size() <= at)
        return sentence;
    const auto time = readTimeOfDay(viewOf(fields.at(at)));
    if (!time)
        return sentence;
    const std::int64_t moved = time->sinceMidnightUs() + by.count();
    const std::int64_t daysOn = moved >= 0 ? moved / dayUs : -((-moved + dayUs - 1) / dayUs);
    fields[at] = timeOfDayText(moved - daysOn * dayUs, decimalsOf(fields.at(at)));
    shiftDate(fields, type, daysOn);
    const QByteArray body = fields.join(',');
    unsigned sum = 0;
    for (const char c : body)
        sum ^= static_cast<unsigned char>(c);
    return '$' + body + '*' + QByteArray::number(sum, 16).rightJustified(2, '0').toUpper() +
           sentence.mid(star + 3);
}

TimeShifter::TimeShifter(FeedProfile profile) : m_profile(std::move(profile))
{
    if (const ColumnSpec *time = m_profile.column(Quantity::Time); time && !m_profile.header)
        m_column = time->index;
}

Result<TimeShifter> TimeShifter::make(const FeedProfile &profile)
{
    if (profile.kind != FeedKind::Nmea && (profile.timeFormat == TimeFormat::DateTime ||
                                           profile.delimiter == ' ' || !profile.column(Quantity::Time)))
        return fail(ErrorKind::Refused,
                    u"Logs of profile %1 can't be sent with other times: the time must stand in one column, "
                    "in ISO 8601 or in seconds since 1970, apart by a delimiter. Send them with their own "
                    "times."_s.arg(profile.name));
    return TimeShifter(profile);
}

QByteArray TimeShifter::shifted(const QByteArray &line, Microseconds by)
{
    if (m_profile.kind != FeedKind::Nmea)
        return shiftedColumns(line, by);
    QByteArray out;
    qsizetype at = 0;
    while (at < line.size()) {
        const qsizetype next = line.indexOf('$', at + 1);
        const qsizetype end = next < 0 ? line.size() : next;
        out += shiftedSentence(line.mid(at, end - at), by);
        at = end;
    }
    return out;
}

QByteArray TimeShifter::shiftedColumns(const QByteArray &line, Microseconds by)
{
    if (line.isEmpty() || line.at(0) == m_profile.comment)
        return line;
    QList<QByteArray> fields = line.split(m_profile.delimiter);
    if (m_column < 0) {
        const QStringList &names = m_profile.column(Quantity::Time)->names;
        for (qsizetype i = 0; i < fields.size() && m_column < 0; ++i) {
            if (names.contains(QString::fromUtf8(fields.at(i).trimmed()), Qt::CaseInsensitive))
                m_column = i;
        }
        return line; // the header itself, or a line before it
    }
    if (m_column >= fields.size())
        return line;
    QByteArray &field = fields[m_column];
    const QByteArray text = field.trimmed();
    if (m_profile.timeFormat == TimeFormat::UnixSeconds) {
        const auto us = readNumber(viewOf(text), m_profile.decimalMark, 6);
        if (!us)
            return line;
        const std::int64_t moved = static_cast<std::int64_t>(*us) + by.count();
        field = QByteArray::number(moved / 1'000'000) + fraction(moved, decimalsOf(text));
    } else {
        const auto us = readInstant(viewOf(text));
        if (!us)
            return line;
        field = isoText(utcFromMicroseconds(*us) + by, decimalsOf(text), text.at(10));
    }
    return fields.join(m_profile.delimiter);
}

} // namespace holdfast
