// SPDX-License-Identifier: GPL-3.0-or-later
// Frames of the whole window on a long dive: the Dive place with the slot plan, and with the pictures, of a
// dive of 1,040,000 scans and 43,200 fixes, while seven live feeds speak and stamps are taken. Offscreen,
// software rendering, 1600 x 1000. The reference in the same run is an empty window of that size in which a
// small square turns. A frame is from the beginning of its synchronising to its being shown. A beat comes
// every two milliseconds from the window's own event loop: as late as one is, so long a key press waits.
//   frame_bench FOLDER
#include "dive/actions.h"
#include "dive/feed_setup.h"
#include "dive/log_intake.h"
#include "theme.h"
#include "workplace.h"

#include "base/template_folder.h"
#include "feed_load.h"
#include "live/recorded_course.h"
#include "recorded_lines.h"

#include <QDir>
#include <QFile>
#include <QGuiApplication>
#include <QQmlApplicationEngine>
#include <QQuickWindow>
#include <QSettings>
#include <QTest>
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <random>

using namespace holdfast;
using namespace holdfast::bench;

namespace
{

constexpr int scanCount = 1'040'000;
constexpr int fixCount = 43'200;
constexpr int measureMs = 20'000;
constexpr QSize windowSize(1600, 1000);

struct Series {
    std::vector<double> ms;
    [[nodiscard]] double at(double share)
    {
        if (ms.empty())
            return 0;
        std::sort(ms.begin(), ms.end());
        return ms[static_cast<std::size_t>(share * static_cast<double>(ms.size() - 1))];
    }
};

/// Watches the frames of a window and the turns of the event loop.
class Watch : public QObject
{
public:
    explicit Watch(QQuickWindow *window)
    {
        connect(window, &QQuickWindow::afterAnimating, this, [this] { m_frame.start(); });
        connect(window, &QQuickWindow::frameSwapped, this, [this] {
            if (m_frame.isValid())
                frames.ms.push_back(static_cast<double>(m_frame.nsecsElapsed()) * 1e-6);
        });
        m_beats.callOnTimeout([this] {
            if (m_beat.isValid())
                late.ms.push_back(std::max(0.0, static_cast<double>(m_beat.nsecsElapsed()) * 1e-6 - beatMs));
            m_beat.start();
        });
        m_beats.setTimerType(Qt::PreciseTimer);
        m_beats.start(beatMs);
        // Sixty frames a second, whether something has changed or not.
        m_asks.callOnTimeout([window] { window->update(); });
        m_asks.setTimerType(Qt::PreciseTimer);
        m_asks.start(16);
    }
    void print(const char *name)
    {
        const auto slow = std::count_if(late.ms.begin(), late.ms.end(), [](double ms) { return ms > 16; });
        std::printf("| %s | %zu | %.2f | %.2f | %.2f | %.2f | %.2f | %.2f | %td of %zu |\n", name,
                    frames.ms.size(), frames.at(0.5), frames.at(0.95), frames.at(0.99), frames.at(1),
                    late.at(0.99), late.at(1), slow, late.ms.size());
        std::fflush(stdout);
    }
    Series frames, late;

private:
    static constexpr int beatMs = 2;
    QElapsedTimer m_frame, m_beat;
    QTimer m_asks, m_beats;
};

void measureEmptyWindow()
{
    QQmlApplicationEngine engine;
    engine.loadData("import QtQuick\nWindow { width: 1600; height: 1000; visible: true; color: '#181614'\n"
                    "Rectangle { width: 60; height: 60; anchors.centerIn: parent\n"
                    "RotationAnimation on rotation { from: 0; to: 360; duration: 2000; loops: -1 } } }");
    auto *window = qobject_cast<QQuickWindow *>(engine.rootObjects().value(0));
    if (!window)
        return;
    turnFor(1000);
    Watch watch(window);
    turnFor(measureMs / 2);
    watch.print("reference: an empty window, a square turns");
}

/// Twelve hours that end now, so that live feeds go on behind them.
bool makeLogs(const QString &folder, UtcTime begin)
{
    QFile scans(folder + QStringLiteral("/ctd.csv")), fixes(folder + QStringLiteral("/position.csv"));
    if (!scans.open(QIODevice::WriteOnly) || !fixes.open(QIODevice::WriteOnly))
        return false;
    scans.write("time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg\n");
    fixes.write("time_utc,latitude_deg,longitude_deg,depth_m\n");
    std::mt19937 random(3);
    std::normal_distribution<double> noise(0, 1);
    const double seconds = scanCount / 24.0;
    const auto depthAt = [&](double t) { return std::min({t / 2, 1432 + 20 * std::sin(t / 900), 1500.0}); };
    for (int i = 0; i < scanCount; ++i) {
        const double t = i / 24.0;
        const UtcTime time = begin + Microseconds(static_cast<std::int64_t>(t * 1e6));
        scans.write(QStringLiteral("%1,%2,%3,%4,%5\n")
                        .arg(toIso(time))
                        .arg(32.1 + 0.002 * noise(random), 0, 'f', 4)
                        .arg(3.4 + 2 * std::exp(-t / 3000) + 0.002 * noise(random), 0, 'f', 4)
                        .arg(depthAt(t) * 1.01 + 0.1 * noise(random), 0, 'f', 3)
                        .arg(182 + 0.3 * noise(random), 0, 'f', 2)
                        .toLatin1());
    }
    for (int i = 0; i < fixCount; ++i) {
        const double t = i * seconds / fixCount;
        const UtcTime time = begin + Microseconds(static_cast<std::int64_t>(t * 1e6));
        fixes.write(QStringLiteral("%1,%2,%3,%4\n")
                        .arg(toIso(time))
                        .arg(-19.43 + 0.004 * std::sin(t / 5000) + 3e-5 * noise(random), 0, 'f', 7)
                        .arg(-179.999 + 0.006 * std::cos(t / 9000) + 3e-5 * noise(random), 0, 'f', 7)
                        .arg(depthAt(t) + 2 * noise(random), 0, 'f', 1)
                        .toLatin1());
    }
    return true;
}

Done makeCruise(const QString &folder, const QString &path, const std::vector<quint16> &ports)
{
    const UtcTime now = HostClock().utc();
    const UtcTime begin = now - std::chrono::seconds(scanCount / 24 + 60);
    const Act mara{QStringLiteral("Mara"), begin};
    auto file = CruiseFile::create(path, QStringLiteral("TK26"), QStringLiteral("van"), mara, allVerbRules());
    if (!file)
        return file.error();
    const auto loadout = readTemplate(QStringLiteral("loadouts"), QStringLiteral("demo"));
    const auto kinds = KindTable::load();
    if (!loadout || !kinds)
        return loadout ? kinds.error() : loadout.error();
    if (auto planned = planDive(*file, mara, 1, QStringLiteral("Deep vehicle"), *loadout); !planned)
        return planned;
    if (auto launched = reachPhase(*file, mara, 1, Phase::Launched, begin); !launched)
        return launched;
    if (!makeLogs(folder, begin))
        return fail(ErrorKind::Unwritable, QStringLiteral("the logs can't be written"));
    for (const auto &[name, profileName] :
         {std::pair{"position.csv", "position-csv"}, std::pair{"ctd.csv", "ctd-csv"}}) {
        const auto profile = feedProfile(QLatin1String(profileName));
        if (!profile)
            return profile.error();
        const auto taken =
            takeInLog(*file, mara, 1, folder + QLatin1Char('/') + QLatin1String(name), *profile);
        if (!taken)
            return taken.error();
    }
    for (int i = 0; i < 40; ++i) {
        SampleDetails details;
        details.kind = QStringLiteral("rock");
        const UtcTime at = begin + std::chrono::seconds(4000 + 900 * i);
        if (const auto logged = stampSample(*file, {mara.person, at}, 1, at, details, *kinds); !logged)
            return logged.error();
    }
    for (std::size_t i = 0; i < ports.size(); ++i) {
        const FeedSetup feed{QString::fromLatin1(loadFeeds[i].name),
                             parseFeedAddress(QStringLiteral("udp://127.0.0.1:%1").arg(ports[i])).value(),
                             QString::fromLatin1(loadFeeds[i].profile), 10000};
        if (auto set = setFeed(*file, mara, feed); !set)
            return set;
    }
    return {};
}

/// The live window: a stamp every two seconds, an arrow key in between.
void work(const char *name, QQuickWindow *window)
{
    Watch watch(window);
    QElapsedTimer clock;
    clock.start();
    while (clock.elapsed() < measureMs) {
        QTest::keyClick(window, Qt::Key_Space);
        turnFor(1000);
        QTest::keyClick(window, Qt::Key_Right);
        turnFor(1000);
    }
    watch.print(name);
}

/// Night to day and back: every item of the scene is drawn anew.
void wholeRepaints(const char *name, QQuickWindow *window, Theme *theme)
{
    Watch watch(window);
    for (int i = 0; i < 60; ++i) {
        theme->setDay(!theme->day());
        turnFor(150);
    }
    watch.print(name);
}

/// What a window that is opened in mid-dive reads again, beside its own thread; beside it unpacking the same
/// blocks.
bool measureHistory(const QString &path)
{
    const UtcTime begin = utcFromMicroseconds(1'773'325'327'000'000);
    const Act mara{QStringLiteral("Mara"), begin};
    auto file = CruiseFile::create(path, QStringLiteral("TK26"), QStringLiteral("van"), mara, allVerbRules());
    const auto loadout = readTemplate(QStringLiteral("loadouts"), QStringLiteral("demo"));
    if (!file || !loadout || !planDive(*file, mara, 1, QStringLiteral("Deep vehicle"), *loadout) ||
        !recordScans(*file, begin))
        return false;
    QElapsedTimer clock;
    clock.start();
    RecordedCourse course(1);
    const auto read = course.readOn(file->db());
    const qint64 readMs = clock.restart();
    qint64 bytes = 0;
    const auto all =
        recordedLines(file->db(), 1, QStringLiteral("CTD"), [&](const ReceivedLines &lines) -> Done {
            bytes += lines.text.size();
            return {};
        });
    if (!read || !all)
        return false;
    std::printf(
        "\nRecorded lines of twelve hours (%d) read again: %lld ms, %zu points; unpacking all of them, the "
        "reference: %lld ms.\n",
        linesTakenIn, static_cast<long long>(readMs), read->temperatureDegC.size(),
        static_cast<long long>(clock.elapsed()));
    return bytes > 0;
}

bool measureWindow(const QString &path, const std::vector<quint16> &ports)
{
    const Load load(ports);
    Workplace workplace;
    workplace.desk.setPerson(QStringLiteral("Mara"));
    workplace.places.showPlace(QStringLiteral("dive"));
    QQmlApplicationEngine engine;
    engine.addImportPath(moduleImportPath);
    engine.setInitialProperties(workplace.properties());
    engine.load(QUrl(mainQml));
    auto *window = qobject_cast<QQuickWindow *>(engine.rootObjects().value(0));
    if (!window)
        return false;
    window->resize(windowSize);
    window->requestActivate();
    workplace.desk.openFile(path);
    const auto drawn = [&] {
        return workplace.pictures.course(CourseBook::Oxygen).points.size() > 4000 &&
               workplace.pictures.note().isEmpty() && !workplace.feeds.feedsLine().contains(u"of");
    };
    if (!turnUntil(drawn, 120'000))
        return false;
    turnFor(3000);
    work("the Dive place: plan, lists, depth", window);
    QTest::keyClick(window, Qt::Key_P);
    turnFor(1500);
    work("the same with track and strips in the place of the plan", window);
    auto *theme = engine.singletonInstance<Theme *>(qmlTypeId("Holdfast.Ui", 1, 0, "Theme"));
    if (!theme)
        return false;
    wholeRepaints("of that, night to day and back every 150 ms: all drawn anew", window, theme);
    return true;
}

} // namespace

int main(int argc, char **argv)
{
    qputenv("QT_QPA_PLATFORM", "offscreen");
    qputenv("QT_QUICK_BACKEND", "software");
    QGuiApplication app(argc, argv);
    if (argc != 2 || !QDir().mkpath(QString::fromLocal8Bit(argv[1]))) {
        std::fputs("frame_bench FOLDER: a folder for a cruise of about 100 MB\n", stderr);
        return 2;
    }
    const QString folder = QString::fromLocal8Bit(argv[1]);
    QCoreApplication::setOrganizationName(QStringLiteral("holdfast-bench"));
    QSettings::setPath(QSettings::NativeFormat, QSettings::UserScope, folder);
    const std::vector<quint16> ports = freePorts();
    const QString path = folder + QStringLiteral("/cruise.hfc");
    if (const Done made = makeCruise(folder, path, ports); !made) {
        std::fprintf(stderr, "%s\n", qPrintable(made.error().sentence));
        return 1;
    }
    std::puts("| window | frames | p50 ms | p95 ms | p99 ms | max ms | beat late p99 ms | latest ms | beats "
              "over 16 ms late |\n| --- | --- | --- | --- | --- | --- | --- | --- | --- |");
    measureEmptyWindow();
    return measureWindow(path, ports) && measureHistory(folder + QStringLiteral("/lines.hfc")) ? 0 : 1;
}
