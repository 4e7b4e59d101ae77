// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/sample_tables.h"

#include "base/csv.h"

namespace holdfast
{

namespace
{

constexpr auto text = CellType::Text;
constexpr auto whole = CellType::Whole;
constexpr auto number = CellType::Number;
constexpr auto time = CellType::Time;
constexpr auto yesNo = CellType::YesNo;

constexpr const char *flags = "1|2|3|4|9";
constexpr const char *flagMeaning =
    "Quality flag (QARTOD): 1 pass, 2 not evaluated, 3 suspect, 4 fail, 9 missing.";

QVariant fixedNumber(const std::optional<double> &value, int decimals)
{
    if (!value)
        return {};
    return QString::fromLatin1(csvFixed(*value, decimals));
}

QVariant fixedNumber(const WaterValue &value, int decimals)
{
    return value.has() ? fixedNumber(std::optional<double>(value.value), decimals) : QVariant();
}

QVariant spread(const WaterValue &value, int decimals)
{
    return value.has() ? fixedNumber(std::optional<double>(value.spread), decimals + 1) : QVariant();
}

qint64 us(UtcTime t)
{
    return microsecondsOf(t);
}

Done writeSamples(PackageWriter &package, const CruiseContent &content)
{
    auto table = TableWriter::begin(package, samplesTable());
    if (!table)
        return table.error();
    for (const DiveRecord &dive : content.dives) {
        for (const SampleRecord &s : dive.samples) {
            const auto &i = s.info;
            auto done = table->row({i.id,
                                    i.uuid,
                                    i.dive,
                                    i.number,
                                    us(i.time),
                                    i.momentKnown,
                                    i.stamp,
                                    i.slot,
                                    i.kind,
                                    i.family,
                                    i.count,
                                    i.description,
                                    i.tool,
                                    i.askedBy,
                                    i.permit,
                                    i.loggedBy,
                                    s.stateNow(),
                                    i.warnings.join(QStringLiteral("; ")),
                                    fixedNumber(s.fix.latitudeDeg, 6),
                                    fixedNumber(s.fix.longitudeDeg, 6),
                                    fixedNumber(s.fix.uncertainty95M, 1),
                                    static_cast<int>(s.fix.flag),
                                    s.fix.reason,
                                    fixedNumber(s.depthM(), 2),
                                    fixedNumber(s.water.temperatureDegC, 4),
                                    fixedNumber(s.water.practicalSalinity, 4),
                                    fixedNumber(s.water.oxygenUmolKg, 2),
                                    static_cast<int>(s.water.flag),
                                    s.waterReason,
                                    acceptanceWord(s.acceptance)});
            if (!done)
                return done;
        }
    }
    return table->end();
}

Done writeValues(PackageWriter &package, const CruiseContent &content)
{
    auto table = TableWriter::begin(package, sampleValuesTable());
    if (!table)
        return table.error();
    for (const DiveRecord &dive : content.dives) {
        for (const SampleRecord &s : dive.samples) {
            for (const WaterQuantity &quantity : quantitiesOf(s.water)) {
                const WaterValue &v = *quantity.value;
                auto done =
                    table->row({s.info.id, QString::fromUtf8(quantity.name),
                                fixedNumber(v, quantity.decimals), QString::fromUtf8(quantity.unit),
                                spread(v, quantity.decimals), static_cast<int>(v.flag), qint64(v.used),
                                qint64(v.rejected), fixedNumber(std::optional<double>(v.halfWidthS), 1)});
                if (!done)
                    return done;
            }
        }
    }
    return table->end();
}

Done writeTrack(PackageWriter &package, const CruiseContent &content)
{
    auto table = TableWriter::begin(package, trackTable());
    if (!table)
        return table.error();
    for (const DiveRecord &dive : content.dives) {
        for (const NavFix &f : dive.track) {
            auto done = table->row({dive.info.number, us(f.time), fixedNumber(f.latitudeDeg, 6),
                                    fixedNumber(f.longitudeDeg, 6), fixedNumber(f.uncertainty95M, 1),
                                    fixedNumber(f.depthM, 1), static_cast<int>(f.flag)});
            if (!done)
                return done;
        }
    }
    return table->end();
}

} // namespace

std::vector<WaterQuantity> quantitiesOf(const WaterValues &w)
{
    return {{"depth", "m", &w.depthM, 2},
            {"temperature", "degC", &w.temperatureDegC, 4},
            {"practical_salinity", "", &w.practicalSalinity, 4},
            {"dissolved_oxygen", "umol/kg", &w.oxygenUmolKg, 2},
            {"pressure", "dbar", &w.pressureDbar, 2},
            {"conductivity", "mS/cm", &w.conductivityMsCm, 4},
            {"sigma0", "kg/m3", &w.sigma0KgM3, 4},
            {"sound_speed", "m/s", &w.soundSpeedMs, 2}};
}

QString flagWord(int flag)
{
    switch (flag) {
    case 1:
        return QStringLiteral("pass");
    case 2:
        return QStringLiteral("not evaluated");
    case 3:
        return QStringLiteral("suspect");
    case 4:
        return QStringLiteral("fail");
    default:
        return QStringLiteral("missing");
    }
}

const TableSpec &samplesTable()
{
    static const TableSpec spec{
        "samples",
        "Samples with the fix and water values of their moment",
        "",
        {{"id", text, "", "Id of the sample, as on its labels.", "", true},
         {"uuid", text, "", "Identifier of the record.", "", true},
         {"dive", whole, "", "Number of the dive.", "", true},
         {"number", whole, "", "Number in the dive; never given twice.", "", true},
         {"time", time, "", "When it was taken, UTC; for a find at recovery when it was found.", "", true},
         {"moment_known", yesNo, "", "no: it was found at recovery and nobody saw the moment of taking.", "",
          true},
         {"stamp", text, "", "Identifier of its stamp.", "", true},
         {"slot", text, "", "Slot it was put into; empty: none."},
         {"kind", text, "", "What it is, in the logger's words.", "", true},
         {"family", text, "", "Family of the kind; empty for a word that is in no list.",
          "rock|biology|sediment|water"},
         {"count", whole, "", "Pieces or individuals.", "", true},
         {"description", text, "", "Description."},
         {"tool", text, "", "Tool it was taken with."},
         {"asked_by", text, "", "Person who asked for it."},
         {"permit", text, "", "Permit it was taken under."},
         {"logged_by", text, "", "Person who logged it.", "", true},
         {"state", text, "",
          "held; lost on the way; void: it never was one; consumed, destroyed, deposited: how custody ended.",
          "held|lost|void|consumed|destroyed|deposited", true},
         {"warnings", text, "", "What the program warned about when it was logged."},
         {"latitude_deg", number, "degree_north", "Latitude, WGS 84."},
         {"longitude_deg", number, "degree_east", "Longitude, WGS 84, -180 to 180."},
         {"uncertainty95_m", number, "m", "Radius that holds the true position 95 times in 100."},
         {"fix_flag", whole, "", flagMeaning, flags, true},
         {"fix_reason", text, "", "Why the fix is suspect or missing."},
         {"depth_m", number, "m", "Depth below the surface, positive down: by the CTD, else the vehicle's."},
         {"temperature_degC", number, "degC", "Temperature in situ, ITS-90."},
         {"practical_salinity", number, "", "Practical salinity, PSS-78, no unit."},
         {"oxygen_umol_kg", number, "umol/kg", "Dissolved oxygen."},
         {"water_flag", whole, "", flagMeaning, flags, true},
         {"water_reason", text, "",
          "Why the water values are missing, where their log is at another station."},
         {"accepted", text, "", "Whether a person accepted these values.",
          "never accepted|as accepted|changed since", true}},
        {"id"},
        "sample",
        {{{"dive"}, "dives", {"number"}}, {{"stamp"}, "stamps", {"uuid"}}}};
    return spec;
}

const TableSpec &sampleValuesTable()
{
    static const TableSpec spec{
        "sample_values",
        "Every water value of every sample, with window, spread and flag",
        "",
        {{"sample", text, "", "Id of the sample.", "", true},
         {"quantity", text, "", "What was measured or derived.",
          "depth|temperature|practical_salinity|dissolved_oxygen|pressure|conductivity|sigma0|sound_speed",
          true},
         {"value", number, "", "The value: a median over passing scans; empty when there is none."},
         {"unit", text, "", "Unit of value and spread; empty: none."},
         {"spread", number, "", "Robust standard deviation: 1.4826 times the median absolute deviation."},
         {"flag", whole, "", flagMeaning, flags, true},
         {"scans_used", whole, "", "Passing scans in the window.", "", true},
         {"scans_rejected", whole, "", "Scans in the window that did not pass.", "", true},
         {"half_window_s", number, "s", "The window is the sample's time plus and minus this."}},
        {"sample", "quantity"},
        "",
        {{{"sample"}, "samples", {"id"}}}};
    return spec;
}

const TableSpec &trackTable()
{
    static const TableSpec spec{
        "tracks",
        "Smoothed tracks of the dives, one row every 20 s where there is a fix",
        "",
        {{"dive", whole, "", "Number of the dive.", "", true},
         {"time", time, "", "UTC.", "", true},
         {"latitude_deg", number, "degree_north", "Latitude, WGS 84.", "", true},
         {"longitude_deg", number, "degree_east", "Longitude, WGS 84.", "", true},
         {"uncertainty95_m", number, "m", "Radius that holds the true position 95 times in 100."},
         {"vehicle_depth_m", number, "m", "Depth of the vehicle, positive down."},
         {"fix_flag", whole, "", flagMeaning, flags, true}},
        {"dive", "time"},
        "",
        {{{"dive"}, "dives", {"number"}}}};
    return spec;
}

const TableSpec &logFilesTable()
{
    static const TableSpec spec{
        "log_files",
        "Where each log stands in this package",
        "",
        {{"log", text, "", "Intake (uuid), as in table logs.", "", true},
         {"raw_file", text, "", "The file byte for byte, path in the bag; empty: another station has it."},
         {"profile", text, "", "How its columns were read, path in the bag."},
         {"stored_values", text, "", "Its values as stored, path in the bag."}},
        {"log"},
        "",
        {{{"log"}, "logs", {"uuid"}}}};
    return spec;
}

Done writeSampleTables(PackageWriter &package, const CruiseContent &content)
{
    if (auto done = writeSamples(package, content); !done)
        return done;
    if (auto done = writeValues(package, content); !done)
        return done;
    return writeTrack(package, content);
}

Done writeLogFilesTable(PackageWriter &package, const CruiseContent &content,
                        const QMap<QString, LogPaths> &paths)
{
    auto table = TableWriter::begin(package, logFilesTable());
    if (!table)
        return table.error();
    for (const DiveRecord &dive : content.dives) {
        for (const IntakeInfo &log : dive.logs) {
            const LogPaths p = paths.value(log.uuid);
            if (auto done = table->row({log.uuid, p.raw, p.profile, p.values}); !done)
                return done;
        }
    }
    return table->end();
}

} // namespace holdfast
