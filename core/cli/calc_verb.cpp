// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/csv.h"
#include "cli/cli.h"
#include "nav/geodesic.h"
#include "nav/usbl_geometry.h"
#include "water/density.h"
#include "water/depth.h"
#include "water/freezing.h"
#include "water/oxygen.h"
#include "water/range.h"
#include "water/salinity.h"
#include "water/sound_speed.h"
#include "water/teos10.h"

#include <algorithm>
#include <cmath>
#include <span>

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

/// What one row gives: the results, and a word on inputs outside the formula's range.
struct Outcome {
    std::vector<double> values;
    QString note;
};

struct Function {
    QString name;
    QStringList inputs;
    QStringList outputs;
    Outcome (*of)(std::span<const double>);
};

Outcome noted(std::vector<double> values, RangeNote note, SeawaterFormula formula)
{
    QString text = note.inside() ? QString() : describe(note, formula);
    const bool none = std::all_of(values.begin(), values.end(), [](double v) { return !std::isfinite(v); });
    if (none && !note.has(RangeNote::LatitudeImpossible))
        text = note.inside() || note.has(RangeNote::NotANumber)
                   ? q("the formula has no value for these inputs")
                   : text.replace(q("the value is extrapolated"), q("the formula has no value there"));
    return {std::move(values), text};
}

Outcome salinity(std::span<const double> v)
{
    const double s = practicalSalinity(v[0], v[1], v[2]);
    return noted({s}, noteFor(SeawaterFormula::SalinityPss78, s, v[1], v[2]), SeawaterFormula::SalinityPss78);
}

Outcome depth(std::span<const double> v)
{
    return noted({depthTeos10(v[0], v[1]), depthUnesco44(v[0], v[1])},
                 noteForDepth(SeawaterFormula::DepthUnesco44, v[0], v[1]), SeawaterFormula::DepthUnesco44);
}

Outcome soundSpeed(std::span<const double> v)
{
    return noted({soundSpeedChenMillero(v[0], v[1], v[2])},
                 noteFor(SeawaterFormula::SoundSpeedChenMillero, v[0], v[1], v[2]),
                 SeawaterFormula::SoundSpeedChenMillero);
}

Outcome sigma0(std::span<const double> v)
{
    return noted({sigma0Eos80(v[0], v[1], v[2])}, noteFor(SeawaterFormula::Sigma0Eos80, v[0], v[1], v[2]),
                 SeawaterFormula::Sigma0Eos80);
}

/// A formula of practical salinity, temperature in place and pressure.
template <SeawaterFormula formula, double (*of)(double, double, double) noexcept>
Outcome ofWater(std::span<const double> v)
{
    return noted({of(v[0], v[1], v[2])}, noteFor(formula, v[0], v[1], v[2]), formula);
}

double potentialTemperature(double practicalSalinity, double temperatureDegC, double pressureDbar) noexcept
{
    return potentialTemperatureEos80(practicalSalinity, temperatureDegC, pressureDbar);
}

double densityInPlaceTeos10(double practicalSalinity, double temperatureDegC, double pressureDbar) noexcept
{
    const double sa = referenceSalinity(practicalSalinity);
    return densityTeos10(sa, conservativeTemperature(sa, temperatureDegC, pressureDbar), pressureDbar);
}

Outcome freezingPointOfTeos10(std::span<const double> v)
{
    return noted({freezingPointTeos10(v[0], v[1])}, noteFor(SeawaterFormula::FreezingTeos10, v[0], 0, v[1]),
                 SeawaterFormula::FreezingTeos10);
}

Outcome oxygenSaturation(std::span<const double> v)
{
    Outcome outcome =
        noted({oxygenSaturationPercent(v[0], v[1], v[2])},
              noteFor(SeawaterFormula::OxygenSolubility, v[1], v[2], 0), SeawaterFormula::OxygenSolubility);
    if (v[0] < 0 && outcome.note.isEmpty())
        outcome.note = q("there is no oxygen below 0");
    return outcome;
}

/// Definitions, so there is no range but that of a density.
Outcome oxygenUnits(std::span<const double> v)
{
    const double umolKg = v[0], densityKgL = v[1];
    if (!(densityKgL > 0))
        return {{std::nan(""), std::nan(""), std::nan("")}, q("the density must be above 0 kg/L")};
    return {{umolLFromUmolKg(umolKg, densityKgL), mlLFromUmolKg(umolKg, densityKgL),
             mgLFromUmolKg(umolKg, densityKgL)},
            umolKg < 0 ? q("there is no oxygen below 0") : QString()};
}

Outcome freezingPoint(std::span<const double> v)
{
    // The freezing point takes no temperature: one inside every range keeps the note to what was given.
    return noted({freezingPointUnesco44(v[0], v[1])},
                 noteFor(SeawaterFormula::FreezingUnesco44, v[0], 0, v[1]),
                 SeawaterFormula::FreezingUnesco44);
}

