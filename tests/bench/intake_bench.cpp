// SPDX-License-Identifier: GPL-3.0-or-later

// Measures how a CTD log gets into a cruise file and out again; intake_bench.sh runs it beside its reference.
//   intake_bench make LOG HOURS          an invented 24 Hz log
//   intake_bench take LOG CRUISE DIVES   reads, derives, flags and stores the log durably, for each dive
//   intake_bench window CRUISE           reads windows of 30 s from all dives of the file
// Each prints one line "name value unit" a figure.

#include "store/database.h"
#include "store/sensor_log.h"
#include "water/columns.h"
#include "water/quality.h"

#include <QFile>
#include <QFileInfo>
#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <future>
#include <random>
#include <string>
#include <sys/resource.h>

using namespace holdfast;

namespace
{

double now()
{
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

void say(const char *name, double value, const char *unit)
{
    std::printf("%s %.4g %s\n", name, value, unit);
}

int failed(const Error &error)
{
    std::fprintf(stderr, "%s\n", error.sentence.toUtf8().constData());
    return 1;
}

QString templates(const char *folder)
{
    return qEnvironmentVariable("HOLDFAST_SOURCE_DIR", QStringLiteral(".")) + QStringLiteral("/templates/") +
           QString::fromLatin1(folder);
}

/// A vehicle that goes down to 1240 m, stays and comes up again, in water of plain profiles; instrument noise
/// and resolution as a good CTD has them (common practice). The same hours give the same bytes.
int make(const char *path, double hours)
{
    std::FILE *file = std::fopen(path, "w");
    if (file == nullptr) {
        std::fprintf(stderr, "%s can't be written.\n", path);
        return 1;
    }
    std::mt19937_64 random(12);
    std::normal_distribution<double> noise;
    std::fputs("time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg\n", file);
    const auto scans = static_cast<long>(hours * 3600 * 24);
    const UtcTime start = *parseIsoUtc("2031-03-08T19:00:00Z");
    for (long i = 0; i < scans; ++i) {
        const double s = static_cast<double>(i) / 24;
        const double left = hours * 3600 - s;
        const double pressure = std::min({0.5 * s, 0.55 * left, 1240 + 8 * std::sin(s / 400)});
        const double temperature = 2.4 + 17.3 * std::exp(-pressure / 390);
        const double conductivity = 30.7 + 17.6 * std::exp(-pressure / 400) + 0.0005 * pressure;
        const UtcTime t = start + Microseconds{(i * 1'000'000 / 24 + 500) / 1000 * 1000};
        std::fprintf(file, "%s,%.4f,%.4f,%.3f,%.2f\n", toIso(t).toLatin1().constData(),
                     conductivity + 6e-4 * noise(random), temperature + 5e-4 * noise(random),
                     pressure + 0.02 * noise(random), 180 + 0.25 * noise(random));
    }
    return std::fclose(file) == 0 ? 0 : 1;
}

/// Measured and derived values as the dive's intake stores them.
SensorTable valuesOf(const IntakeData &data, const DerivedColumns &derived)
{
    SensorTable table = tableOf(data.ctd);
    table.values.push_back({"salinity", derived.practicalSalinity, 4});
    table.values.push_back({"depth", derived.depthM, 3});
    table.values.push_back({"sigma0", derived.sigma0KgM3, 4});
    table.values.push_back({"sound_speed", derived.soundSpeedMs, 3});
    return table;
}

SensorTable flagsOf(const IntakeData &data, const ScanFlags &flags)
{
    SensorTable table{data.ctd.timeUs, {}, {}};
    for (std::size_t i = 0; i < qcParameterCount; ++i)
        table.marks.emplace_back("flag_" + std::to_string(i), std::span<const QcFlag>(flags.of[i]));
    table.marks.emplace_back("flag", std::span<const QcFlag>(flags.aggregate));
    table.marks.emplace_back("reasons", std::span<const std::uint16_t>(flags.reasons));
    return table;
}

Done store(const Database &db, int dive, const IntakeData &data, const PackedLog &packed)
{
    auto transaction = Transaction::begin(db.connection());
    if (!transaction)
        return transaction.error();
    const auto written =
        SensorLogWriter(db.connection()).write(QStringLiteral("intake-%1").arg(dive), dive, data, packed);
    if (!written)
        return written.error();
    return transaction->commit();
}

/// Takes the log into dive 1 and measures it; further dives get the same rows, to make the file large.
Done takeLog(const Database &db, const QString &log, int dives, const FeedProfile &profile,
             const QualityLimits &limits)
{
    const double start = now();
    const auto data = intakeFile(log, profile);
    if (!data)
        return data.error();
    const double read = now();
    const DerivedColumns derived = derive(data->ctd, -31.27);
    const double derivedAt = now();
    auto values = std::async(std::launch::async, [&] { return packColumns(valuesOf(*data, derived)); });
    const ScanFlags flags = qualityOf(data->ctd, derived, limits);
    const double flagged = now();
    const auto packedFlags = packColumns(flagsOf(*data, flags));
    auto packedValues = values.get();
    if (!packedFlags || !packedValues)
        return packedFlags ? packedValues.error() : packedFlags.error();
    const PackedColumns columns[] = {std::move(*packedValues), *packedFlags};
    const auto packed = joinColumns(data->ctd.timeUs, columns);
    if (!packed)
        return packed.error();
    const double packedAt = now();
    if (const Done stored = store(db, 1, *data, *packed); !stored)
        return stored;
    const double end = now();
    for (int dive = 2; dive <= dives; ++dive) {
        if (const Done stored = store(db, dive, *data, *packed); !stored)
            return stored;
    }
    const auto scans = static_cast<double>(data->ctd.size());
    double text = 0;
    for (const PackedText &piece : data->text)
        text += static_cast<double>(piece.packed.size());
    say("scans", scans, "");
    say("read", read - start, "s");
    say("derive", derivedAt - read, "s");
    say("flag_and_pack_values", flagged - derivedAt, "s");
    say("pack_rest", packedAt - flagged, "s");
    say("store", end - packedAt, "s");
    say("intake", end - start, "s");
    say("values", static_cast<double>(packed->bytes()) / scans, "bytes/scan");
    say("text", text / scans, "bytes/scan");
    return {};
}

int take(const char *log, const char *cruise, int dives)
{
    const auto profile = loadFeedProfile(QStringLiteral("ctd-csv"), {templates("feeds")});
    if (!profile)
        return failed(profile.error());
    QFile thresholds(templates("quality") + QStringLiteral("/deep-rov-ctd.json"));
    if (!thresholds.open(QIODevice::ReadOnly))
        return failed(fail(ErrorKind::Unreadable, thresholds.errorString()));
    const auto limits = parseQualityLimits(thresholds.readAll(), thresholds.fileName());
    if (!limits)
        return failed(limits.error());
    const QString path = QString::fromLocal8Bit(cruise);
    {
        auto db = Database::create(path);
        if (!db)
            return failed(db.error());
        if (const Done taken = takeLog(*db, QString::fromLocal8Bit(log), dives, *profile, *limits); !taken)
            return failed(taken.error());
    }
    rusage use{};
    getrusage(RUSAGE_SELF, &use);
    say("memory", static_cast<double>(use.ru_maxrss) / 1024, "MB");
    say("file", static_cast<double>(QFileInfo(path).size()) / 1e6, "MB");
    return 0;
}

int window(const char *cruise)
{
    const auto db = Database::open(QString::fromLocal8Bit(cruise), Database::Access::ReadOnly);
    if (!db)
        return failed(db.error());
    const SensorLogReader reader(db->connection());
    std::vector<double> took;
    std::mt19937 random(3);
    int dives = 0;
    for (int dive = 1; dive <= 100; ++dive) {
        const auto files = reader.files(dive);
        if (!files)
            return failed(files.error());
        if (files->empty())
            break;
        ++dives;
        const auto length = static_cast<std::int64_t>((files->front().last - files->front().first).count());
        for (int i = 0; i < 25; ++i) {
            const UtcTime middle = files->front().first +
                                   Microseconds{static_cast<std::int64_t>(random()) * length / 4'294'967'296};
            const double start = now();
            const auto rows = reader.rowsOfDive(dive, LogKind::Ctd, middle - std::chrono::seconds{15},
                                                middle + std::chrono::seconds{15});
            took.push_back((now() - start) * 1e3);
            if (!rows)
                return failed(rows.error());
        }
    }
    if (took.empty())
        return failed(fail(ErrorKind::NotFound, QStringLiteral("The cruise file has no CTD log.")));
    std::sort(took.begin(), took.end());
    say("dives", dives, "");
    say("window_p50", took[took.size() / 2], "ms");
    say("window_p99", took[took.size() * 99 / 100], "ms");
    return 0;
}

} // namespace

int main(int argc, char **argv)
{
    const std::string verb = argc > 1 ? argv[1] : "";
    if (verb == "make" && argc == 4)
        return make(argv[2], std::strtod(argv[3], nullptr));
    if (verb == "take" && argc == 5)
        return take(argv[2], argv[3], std::atoi(argv[4]));
    if (verb == "window" && argc == 3)
        return window(argv[2]);
    std::fprintf(stderr, "intake_bench make LOG HOURS | take LOG CRUISE DIVES | window CRUISE\n");
    return 2;
}
