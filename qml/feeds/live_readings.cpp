// SPDX-License-Identifier: GPL-3.0-or-later
#include "live_readings.h"

#include <QCoreApplication>
#include <algorithm>
#include <cmath>

namespace holdfast
{

void LiveReadings::age(Reading &reading, UtcTime time, const QString &feed) const
{
    const double old = secondsBetween(time, m_now);
    double period = 1;
    for (const FeedState &f : m_state.feeds) {
        if (f.name == feed)
            period = std::max(period, f.periodS);
    }
    // At 100 times the speed a tenth of a second of ours is ten of the log's.
    const double allowed = std::max(2 * period, 0.3 * m_speed);
    reading.old = old > std::max(allowed, 10.0 * m_speed);
    reading.note =
        old > allowed ? QCoreApplication::translate("FeedDesk", "%1, %2 old").arg(feed, spanText(old)) : feed;
}

Reading LiveReadings::waterReading(std::optional<double> LiveWater::*member, int decimals,
                                   const QString &unit) const
{
    Reading r;
    r.unit = unit;
    if (!m_state.water || !((*m_state.water).*member))
        return r;
    r.there = true;
    r.value = numberText(*((*m_state.water).*member), decimals);
    age(r, m_state.water->time, m_state.waterFrom);
    return r;
}

Reading LiveReadings::temperature() const
{
    return waterReading(&LiveWater::temperatureDegC, 3, QStringLiteral("°C"));
}

Reading LiveReadings::salinity() const
{
    return waterReading(&LiveWater::practicalSalinity, 3, {});
}

Reading LiveReadings::oxygen() const
{
    return waterReading(&LiveWater::oxygenUmolKg, 1, QStringLiteral("µmol/kg"));
}

Reading LiveReadings::depth() const
{
    Reading water;
    if (m_state.water && m_state.water->depthM) {
        water = waterReading(&LiveWater::depthM, 1, QStringLiteral("m"));
        if (!water.old)
            return water;
    }
    if (!m_state.fix || !m_state.fix->depthM)
        return water.there ? water : missing(QStringLiteral("m"));
    // The CTD's depth is the better one, unless it stands still while the position log goes on.
    const Reading fix =
        single({m_state.fix->time, *m_state.fix->depthM, m_state.fixFrom}, 1, QStringLiteral("m"));
    return water.there && fix.old ? water : fix;
}

Reading LiveReadings::position() const
{
    Reading r;
    if (!m_state.fix || !m_state.fix->latitudeDeg || !m_state.fix->longitudeDeg)
        return r;
    const NavFix &fix = *m_state.fix;
    r.there = true;
    r.value = shownLatitude(*fix.latitudeDeg) + QStringLiteral("  ") + shownLongitude(*fix.longitudeDeg);
    if (fix.uncertainty95M)
        r.unit =
            QStringLiteral("±%1 m").arg(numberText(*fix.uncertainty95M, *fix.uncertainty95M < 10 ? 1 : 0));
    age(r, fix.time, m_state.fixFrom);
    r.note.remove(m_state.fixFrom + QStringLiteral(", ")).remove(m_state.fixFrom);
    return r;
}

Reading LiveReadings::heading() const
{
    if (!m_state.headingDeg)
        return missing(QStringLiteral("°"));
    Reading r = single(*m_state.headingDeg, 0, QStringLiteral("°"));
    const int whole = static_cast<int>(std::lround(m_state.headingDeg->value)) % 360;
    r.value = QStringLiteral("%1").arg(whole, 3, 10, QLatin1Char('0'));
    return r;
}

Reading LiveReadings::altitude() const
{
    return m_state.altitudeM ? single(*m_state.altitudeM, 1, QStringLiteral("m"))
                             : missing(QStringLiteral("m"));
}

Reading LiveReadings::missing(const QString &unit)
{
    Reading r;
    r.unit = unit;
    return r;
}

Reading LiveReadings::single(const LiveValue &value, int decimals, const QString &unit) const
{
    Reading r = missing(unit);
    r.there = true;
    r.value = numberText(value.value, decimals);
    age(r, value.time, value.from);
    return r;
}

QJsonObject LiveReadings::seen(UtcTime at) const
{
    QJsonObject seen;
    const auto put = [&seen](const char *key, const Reading &reading) {
        if (reading.there)
            seen.insert(QLatin1String(key), reading.value);
        if (reading.there && reading.old)
            seen.insert(QStringLiteral("old %1").arg(QLatin1String(key)), reading.note);
    };
    put("depth_m", depth());
    put("position", position());
    put("temperature_degC", temperature());
    put("practical_salinity", salinity());
    put("oxygen_umol_kg", oxygen());
    put("heading_deg", heading());
    put("altitude_m", altitude());
    if (m_state.fix && m_state.fix->uncertainty95M)
        seen.insert(QStringLiteral("uncertainty95_m"), numberText(*m_state.fix->uncertainty95M, 1));
    for (const FeedState &feed : m_state.feeds) {
        if (feed.lastRecord)
            seen.insert(QStringLiteral("age_s %1").arg(feed.name),
                        QString::number(secondsBetween(*feed.lastRecord, at), 'f', 1));
    }
    if (m_state.hostMinusGpsS)
        seen.insert(QStringLiteral("host_minus_gps_s"), QString::number(*m_state.hostMinusGpsS, 'f', 2));
    if (m_state.step)
        seen.insert(QStringLiteral("clock_stepped_s"), QString::number(m_state.step->seconds, 'f', 2));
    return seen;
}

} // namespace holdfast