Outcome oxygenSolubility(std::span<const double> v)
{
    return noted({oxygenSolubilityUmolKg(v[0], v[1])},
                 noteFor(SeawaterFormula::OxygenSolubility, v[0], v[1], 0),
                 SeawaterFormula::OxygenSolubility);
}

Outcome geodesic(std::span<const double> v)
{
    const GeoPoint from{v[0], v[1]};
    const GeoPoint to{v[2], v[3]};
    const auto line = geodesicBetween(from, to);
    if (!line)
        return {{std::nan(""), std::nan(""), std::nan("")}, line.error().sentence};
    const auto point = geodesicAtFraction(from, to, v[4]);
    if (!point)
        return {{std::nan(""), std::nan(""), line->lengthM}, point.error().sentence};
    return {{point->latitudeDeg, point->longitudeDeg, line->lengthM}, {}};
}

/// Where an acoustic target is, from the ship's antenna, its attitude and lever arm, and the range and
/// bearing heard.
template <UsblFrame frame>
Outcome acousticTarget(std::span<const double> v)
{
    UsblObservation o;
    o.frame = frame;
    o.antenna = {v[0], v[1]};
    o.antennaHeightM = v[2];
    o.headingDeg = v[3];
    o.pitchDeg = v[4];
    o.rollDeg = v[5];
    o.leverForwardM = v[6];
    o.leverStarboardM = v[7];
    o.leverDownM = v[8];
    o.slantRangeM = v[9];
    o.bearingDeg = v[10];
    (frame == UsblFrame::Body3d ? o.depressionDeg : o.depthM) = v[11];
    const auto target = usblTarget(o);
    if (!target)
        return {{std::nan(""), std::nan(""), std::nan("")}, target.error().sentence};
    return {{target->position.latitudeDeg, target->position.longitudeDeg, target->depthM}, {}};
}

QStringList acousticInputs(const char *last)
{
    return {q("antenna_lat"), q("antenna_lon"),   q("antenna_height_m"), q("heading_deg"),
            q("pitch_deg"),   q("roll_deg"),      q("lever_x_m"),        q("lever_y_m"),
            q("lever_z_m"),   q("slant_range_m"), q("bearing_deg"),      q(last)};
}

const QStringList acousticOutputs{QStringLiteral("target_latitude_deg"),
                                  QStringLiteral("target_longitude_deg"), QStringLiteral("target_depth_m")};

const std::vector<Function> &functions()
{
    static const std::vector<Function> all{
        {q("salinity"),
         {q("conductivity_mS_cm"), q("temperature_degC"), q("pressure_dbar")},
         {q("practical_salinity")},
         salinity},
        {q("depth"), {q("pressure_dbar"), q("latitude_deg")}, {q("depth_m"), q("depth_unesco_m")}, depth},
        {q("sound-speed"),
         {q("practical_salinity"), q("temperature_degC"), q("pressure_dbar")},
         {q("sound_speed_m_s")},
         soundSpeed},
        {q("sigma0"),
         {q("practical_salinity"), q("temperature_degC"), q("pressure_dbar")},
         {q("sigma0_kg_m3")},
         sigma0},
        {q("sigma0-teos10"),
         {q("practical_salinity"), q("temperature_degC"), q("pressure_dbar")},
         {q("sigma0_kg_m3")},
         ofWater<SeawaterFormula::DensityTeos10, sigma0Teos10>},
        {q("density"),
         {q("practical_salinity"), q("temperature_degC"), q("pressure_dbar")},
         {q("density_kg_m3")},
         ofWater<SeawaterFormula::DensityEos80, densityEos80>},
        {q("density-teos10"),
         {q("practical_salinity"), q("temperature_degC"), q("pressure_dbar")},
         {q("density_kg_m3")},
         ofWater<SeawaterFormula::DensityTeos10, densityInPlaceTeos10>},
        {q("potential-temperature"),
         {q("practical_salinity"), q("temperature_degC"), q("pressure_dbar")},
         {q("potential_temperature_degC")},
         ofWater<SeawaterFormula::PotentialTemperatureEos80, potentialTemperature>},
        {q("sound-speed-teos10"),
         {q("practical_salinity"), q("temperature_degC"), q("pressure_dbar")},
         {q("sound_speed_m_s")},
         ofWater<SeawaterFormula::SoundSpeedTeos10, soundSpeedTeos10>},
        {q("freezing-point-teos10"),
         {q("practical_salinity"), q("pressure_dbar")},
         {q("freezing_point_degC")},
         freezingPointOfTeos10},
        {q("freezing-point"),
         {q("practical_salinity"), q("pressure_dbar")},
         {q("freezing_point_degC")},
         freezingPoint},
        {q("oxygen-solubility"),
         {q("practical_salinity"), q("temperature_degC")},
         {q("oxygen_solubility_umol_kg")},
         oxygenSolubility},
        {q("oxygen-saturation"),
         {q("oxygen_umol_kg"), q("practical_salinity"), q("temperature_degC")},
         {q("oxygen_saturation_percent")},
         oxygenSaturation},
        {q("oxygen-units"),
         {q("oxygen_umol_kg"), q("density_kg_L")},
         {q("oxygen_umol_L"), q("oxygen_mL_L"), q("oxygen_mg_L")},
         oxygenUnits},
        {q("geodesic"),
         {q("lat1"), q("lon1"), q("lat2"), q("lon2"), q("fraction")},
         {q("lat"), q("lon"), q("distance_m")},
         geodesic},
        {q("usbl-true"), acousticInputs("depth_m"), acousticOutputs, acousticTarget<UsblFrame::True>},
        {q("usbl-level"), acousticInputs("depth_m"), acousticOutputs, acousticTarget<UsblFrame::Level>},
        {q("usbl-body"), acousticInputs("depth_m"), acousticOutputs, acousticTarget<UsblFrame::Body>},
        {q("usbl-body3d"), acousticInputs("depression_deg"), acousticOutputs,
         acousticTarget<UsblFrame::Body3d>},
    };
    return all;
}

