// SPDX-License-Identifier: GPL-3.0-or-later
// The pictures of the Dive screen: a frame with 1,040,000 scans and one with 43,200 fixes, painted as the
// window paints them (offscreen, software rendering, 1600 pixels wide). The reference in the same run draws
// every point with QPainter::drawPolyline on a picture of the same size, with nothing around it.
#include "dive_picture.h"
#include "print/decimate.h"

#include <QGuiApplication>
#include <QPainter>
#include <benchmark/benchmark.h>
#include <cmath>
#include <random>

using namespace holdfast;

namespace
{

constexpr int scanCount = 1'040'000;
constexpr int fixCount = 43'200;
constexpr double dotsPerMm = 5.5;
const QSize strip(1600, 140);
const QSize map(800, 500);

UtcTime at(double seconds)
{
    return utcFromMicroseconds(1'773'300'000'000'000 + static_cast<std::int64_t>(seconds * 1e6));
}

/// Twelve hours at 24 Hz: down, along the bottom, up, with noise.
const std::vector<ChartPoint> &scans()
{
    static const std::vector<ChartPoint> all = [] {
        std::mt19937 random(3);
        std::normal_distribution<double> noise(0, 0.4);
        std::vector<ChartPoint> points;
        points.reserve(scanCount);
        for (int i = 0; i < scanCount; ++i) {
            const double t = i / 24.0;
            const double depth = std::min({t / 2, 1432 + 20 * std::sin(t / 900), (scanCount / 24.0 - t) / 2});
            points.push_back({at(t), depth + noise(random)});
        }
        return points;
    }();
    return all;
}

/// Twelve hours at 1 Hz: a vehicle that wanders, with the noise of its fixes.
const std::vector<TrackMapContent::Point> &fixes()
{
    static const std::vector<TrackMapContent::Point> all = [] {
        std::mt19937 random(5);
        std::normal_distribution<double> noise(0, 3e-5);
        std::vector<TrackMapContent::Point> points;
        for (int i = 0; i < fixCount; ++i)
            points.push_back({at(i), -21.07 + 0.004 * std::sin(i / 5000.0) + noise(random),
                              -173.21 + 0.006 * std::cos(i / 9000.0) + noise(random)});
        return points;
    }();
    return all;
}

TimeChart chartOf(std::vector<ChartPoint> points)
{
    TimeChart chart;
    chart.title = QStringLiteral("Depth (m) over UTC");
    chart.from = scans().front().time;
    chart.to = scans().back().time;
    chart.points = std::move(points);
    chart.downwards = chart.compact = chart.broken = true;
    for (int i = 1; i <= 60; ++i)
        chart.signs.push_back({at(i * 700.0), 1432, QString::number(i), TimeChart::Sign::Look::Filled});
    return chart;
}

TrackMapContent mapOf(std::vector<TrackMapContent::Point> track)
{
    TrackMapContent content{.track = std::move(track), .samples = {}};
    for (std::size_t i = 1; i <= 60; ++i) {
        const auto &p = fixes()[i * 700];
        content.samples.push_back({QString::number(i), p.latitudeDeg, p.longitudeDeg, 9.0});
    }
    return content;
}

QRectF areaOf(const QSize &pixels)
{
    return {QPointF(0, 0), QSizeF(pixels) / dotsPerMm};
}

/// As the window does once a second on a thread beside its own: thin what it keeps of the dive (four thousand
/// columns) and paint it.
void stripFrame(benchmark::State &state)
{
    const auto kept = decimate(scans(), scans().front().time, scans().back().time, PictureDesk::columns, 10);
    for (auto _ : state) {
        const auto chart =
            chartOf(decimate(kept, scans().front().time, scans().back().time, strip.width(), 1e9));
        benchmark::DoNotOptimize(
            pagePicture(drawTimeChart(chart, areaOf(strip)), strip, dotsPerMm, Qt::white, Qt::black));
    }
}

/// What is left for the window's own thread in every frame: showing a picture that is drawn already.
void shownFrame(benchmark::State &state)
{
    const auto chart =
        chartOf(decimate(scans(), scans().front().time, scans().back().time, strip.width(), 10));
    const QImage drawn =
        pagePicture(drawTimeChart(chart, areaOf(strip)), strip, dotsPerMm, Qt::white, Qt::black);
    QImage frame(strip, QImage::Format_RGB32);
    for (auto _ : state) {
        QPainter painter(&frame);
        painter.drawImage(QRectF(QPointF(0, 0), QSizeF(strip)), drawn);
        painter.end();
        benchmark::DoNotOptimize(frame);
    }
}

/// The once-a-dive work that makes a frame cheap; it runs beside the window's thread.
void thinMillion(benchmark::State &state)
{
    for (auto _ : state)
        benchmark::DoNotOptimize(
            decimate(scans(), scans().front().time, scans().back().time, PictureDesk::columns, 10));
}

void stripOfEveryPoint(benchmark::State &state)
{
    const double seconds = secondsBetween(scans().front().time, scans().back().time);
    for (auto _ : state) {
        QImage image(strip, QImage::Format_RGB32);
        image.fill(Qt::black);
        QPolygonF line;
        line.reserve(scanCount);
        for (const ChartPoint &p : scans())
            line << QPointF(strip.width() * secondsBetween(scans().front().time, p.time) / seconds,
                            strip.height() * p.value / 1500);
        QPainter painter(&image);
        painter.setRenderHint(QPainter::Antialiasing);
        painter.setPen(QPen(Qt::white, 1.4));
        painter.drawPolyline(line);
        painter.end();
        benchmark::DoNotOptimize(image);
    }
}

/// The window keeps at most 800 points of the smoothed track; the worst case here is all 43,200 of them.
void mapFrame(benchmark::State &state)
{
    std::vector<TrackMapContent::Point> kept;
    for (std::size_t i = 0; i < fixes().size(); i += static_cast<std::size_t>(state.range(0)))
        kept.push_back(fixes()[i]);
    const auto content = mapOf(kept);
    for (auto _ : state)
        benchmark::DoNotOptimize(
            pagePicture(drawTrackMap(content, areaOf(map)), map, dotsPerMm, Qt::white, Qt::black));
}

void mapOfEveryFix(benchmark::State &state)
{
    for (auto _ : state) {
        QImage image(map, QImage::Format_RGB32);
        image.fill(Qt::black);
        QPolygonF line;
        for (const auto &p : fixes())
            line << QPointF((p.longitudeDeg + 173.217) * 55000, (p.latitudeDeg + 21.075) * -50000 + 500);
        QPainter painter(&image);
        painter.setRenderHint(QPainter::Antialiasing);
        painter.setPen(QPen(Qt::white, 1.4));
        painter.drawPolyline(line);
        painter.end();
        benchmark::DoNotOptimize(image);
    }
}

} // namespace

BENCHMARK(shownFrame)->Name("frame: showing the drawn picture")->Unit(benchmark::kMillisecond);
BENCHMARK(stripFrame)->Name("drawing: depth of 1,040,000 scans")->Unit(benchmark::kMillisecond);
BENCHMARK(stripOfEveryPoint)
    ->Name("reference: drawPolyline of 1,040,000 points")
    ->Unit(benchmark::kMillisecond);
BENCHMARK(thinMillion)->Name("once a dive: thinning 1,040,000 scans")->Unit(benchmark::kMillisecond);
BENCHMARK(mapFrame)
    ->Name("drawing: track of 43,200 fixes, every n-th")
    ->Arg(54)
    ->Arg(1)
    ->Unit(benchmark::kMillisecond);
BENCHMARK(mapOfEveryFix)->Name("reference: drawPolyline of 43,200 fixes")->Unit(benchmark::kMillisecond);

int main(int argc, char **argv)
{
    if (qEnvironmentVariableIsEmpty("QT_QPA_PLATFORM"))
        qputenv("QT_QPA_PLATFORM", "offscreen");
    const QGuiApplication app(argc, argv);
    benchmark::Initialize(&argc, argv);
    benchmark::RunSpecifiedBenchmarks();
    return 0;
}
