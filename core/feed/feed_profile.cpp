// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/feed_profile.h"

#include "feed/column_rules.h"
#include "feed/json_keys.h"

#include <QDir>
#include <QFile>
#include <QJsonArray>
#include <QJsonDocument>
#include <QJsonObject>
#include <cmath>

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

/// One profile file being read; the first fault stays, as a sentence with the key.
class ProfileReader : private detail::JsonKeys
{
public:
    explicit ProfileReader(const QString &from) : JsonKeys(u"Feed profile "_s + from, u"a profile"_s) {}

    Result<FeedProfile> read(const QByteArray &json);

private:
    void readText(const QJsonObject &root);
    void readTime(const QJsonObject &root);
    void readColumns(const QJsonObject &root);
    void readColumn(const QJsonObject &columns, const detail::QuantityRule &rule);
    void placeColumn(ColumnSpec &column, const QJsonObject &object, const QString &where, const QString &key);
    void readPosition(const QJsonObject &root);
    void readAcoustic(const QJsonObject &root);
    void readAcousticNumbers(const QJsonObject &acoustic);
    void readNmea(const QJsonObject &root);

    FeedProfile m_profile;
};

void ProfileReader::readText(const QJsonObject &root)
{
    const QJsonObject text = objectAt(root, u"text"_s, true);
    allowOnly(text, u"text"_s, {u"delimiter"_s, u"header"_s, u"comment"_s, u"decimal_mark"_s, u"missing"_s});
    if (text.value(u"delimiter"_s).toString() == u"blanks"_s)
        m_profile.delimiter = ' ';
    else
        m_profile.delimiter = characterAt(text, u"text"_s, u"delimiter"_s, u","_s).at(0).toLatin1();
    m_profile.header = flagAt(text, u"text"_s, u"header"_s, true);
    m_profile.comment = characterAt(text, u"text"_s, u"comment"_s, u"#"_s).at(0).toLatin1();
    m_profile.decimalMark = choiceAt<char>(text, u"text"_s, u"decimal_mark"_s, {{".", '.'}, {",", ','}}, '.');
    if (m_profile.decimalMark == m_profile.delimiter)
        wrong(u"text.decimal_mark"_s, u"another character than the delimiter"_s);
    const QJsonValue missing = text.value(u"missing"_s);
    if (!missing.isUndefined() && !missing.isArray())
        wrong(u"text.missing"_s, u"a list of texts [ … ]"_s);
    for (const QJsonValue &token : missing.toArray()) {
        if (!token.isString())
            wrong(u"text.missing"_s, u"a list of texts [ … ]"_s);
        else if (!token.toString().isEmpty())
            m_profile.missing.push_back(token.toString().toStdString());
    }
}

void ProfileReader::placeColumn(ColumnSpec &column, const QJsonObject &object, const QString &where,
                                const QString &key)
{
    const QJsonValue value = object.value(key);
    if (m_profile.header) {
        if (value.isString() && !value.toString().isEmpty())
            column.names = QStringList{value.toString()};
        for (const QJsonValue &name : value.toArray())
            column.names += name.toString();
        if (column.names.isEmpty() || column.names.contains(QString()))
            wrong(where + u"."_s + key, u"a column's header name, or a list of names it may have"_s);
    } else {
        const double number = value.toDouble();
        if (!(number >= 1 && number <= 256) || number != std::floor(number))
            wrong(where + u"."_s + key, u"the column's number, counted from 1, as the log has no header"_s);
        else
            column.index = static_cast<int>(number) - 1;
    }
}