QString functionList()
{
    QStringList names;
    for (const Function &f : functions())
        names << f.name;
    return names.join(QStringLiteral(", "));
}

/// A number; NaN for an empty field and for what people write when a value is missing.
Result<double> numberOf(const CsvTable &table, std::size_t row, int column)
{
    const QString text = table.rows[row].at(column).trimmed();
    if (text.isEmpty() || text.compare(QLatin1String("nan"), Qt::CaseInsensitive) == 0)
        return std::nan("");
    bool good = false;
    const double value = text.toDouble(&good);
    if (good && !std::isinf(value))
        return value; // nan is one way to write a missing value
    return fail(ErrorKind::Malformed, QStringLiteral("%1, line %2, column %3: \"%4\" is not a number.")
                                          .arg(table.source)
                                          .arg(table.lineOf[row])
                                          .arg(table.header.at(column), text));
}

Result<QByteArray> calculate(const Function &f, const CsvTable &table)
{
    std::vector<int> columns;
    for (const QString &input : f.inputs) {
        const auto column = table.needColumn(input);
        if (!column)
            return column.error();
        columns.push_back(*column);
    }
    QByteArray out;
    for (const QString &name : table.header)
        out += csvField(name) + ',';
    out += f.outputs.join(QLatin1Char(',')).toUtf8() + ",range_note\n";
    std::vector<double> inputs(columns.size());
    for (std::size_t row = 0; row < table.rows.size(); ++row) {
        bool missing = false;
        for (std::size_t i = 0; i < columns.size(); ++i) {
            const auto number = numberOf(table, row, columns[i]);
            if (!number)
                return number.error();
            inputs[i] = *number;
            missing = missing || !std::isfinite(*number);
        }
        const Outcome outcome =
            missing ? Outcome{std::vector<double>(static_cast<std::size_t>(f.outputs.size()), std::nan("")),
                              QStringLiteral("an input is missing")}
                    : f.of(inputs);
        for (const QString &field : table.rows[row])
            out += csvField(field) + ',';
        for (const double value : outcome.values)
            out += csvNumber(value + 0.0) + ','; // no "-0"
        out += csvField(outcome.note) + '\n';
    }
    return out;
}

Done calc(const Arguments &a, const World &world)
{
    const QString name = a.positional().at(0);
    const auto f = std::find_if(functions().begin(), functions().end(),
                                [&name](const Function &candidate) { return candidate.name == name; });
    if (f == functions().end())
        return fail(ErrorKind::Usage,
                    QStringLiteral("There is no function \"%1\"; there are %2.").arg(name, functionList()));
    const auto table = readCsv(world.in(), QStringLiteral("Standard input"));
    if (!table)
        return table.error();
    const auto result = calculate(*f, *table);
    if (!result)
        return result.error();
    world.out(QString::fromUtf8(*result));
    return {};
}

} // namespace

QList<Verb> calcVerbs()
{
    QString details;
    for (const Function &f : functions())
        details += QStringLiteral("  %1 %2 → %3\n")
                       .arg(f.name, -22)
                       .arg(f.inputs.join(QStringLiteral(", ")), f.outputs.join(QStringLiteral(", ")));
    return {
        {q("calc"),
         {q("FUNCTION")},
         {},
         q("Reads a CSV table from standard input, adds columns, writes it to standard output."),
         details +
             q("\nTemperatures are ITS-90, pressure is sea pressure, depth_m is TEOS-10 and depth_unesco_m "
               "UNESCO 1983;\nthe column range_note says where a formula was used outside its stated "
               "range."),
         calc}};
}

} // namespace holdfast::cli
