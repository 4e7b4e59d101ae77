// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/quality_limits.h"

#include <QFile>
#include <QJsonArray>
#include <QJsonDocument>
#include <QJsonObject>
#include <QJsonValue>
#include <QStringList>
#include <algorithm>
#include <cmath>
#include <tuple>
#include <utility>

namespace holdfast
{

namespace
{

QString shown(const QJsonValue &value)
{
    switch (value.type()) {
    case QJsonValue::Undefined:
        return QStringLiteral("nothing");
    case QJsonValue::Null:
        return QStringLiteral("null");
    case QJsonValue::Bool:
        return value.toBool() ? QStringLiteral("true") : QStringLiteral("false");
    case QJsonValue::Double:
        return QString::number(value.toDouble());
    case QJsonValue::String:
        return QStringLiteral("\"%1\"").arg(value.toString());
    case QJsonValue::Array:
        return QStringLiteral("a list");
    case QJsonValue::Object:
        break;
    }
    return QStringLiteral("an object");
}

/// One object of the template. Reads its keys, remembers the first fault as a sentence, and knows which keys
/// were asked for, so that a misspelt one is found.
class Section
{
public:
    Section(const QJsonObject &object, QString path, QString &fault)
        : m_object(object), m_path(std::move(path)), m_fault(fault)
    {
    }

    [[nodiscard]] bool has(const char *key)
    {
        know(key);
        return m_object.contains(QString::fromLatin1(key));
    }
    [[nodiscard]] double number(const char *key)
    {
        const QJsonValue value = take(key);
        if (!value.isDouble())
            wrong(key, value, QStringLiteral("a number"));
        return value.toDouble();
    }
    [[nodiscard]] double positive(const char *key)
    {
        const double value = number(key);
        if (!(value > 0))
            wrong(key, value, QStringLiteral("a number greater than 0"));
        return value;
    }
    [[nodiscard]] std::size_t count(const char *key)
    {
        const double value = number(key);
        if (!(value >= 1) || value > 1e9 || value != std::floor(value)) {
            wrong(key, value, QStringLiteral("a whole number from 1"));
            return 1;
        }
        return static_cast<std::size_t>(value);
    }
    [[nodiscard]] QString text(const char *key)
    {
        const QJsonValue value = take(key);
        if (!value.isString())
            wrong(key, value, QStringLiteral("a text"));
        return value.toString();
    }
    [[nodiscard]] bool yesOrNo(const char *key)
    {
        const QJsonValue value = take(key);
        if (!value.isBool())
            wrong(key, value, QStringLiteral("true or false"));
        return value.toBool();
    }
    /// [smallest, largest]
    [[nodiscard]] std::pair<double, double> range(const char *key)
    {
        const QJsonValue value = take(key);
        const QJsonArray list = value.toArray();
        if (list.size() != 2 || !list[0].isDouble() || !list[1].isDouble() ||
            !(list[0].toDouble() < list[1].toDouble()))
            wrong(key, value, QStringLiteral("two numbers, the smaller first"));
        return {list.at(0).toDouble(), list.at(1).toDouble()};
    }
    [[nodiscard]] Section section(const char *key)
    {
        const QJsonValue value = take(key);
        if (!value.isObject())
            wrong(key, value, QStringLiteral("an object"));
        return Section(value.toObject(), pathOf(key), m_fault);
    }
    void complain(const QString &sentence)
    {
        if (m_fault.isEmpty())
            m_fault = sentence;
    }
    [[nodiscard]] QString pathOf(const char *key) const
    {
        const QString name = QString::fromLatin1(key);
        return m_path.isEmpty() ? name : m_path + u'.' + name;
    }
    /// Call when all keys have been asked for.
    void close()
    {
        for (const QString &key : m_object.keys()) {
            if (!m_known.contains(key))
                complain(QStringLiteral("unknown key \"%1\"; known here: %2")
                             .arg(m_path.isEmpty() ? key : m_path + u'.' + key,
                                  m_known.join(QStringLiteral(", "))));
        }
    }

private:
    void know(const char *key)
    {
        if (const QString name = QString::fromLatin1(key); !m_known.contains(name))
            m_known << name;
    }
    QJsonValue take(const char *key)
    {
        know(key);
        return m_object.value(QString::fromLatin1(key));
    }
    void wrong(const char *key, const QJsonValue &found, const QString &expected)
    {
        complain(QStringLiteral("%1 is %2, expected %3").arg(pathOf(key), shown(found), expected));
    }