void ProfileReader::readTime(const QJsonObject &root)
{
    const QJsonObject time = objectAt(root, u"time"_s, true);
    allowOnly(time, u"time"_s, {u"format"_s, u"column"_s, u"date_column"_s, u"date_order"_s});
    m_profile.timeFormat = choiceAt<TimeFormat>(time, u"time"_s, u"format"_s,
                                                {{"iso8601", TimeFormat::Iso8601},
                                                 {"unix_seconds", TimeFormat::UnixSeconds},
                                                 {"date_and_time", TimeFormat::DateTime}},
                                                {});
    m_profile.dateOrder = choiceAt<DateOrder>(time, u"time"_s, u"date_order"_s,
                                              {{"year-month-day", DateOrder::YearMonthDay},
                                               {"day-month-year", DateOrder::DayMonthYear},
                                               {"month-day-year", DateOrder::MonthDayYear}},
                                              DateOrder::YearMonthDay);
    ColumnSpec column;
    column.quantity = Quantity::Time;
    placeColumn(column, time, u"time"_s, u"column"_s);
    m_profile.columns.push_back(column);
    if (m_profile.timeFormat == TimeFormat::DateTime && time.contains(u"date_column"_s)) {
        ColumnSpec date;
        date.quantity = Quantity::Date;
        placeColumn(date, time, u"time"_s, u"date_column"_s);
        m_profile.columns.push_back(date);
    }
}

void ProfileReader::readColumn(const QJsonObject &columns, const detail::QuantityRule &rule)
{
    const QString key = QString::fromLatin1(rule.key);
    const QString where = u"columns."_s + key;
    if (!columns.contains(key)) {
        if (rule.required)
            wrong(where, u"there: a log of this kind can't be used without it"_s);
        return;
    }
    const QJsonObject object = columns.value(key).toObject();
    allowOnly(object, where, {u"column"_s, u"unit"_s, u"hemisphere_column"_s});
    ColumnSpec column;
    column.quantity = rule.quantity;
    placeColumn(column, object, where, u"column"_s);
    QStringList words;
    bool known = false;
    for (const detail::UnitRule &unit : rule.units) {
        words += QString::fromLatin1(unit.unit);
        if (object.value(u"unit"_s).toString() == words.last()) {
            column.shift10 = unit.shift10;
            column.factor = unit.factor;
            column.offset = unit.offset;
            column.degreesMinutes = unit.degreesMinutes;
            known = true;
        }
    }
    if (!known)
        wrong(where + u".unit"_s, u"one of: "_s + words.join(u", "_s));
    m_profile.columns.push_back(column);
    if (object.contains(u"hemisphere_column"_s)) {
        ColumnSpec letter;
        letter.quantity = rule.quantity == Quantity::Latitude ? Quantity::LatitudeHemisphere
                                                              : Quantity::LongitudeHemisphere;
        placeColumn(letter, object, where, u"hemisphere_column"_s);
        if (rule.quantity != Quantity::Latitude && rule.quantity != Quantity::Longitude)
            wrong(where + u".hemisphere_column"_s, u"absent: only latitude and longitude have one"_s);
        m_profile.columns.push_back(letter);
    }
}

void ProfileReader::readColumns(const QJsonObject &root)
{
    const QJsonObject columns = objectAt(root, u"columns"_s, true);
    QStringList keys;
    for (const detail::QuantityRule &rule : detail::quantityRules()) {
        if (rule.kind != m_profile.kind)
            continue;
        keys += QString::fromLatin1(rule.key);
        readColumn(columns, rule);
    }
    allowOnly(columns, u"columns"_s, keys);
    if (columns.isEmpty())
        wrong(u"columns"_s, u"at least one of: "_s + keys.join(u", "_s));
}

void ProfileReader::readPosition(const QJsonObject &root)
{
    const bool nmea = m_profile.kind == FeedKind::Nmea;
    const QJsonObject position = objectAt(root, u"position"_s, true);
    QStringList keys = {u"source"_s, u"of"_s, u"sigma_m"_s, u"sigma_percent_of_slant_range"_s};
    if (nmea)
        keys += u"sigma_per_hdop_m"_s;
    allowOnly(position, u"position"_s, keys);
    m_profile.source = choiceAt<PositionSource>(position, u"position"_s, u"source"_s,
                                                {{"acoustic", PositionSource::Acoustic},
                                                 {"satellite", PositionSource::Satellite},
                                                 {"dead-reckoning", PositionSource::DeadReckoning}},
                                                {});
    m_profile.ofShip =
        choiceAt<bool>(position, u"position"_s, u"of"_s, {{"vehicle", false}, {"ship", true}}, false);
    m_profile.sigmaM = positiveAt(position, u"position"_s, u"sigma_m"_s);
    m_profile.sigmaPercentOfSlantRange =
        positiveAt(position, u"position"_s, u"sigma_percent_of_slant_range"_s);
    m_profile.sigmaPerHdopM = positiveAt(position, u"position"_s, u"sigma_per_hdop_m"_s);
}

