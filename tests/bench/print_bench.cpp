// SPDX-License-Identifier: GPL-3.0-or-later
// Paper: 500 labels and a custody sheet of 60 samples, from structs to a PDF on disk. For comparison in the
// same run, two common tools make the 500 codes alone, without any text or page.
#include "print/custody_sheet.h"
#include "print/label_sheet.h"

#include "base/ids.h"

#include <QDir>
#include <QFile>
#include <QFileInfo>
#include <QGuiApplication>
#include <QProcess>
#include <QStandardPaths>
#include <QTemporaryDir>
#include <benchmark/benchmark.h>
#include <sys/resource.h>

using namespace holdfast;

namespace
{

QString sourceDir()
{
    return qEnvironmentVariable("HOLDFAST_SOURCE_DIR", QDir::currentPath());
}

std::vector<LabelContent> labels(int count)
{
    std::vector<LabelContent> all;
    for (int i = 1; i <= count; ++i)
        all.push_back(LabelContent{.id = IdPattern::standard().sampleId(QStringLiteral("TK26"), 4, i),
                                   .cruise = QStringLiteral("TK26"),
                                   .dive = QStringLiteral("4"),
                                   .kind = QStringLiteral("coral"),
                                   .description = QStringLiteral("white fan on basalt, number %1").arg(i),
                                   .time = utcFromMicroseconds(1773325327300000 + i * 61000000LL),
                                   .depthM = 1400.0 + i * 0.7,
                                   .latitudeDeg = -21.07 - i * 1e-4,
                                   .longitudeDeg = -173.21 + i * 1e-4,
                                   .slot = QStringLiteral("B%1").arg(i % 9 + 1),
                                   .preservative = QStringLiteral("ethanol 95 %"),
                                   .hazard = QStringLiteral("FLAMMABLE"),
                                   .container = QStringLiteral("1 of 1"),
                                   .contact = QStringLiteral("Deck lab")});
    return all;
}

void labelsToPdf(benchmark::State &state, const char *stockName)
{
    const auto stock =
        loadLabelStock(sourceDir() + QStringLiteral("/templates/labels"), QString::fromLatin1(stockName));
    if (!stock) {
        state.SkipWithError(stock.error().sentence.toUtf8().constData());
        return;
    }
    const LabelJob job{.stock = *stock, .labels = labels(500), .copies = 1};
    const QTemporaryDir dir;
    for (auto _ : state) {
        const auto sheets = layoutLabels(job);
        if (!sheets || !writePdf(sheets->document, dir.filePath(QStringLiteral("labels.pdf"))))
            state.SkipWithError("the labels could not be written");
    }
    state.counters["file_kB"] =
        static_cast<double>(QFileInfo(dir.filePath(QStringLiteral("labels.pdf"))).size()) / 1000;
}

void custodySheet60(benchmark::State &state)
{
    const auto layout =
        loadSheetLayout(sourceDir() + QStringLiteral("/templates/sheets"), QStringLiteral("custody-a4"));
    if (!layout) {
        state.SkipWithError(layout.error().sentence.toUtf8().constData());
        return;
    }
    CustodySheetContent content;
    content.cruise = QStringLiteral("TK26");
    content.dive = QStringLiteral("4");
    content.ledgerHeads = {
        {.station = QStringLiteral("van"), .entries = 214, .sha256 = QString(64, QLatin1Char('a'))}};
    for (const LabelContent &l : labels(60))
        content.samples.push_back(CustodySample{.id = l.id,
                                                .time = l.time,
                                                .slot = l.slot,
                                                .kind = l.kind,
                                                .description = l.description,
                                                .depthM = l.depthM,
                                                .temperatureDegC = 3.4,
                                                .salinity = 34.5,
                                                .oxygenUmolKg = 182.0,
                                                .latitudeDeg = l.latitudeDeg,
                                                .longitudeDeg = l.longitudeDeg,
                                                .uncertainty95M = 9.0});
    const QTemporaryDir dir;
    for (auto _ : state) {
        const auto document = layoutCustodySheet(content, *layout);
        if (!document || !writePdf(*document, dir.filePath(QStringLiteral("sheet.pdf"))))
            state.SkipWithError("the sheet could not be written");
    }
}

double childrenCpuMs()
{
    rusage used{};
    getrusage(RUSAGE_CHILDREN, &used);
    const auto ms = [](const timeval &t) {
        return static_cast<double>(t.tv_sec) * 1e3 + static_cast<double>(t.tv_usec) / 1e3;
    };
    return ms(used.ru_utime) + ms(used.ru_stime);
}

/// Runs a shell command in a folder that holds ids.txt; the reference tools are programs, not libraries.
void referenceTool(benchmark::State &state, const char *program, const char *command)
{
    if (QStandardPaths::findExecutable(QString::fromLatin1(program)).isEmpty()) {
        state.SkipWithError("the reference tool is not installed");
        return;
    }
    const QTemporaryDir dir;
    QFile ids(dir.filePath(QStringLiteral("ids.txt")));
    if (!ids.open(QIODevice::WriteOnly))
        state.SkipWithError("no temporary file");
    for (const LabelContent &l : labels(500))
        ids.write(printedId(l.id).toLatin1() + '\n');
    ids.close();
    const double before = childrenCpuMs();
    for (auto _ : state) {
        QProcess process;
        process.setWorkingDirectory(dir.path());
        process.start(QStringLiteral("/bin/sh"), {QStringLiteral("-c"), QString::fromLatin1(command)});
        if (!process.waitForFinished(60000) || process.exitCode() != 0)
            state.SkipWithError("the reference tool failed");
    }
    // The processor time that the table shows is that of this program; the tool's own stands here.
    state.counters["tool_cpu_ms"] =
        benchmark::Counter(childrenCpuMs() - before, benchmark::Counter::kAvgIterations);
}

} // namespace

BENCHMARK_CAPTURE(labelsToPdf, 500_on_a4_70x37, "a4-70x37")->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK_CAPTURE(labelsToPdf, 500_on_cryo_10mm, "cryo-10mm")->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(custodySheet60)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK_CAPTURE(referenceTool, zint_batch_500_codes_png, "zint",
                  "zint --barcode=58 --secure=4 --batch --input=ids.txt --output=code~~~.png")
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();
BENCHMARK_CAPTURE(referenceTool, zint_batch_500_codes_svg, "zint",
                  "zint --barcode=58 --secure=4 --batch --input=ids.txt --output=code~~~.svg")
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();
BENCHMARK_CAPTURE(referenceTool, qrencode_500_processes_png, "qrencode",
                  "while read -r id; do qrencode -l H -o code.png \"$id\"; done < ids.txt")
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();

int main(int argc, char **argv)
{
    if (qEnvironmentVariableIsEmpty("QT_QPA_PLATFORM"))
        qputenv("QT_QPA_PLATFORM", "offscreen");
    const QGuiApplication app(argc, argv);
    benchmark::Initialize(&argc, argv);
    benchmark::RunSpecifiedBenchmarks();
    return 0;
}