    QJsonObject m_object;
    QString m_path;
    QString &m_fault;
    QStringList m_known;
};

void orderPair(Section &section, double suspect, double fail)
{
    if (suspect > fail)
        section.complain(QStringLiteral("%1 (%2) is beyond %3 (%4): the fail limit must be the wider one")
                             .arg(section.pathOf("suspect"))
                             .arg(suspect)
                             .arg(section.pathOf("fail"))
                             .arg(fail));
}

GrossRangeLimits readGrossRange(Section section)
{
    GrossRangeLimits limits{};
    std::tie(limits.failMin, limits.failMax) = section.range("fail");
    if (section.has("suspect")) {
        const auto [min, max] = section.range("suspect");
        limits.suspectMin = min;
        limits.suspectMax = max;
        if (min < limits.failMin || max > limits.failMax)
            section.complain(QStringLiteral("%1 reaches outside %2")
                                 .arg(section.pathOf("suspect"), section.pathOf("fail")));
    }
    section.close();
    return limits;
}

SpikeLimits readSpike(Section section)
{
    const SpikeLimits limits{section.positive("suspect"), section.positive("fail")};
    orderPair(section, limits.suspect, limits.fail);
    section.close();
    return limits;
}

BurstLimits readBurst(Section section)
{
    const std::size_t half = section.count("half_scans");
    if (half > 8)
        section.complain(
            QStringLiteral("%1 is %2, expected 1 to 8").arg(section.pathOf("half_scans")).arg(half));
    const BurstLimits limits{static_cast<int>(std::min<std::size_t>(half, 8)), section.positive("suspect"),
                             section.positive("fail")};
    orderPair(section, limits.suspect, limits.fail);
    section.close();
    return limits;
}

RateLimits readRate(Section section)
{
    RateLimits limits{section.positive("suspect_per_s"), {}};
    if (section.has("fail_per_s")) {
        limits.failPerS = section.positive("fail_per_s");
        if (limits.suspectPerS > *limits.failPerS)
            section.complain(QStringLiteral("%1 is beyond %2: the fail limit must be the wider one")
                                 .arg(section.pathOf("suspect_per_s"), section.pathOf("fail_per_s")));
    }
    section.close();
    return limits;
}

FlatLimits readFlat(Section section)
{
    const FlatLimits limits{section.positive("suspect_s"), section.positive("fail_s"),
                            section.number("tolerance")};
    if (limits.suspectS > limits.failS)
        section.complain(QStringLiteral("%1 is longer than %2")
                             .arg(section.pathOf("suspect_s"), section.pathOf("fail_s")));
    if (!(limits.tolerance > 0))
        section.complain(QStringLiteral("%1 is %2, with which the test can never flag; leave the test out "
                                        "instead, or give a number greater than 0")
                             .arg(section.pathOf("tolerance"))
                             .arg(limits.tolerance));
    section.close();
    return limits;
}

ParameterLimits readParameter(Section section)
{
    ParameterLimits limits;
    if (section.has("gross_range"))
        limits.grossRange = readGrossRange(section.section("gross_range"));
    if (section.has("spike"))
        limits.spike = readSpike(section.section("spike"));
    if (section.has("burst"))
        limits.burst = readBurst(section.section("burst"));
    if (section.has("rate"))
        limits.rate = readRate(section.section("rate"));
    if (section.has("flat"))
        limits.flat = readFlat(section.section("flat"));
    section.close();
    return limits;
}

void readParameters(Section section, QualityLimits &limits)
{
    const auto read = [&section](const char *key, ParameterLimits &into) {
        if (section.has(key))
            into = readParameter(section.section(key));
    };
    read("conductivity_mS_cm", limits.conductivity);
    read("temperature_degC", limits.temperature);
    read("pressure_dbar", limits.pressure);
    read("oxygen_umol_kg", limits.oxygen);
    read("practical_salinity", limits.salinity);
    section.close();
}

ClockLimits readClock(Section section)
{
    ClockLimits limits;
    limits.repeatSuspect = section.count("repeat_suspect_scans");
    limits.repeatFail = section.count("repeat_fail_scans");
    limits.overlapS = section.positive("overlap_s");
    if (limits.repeatSuspect < 2 || limits.repeatFail < limits.repeatSuspect)
        section.complain(
            QStringLiteral("%1 must be at least 2 and not more than %2")
                .arg(section.pathOf("repeat_suspect_scans"), section.pathOf("repeat_fail_scans")));
    section.close();
    return limits;
}

AirLimits readAir(Section section)
{
    const AirLimits limits{section.positive("conductivity_below_mS_cm"),
                           section.number("pressure_below_dbar")};
    section.close();
    return limits;
}

DepthAgreementLimits readDepthAgreement(Section section)
{
    const DepthAgreementLimits limits{section.positive("suspect_m"), section.number("suspect_fraction"),
                                      section.positive("fail_m"), section.number("fail_fraction"),
                                      section.positive("max_reference_gap_s")};
    if (limits.suspectM > limits.failM || limits.suspectFraction > limits.failFraction ||
        limits.suspectFraction < 0)
        section.complain(QStringLiteral("%1: the fail limits must be the wider ones, and no fraction below 0")
                             .arg(section.pathOf("suspect_m")));
    section.close();
    return limits;
}

QualityLimits readTemplate(Section root)
{
    QualityLimits limits;
    if (const QString format = root.text("format"); format != QStringLiteral("holdfast-quality-limits"))
        root.complain(QStringLiteral("format is \"%1\", expected \"holdfast-quality-limits\"").arg(format));
    if (const double version = root.number("version"); version != 1)
        root.complain(QStringLiteral("version is %1, this program reads version 1").arg(version));
    limits.name = root.text("name");
    limits.title = root.text("title");
    limits.maxGapS = root.positive("max_gap_s");
    limits.clock = readClock(root.section("clock"));
    if (root.has("air"))
        limits.air = readAir(root.section("air"));
    if (root.has("depth_agreement"))
        limits.depthAgreement = readDepthAgreement(root.section("depth_agreement"));
    limits.flatReachesBack = root.yesOrNo("flat_reaches_back");
    readParameters(root.section("parameters"), limits);
    root.close();
    return limits;
}

} // namespace

Result<QualityLimits> parseQualityLimits(const QByteArray &json, const QString &source)
{
    QJsonParseError parse{};
    const QJsonDocument document = QJsonDocument::fromJson(json, &parse);
    if (parse.error != QJsonParseError::NoError)
        return fail(ErrorKind::Malformed, QStringLiteral("%1 is not JSON: %2 at byte %3")
                                              .arg(source, parse.errorString())
                                              .arg(parse.offset));
    if (!document.isObject())
        return fail(ErrorKind::Malformed, QStringLiteral("%1 holds no JSON object").arg(source));
    QString fault;
    QualityLimits limits = readTemplate(Section(document.object(), {}, fault));
    if (!fault.isEmpty())
        return fail(ErrorKind::Malformed, QStringLiteral("%1: %2").arg(source, fault));
    return limits;
}

Result<QualityLimits> readQualityLimits(const QString &path)
{
    QFile file(path);
    if (!file.exists())
        return fail(ErrorKind::NotFound, QStringLiteral("There is no quality template %1.").arg(path));
    if (!file.open(QIODevice::ReadOnly))
        return fail(
            ErrorKind::Unreadable,
            QStringLiteral("The quality template %1 cannot be read: %2.").arg(path, file.errorString()));
    return parseQualityLimits(file.readAll(), path);
}

} // namespace holdfast