void ProfileReader::readNmea(const QJsonObject &root)
{
    const QJsonObject nmea = objectAt(root, u"nmea"_s, false);
    allowOnly(nmea, u"nmea"_s, {u"without_checksum"_s});
    m_profile.withoutChecksum =
        choiceAt<bool>(nmea, u"nmea"_s, u"without_checksum"_s, {{"use", true}, {"keep aside", false}}, false);
}

void ProfileReader::readAcousticNumbers(const QJsonObject &acoustic)
{
    struct Number {
        const char *key;
        double AcousticSetup::*member;
        double low, high;
    };
    static constexpr Number numbers[] = {
        {"lever_forward_m", &AcousticSetup::leverForwardM, -500, 500},
        {"lever_starboard_m", &AcousticSetup::leverStarboardM, -500, 500},
        {"lever_down_m", &AcousticSetup::leverDownM, -500, 500},
        {"antenna_height_m", &AcousticSetup::antennaHeightM, -100, 100},
        {"sigma_percent_of_slant_range", &AcousticSetup::sigmaPercentOfRange, 0.001, 20},
        {"heading_sigma_deg", &AcousticSetup::headingSigmaDeg, 0, 20},
        {"gap_limit_s", &AcousticSetup::gapLimitS, 0.1, 60},
        {"depth_gap_limit_s", &AcousticSetup::depthGapLimitS, 0.1, 600},
    };
    QStringList keys = {u"frame"_s, u"without_attitude"_s};
    for (const Number &number : numbers) {
        const QString key = QString::fromLatin1(number.key);
        keys += key;
        const QJsonValue value = acoustic.value(key);
        if (value.isUndefined())
            continue;
        if (!value.isDouble() || value.toDouble() < number.low || value.toDouble() > number.high)
            wrong(u"acoustic."_s + key, u"a number from %1 to %2"_s.arg(number.low).arg(number.high));
        else
            m_profile.acoustic.*number.member = value.toDouble();
    }
    // Where the transducer is must be said, if only that it is under the antenna.
    for (const char *needed : {"lever_forward_m", "lever_starboard_m", "lever_down_m", "antenna_height_m"}) {
        if (!acoustic.contains(QLatin1StringView(needed)))
            wrong(u"acoustic."_s + QLatin1StringView(needed), u"there: a number of metres, 0 if it is so"_s);
    }
    allowOnly(acoustic, u"acoustic"_s, keys);
}

void ProfileReader::readAcoustic(const QJsonObject &root)
{
    const QJsonObject acoustic = objectAt(root, u"acoustic"_s, true);
    m_profile.acoustic.frame = choiceAt<AcousticFrame>(
        acoustic, u"acoustic"_s, u"frame"_s,
        {{"true", AcousticFrame::True}, {"level", AcousticFrame::Level}, {"body", AcousticFrame::Body}}, {});
    m_profile.acoustic.withoutAttitude =
        choiceAt<bool>(acoustic, u"acoustic"_s, u"without_attitude"_s,
                       {{"take as upright", true}, {"keep aside", false}}, false);
    readAcousticNumbers(acoustic);
    const auto has = [this](Quantity q) { return m_profile.column(q) != nullptr; };
    const bool polar = has(Quantity::Range) && has(Quantity::Bearing);
    const bool vector = has(Quantity::Forward) && has(Quantity::Starboard) && has(Quantity::Down);
    if (polar == vector)
        wrong(u"columns"_s, u"either range and bearing, or forward, starboard and down"_s);
    if (vector && m_profile.acoustic.frame == AcousticFrame::True)
        wrong(u"acoustic.frame"_s, u"level or body for a vector forward, starboard, down"_s);
}

Result<FeedProfile> ProfileReader::read(const QByteArray &json)
{
    QJsonParseError fault;
    const QJsonDocument document = QJsonDocument::fromJson(json, &fault);
    if (!document.isObject())
        return fail(
            ErrorKind::Malformed,
            u"%1 is not a JSON object: %2 at byte %3."_s.arg(from(), fault.errorString()).arg(fault.offset));
    const QJsonObject root = document.object();
    m_profile.json = json;
    m_profile.name = root.value(u"profile"_s).toString();
    m_profile.title = root.value(u"title"_s).toString();
    if (m_profile.name.isEmpty())
        wrong(u"profile"_s, u"the profile's name, as its file is called"_s);
    if (m_profile.title.isEmpty())
        wrong(u"title"_s, u"one line that says what the log is"_s);
    m_profile.kind = choiceAt<FeedKind>(root, {}, u"kind"_s,
                                        {{"nmea", FeedKind::Nmea},
                                         {"position", FeedKind::Position},
                                         {"ctd", FeedKind::Ctd},
                                         {"velocity", FeedKind::Velocity},
                                         {"acoustic", FeedKind::Acoustic}},
                                        {});
    QStringList keys = {u"profile"_s, u"title"_s, u"kind"_s};
    if (m_profile.kind == FeedKind::Nmea) {
        keys += {u"position"_s, u"nmea"_s};
        readNmea(root);
    } else {
        keys += {u"text"_s, u"time"_s, u"columns"_s};
        readText(root);
        readTime(root);
        readColumns(root);
    }
    if (m_profile.kind == FeedKind::Nmea || m_profile.kind == FeedKind::Position) {
        keys += u"position"_s;
        readPosition(root);
    }
    if (m_profile.kind == FeedKind::Acoustic) {
        keys += u"acoustic"_s;
        readAcoustic(root);
    }
    allowOnly(root, {}, keys);
    if (!JsonKeys::fault().isEmpty())
        return fail(ErrorKind::Malformed, JsonKeys::fault());
    return m_profile;
}

} // namespace

const ColumnSpec *FeedProfile::column(Quantity quantity) const
{
    for (const ColumnSpec &spec : columns) {
        if (spec.quantity == quantity)
            return &spec;
    }
    return nullptr;
}

Result<FeedProfile> parseFeedProfile(const QByteArray &json, const QString &from)
{
    return ProfileReader(from).read(json);
}

QStringList feedProfileNames(const QStringList &folders)
{
    QStringList names;
    for (const QString &folder : folders) {
        for (const QString &file : QDir(folder).entryList({u"*.json"_s}, QDir::Files))
            names += file.chopped(5);
    }
    names.removeDuplicates();
    names.sort();
    return names;
}

Result<FeedProfile> loadFeedProfile(const QString &name, const QStringList &folders)
{
    for (const QString &folder : folders) {
        QFile file(QDir(folder).filePath(name + u".json"_s));
        if (name.contains(u'/') || !file.exists())
            continue;
        if (!file.open(QIODevice::ReadOnly))
            return fail(ErrorKind::Unreadable, u"Feed profile %1 could not be opened: %2."_s.arg(
                                                   file.fileName(), file.errorString()));
        Result<FeedProfile> profile = parseFeedProfile(file.readAll(), file.fileName());
        if (profile && profile->name != name)
            return fail(ErrorKind::Malformed,
                        u"Feed profile %1: \"profile\" should be \"%2\", as its file is "
                        u"called, but is \"%3\"."_s.arg(file.fileName(), name, profile->name));
        return profile;
    }
    const QStringList known = feedProfileNames(folders);
    return fail(ErrorKind::NotFound,
                u"There is no feed profile \"%1\". %2"_s.arg(
                    name, known.isEmpty() ? u"No profile was found in %1."_s.arg(folders.join(u", "_s))
                                          : u"There are: %1."_s.arg(known.join(u", "_s))));
}

} // namespace holdfast
