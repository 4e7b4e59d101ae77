// SPDX-License-Identifier: GPL-3.0-or-later
// Random faults: whatever is done to a package, check and receive say so, and nothing is written anywhere
// else; and runs that are stopped or killed at any moment.
#include "a_package.h"
#include "handoff/check_package.h"
#include "handoff/receive_package.h"
#include "handoff/zip_source.h"

#include <atomic>
#include <csignal>
#include <cstdio>
#include <random>
#include <sys/syscall.h>
#include <unistd.h>

namespace
{

std::atomic<int> writesLeft = 0; ///< of this process until it kills itself; 0: it does not
std::atomic<int> writesDone = 0;

} // namespace

/// Stands before the C library's: every write of a QFile comes here first. What a run has written decides
/// when it is killed, so no clock does.
extern "C" ssize_t write(int descriptor, const void *bytes, size_t count) // NOLINT
{
    ++writesDone;
    if (writesLeft > 0 && --writesLeft == 0)
        ::raise(SIGKILL);
    return ::syscall(SYS_write, descriptor, bytes, count);
}

namespace holdfast::test
{

namespace
{

const UtcTime checkedAt = at("2026-03-13T12:00:00Z");

QByteArray contentOf(const QString &path)
{
    QFile file(path);
    return file.open(QIODevice::ReadOnly) ? file.readAll() : QByteArray();
}

/// One fault done to a folder, and undone again.
class Fault
{
public:
    Fault(const QString &folder, const QStringList &files, std::mt19937 &random) : m_folder(folder)
    {
        const auto any = [&](qsizetype n) {
            return static_cast<qsizetype>(random() % static_cast<unsigned>(n));
        };
        m_file = files.at(any(files.size()));
        m_before = contentOf(full(m_file));
        QByteArray bytes = m_before;
        switch (random() % 7) {
        case 0: // most faults are of this kind: a bit that tipped over
        case 1:
        case 2: {
            const qsizetype where = any(std::max<qsizetype>(1, bytes.size()));
            const auto tip = static_cast<char>(1 + random() % 255);
            if (bytes.isEmpty())
                bytes = "x";
            else
                bytes[where] = static_cast<char>(bytes[where] ^ tip);
            m_what = s("byte %1 of %2 changed").arg(where).arg(m_file);
            put(full(m_file), bytes);
            break;
        }
        case 3:
            m_what = s("%1 removed").arg(m_file);
            QFile::remove(full(m_file));
            break;
        case 4:
            m_extra = m_file + s(".old");
            m_what = s("%1 renamed").arg(m_file);
            QFile::rename(full(m_file), full(m_extra));
            break;
        case 5:
            m_extra = QFileInfo(m_file).path() + s("/copy of ") + QFileInfo(m_file).fileName();
            m_what = s("%1 doubled").arg(m_file);
            QFile::copy(full(m_file), full(m_extra));
            break;
        default:
            bytes = random() % 2 ? bytes.left(any(std::max<qsizetype>(1, bytes.size()))) : bytes + "\n";
            if (bytes == m_before)
                bytes += "x";
            m_what = s("%1 cut or lengthened").arg(m_file);
            put(full(m_file), bytes);
        }
        m_after = QFileInfo::exists(full(m_file)) ? contentOf(full(m_file)) : QByteArray();
    }
    Fault(const Fault &) = delete;
    Fault &operator=(const Fault &) = delete;
    ~Fault()
    {
        if (!m_extra.isEmpty())
            QFile::remove(full(m_extra));
        put(full(m_file), m_before);
    }
    [[nodiscard]] const QString &what() const { return m_what; }
    /// Nothing vouches for the form of a tag manifest but its content: hexadecimal digits may be of either
    /// case (RFC 8493 2.1.3), lines end in LF, CR or both, and the last needs no end (2.3).
    [[nodiscard]] bool meansTheSame() const
    {
        return m_extra.isEmpty() && m_file.startsWith(s("tagmanifest-")) && !m_after.isEmpty() &&
               formless(m_after) == formless(m_before);
    }

private:
    static QByteArray formless(const QByteArray &manifest)
    {
        QByteArray out;
        for (QByteArray line : QByteArray(manifest).replace('\r', '\n').split('\n')) {
            line.replace('\t', ' ');
            const qsizetype blank = line.indexOf(' ');
            if (!line.isEmpty())
                out += line.left(blank).toLower() + ' ' + line.mid(blank).trimmed() + '\n';
        }
        return out;
    }
    static void put(const QString &path, const QByteArray &bytes)
    {
        QFile file(path);
        ASSERT_TRUE(file.open(QIODevice::WriteOnly | QIODevice::Truncate)) << path.toStdString();
        ASSERT_EQ(file.write(bytes), bytes.size());
    }
    [[nodiscard]] QString full(const QString &file) const { return m_folder + QLatin1Char('/') + file; }

    QString m_folder, m_file, m_extra, m_what;
    QByteArray m_before, m_after;
};

QStringList filesIn(const QString &folder)
{
    QStringList all;
    QDirIterator it(folder, QDir::Files | QDir::Hidden, QDirIterator::Subdirectories);
    while (it.hasNext())
        all << it.next().mid(folder.size() + 1);
    all.sort();
    return all;
}

} // namespace

class Faults : public WithPackage
{
protected:
    /// Both must say why, and leave no trace.
    void expectRefused(const QString &package, const QString &what)
    {
        const auto report = checkPackage(package, checkedAt, {});
        if (report) {
            EXPECT_GT(report->errors(), 0) << what.toStdString();
            EXPECT_GT(report->text().size(), 20) << what.toStdString();
        } else {
            EXPECT_GT(report.error().sentence.size(), 20) << what.toStdString();
        }
        const auto received = receivePackage(package, path(s("back.hfc")), s("archive"), {});
        ASSERT_FALSE(received) << what.toStdString();
        EXPECT_GT(received.error().sentence.size(), 20) << what.toStdString();
    }
    QStringList outside()
    {
        QStringList all;
        for (const QString &name : everythingIn(path(s("."))))
            if (!name.startsWith(s("out/TK26-v1/")))
                all << name;
        return all;
    }
};

TEST_F(Faults, FiveHundredInAFolderAreAllRefused)
{
    const QString package = made(order());
    const QStringList files = filesIn(package);
    const QStringList before = outside();
    std::mt19937 random(20260312);
    int done = 0;
    while (done < 500 && !HasFatalFailure()) {
        const Fault fault(package, files, random);
        if (fault.meansTheSame())
            continue;
        expectRefused(package, fault.what());
        ++done;
    }
    EXPECT_EQ(outside(), before);
    const auto report = checkPackage(package, checkedAt, {});
    ASSERT_OK(report);
    EXPECT_EQ(report->errors(), 0) << "a fault was not undone";
    ASSERT_OK(receivePackage(package, path(s("back.hfc")), s("archive"), {}));
}

TEST_F(Faults, AHundredInAZipAreAllRefused)
{
    const QString package = made(order());
    const QStringList files = filesIn(package);
    const QString zip = path(s("out/TK26-v1.zip"));
    std::mt19937 random(8493);
    for (int done = 0; done < 100 && !HasFatalFailure();) {
        const Fault fault(package, files, random);
        if (fault.meansTheSame())
            continue;
        ASSERT_OK(zipFolder(package, zip, {}));
        expectRefused(zip, fault.what());
        QFile::remove(zip);
        ++done;
    }
}

TEST_F(Faults, AByteOfTheZipItselfIsFoundOrMeansNothing) // dates and attributes in a zip are nobody's proof
{
    PackageOrder o = order();
    o.zip = true;
    const QString zip = made(o);
    const QByteArray sound = bytesOf(zip);
    std::mt19937 random(1951);
    int refused = 0;
    for (int i = 0; i < 300 && !HasFatalFailure(); ++i) {
        QByteArray bytes = sound;
        // Half of them in the directory at the end, where a change does most.
        const qsizetype from = i % 2 ? 0 : std::max<qsizetype>(0, bytes.size() - 12'000);
        const auto where =
            from + static_cast<qsizetype>(random() % static_cast<unsigned>(bytes.size() - from));
        bytes[where] = static_cast<char>(bytes[where] ^ static_cast<char>(1 + random() % 255));
        write(zip, bytes);
        const auto received = receivePackage(zip, path(s("back.hfc")), s("archive"), {});
        if (!received) {
            ++refused;
            EXPECT_FALSE(QFileInfo::exists(path(s("back.hfc"))));
            continue;
        }
        const auto head = ledgerHead(file().db());
        ASSERT_OK(head);
        EXPECT_EQ(received->head, *head) << "byte " << where;
        QFile::remove(path(s("back.hfc")));
    }
    EXPECT_GT(refused, 150);
}

TEST_F(Faults, ARunStoppedAtAnyMomentLeavesNothing)
{
    for (int stopAt = 1;; ++stopAt) {
        std::stop_source stop;
        int told = 0;
        const JobControl job{stop.get_token(), [&](const QString &, double) {
                                 if (++told == stopAt)
                                     stop.request_stop();
                             }};
        PackageOrder o = order();
        o.zip = stopAt % 2 == 0;
        const auto package = makePackage(o, job);
        if (package) {
            EXPECT_GT(stopAt, 4) << "it tells too little of its progress to be stopped";
            break;
        }
        ASSERT_EQ(package.error().kind, ErrorKind::Cancelled) << package.error().sentence.toStdString();
        ASSERT_TRUE(everythingIn(path(s("out"))).isEmpty())
            << stopAt << ": " << everythingIn(path(s("out"))).join(s(" ")).toStdString();
        ASSERT_LT(stopAt, 100);
    }
}

/// Starts itself as another process, with the cruise to pack in the environment; that kills itself as it is
/// about to write to a file for the so many-th time.
class KilledRun : public WithPackage
{
protected:
    void SetUp() override
    {
        if (isChild())
            application();
        else
            WithPackage::SetUp();
    }
    static bool isChild() { return qEnvironmentVariableIsSet("HOLDFAST_TEST_CRUISE"); }
    PackageOrder childOrder()
    {
        PackageOrder o = order();
        o.cruisePath = qEnvironmentVariable("HOLDFAST_TEST_CRUISE");
        o.parent = qEnvironmentVariable("HOLDFAST_TEST_OUT");
        return o;
    }
    struct Ending {
        bool killed = false;
        int writes = 0; ///< how often it wrote, when it was not killed
    };
    /// `killAt`: 0 leaves it alone.
    Ending run(int killAt)
    {
        QProcess process;
        QProcessEnvironment environment = QProcessEnvironment::systemEnvironment();
        environment.insert(s("HOLDFAST_TEST_CRUISE"), m_path);
        environment.insert(s("HOLDFAST_TEST_OUT"), path(s("out")));
        environment.insert(s("HOLDFAST_TEST_KILL_AT"), QString::number(killAt));
        process.setProcessEnvironment(environment);
        process.setProcessChannelMode(QProcess::MergedChannels);
        process.start(QFileInfo(s("/proc/self/exe")).symLinkTarget(), {s("--gtest_filter=KilledRun.*")});
        EXPECT_TRUE(process.waitForFinished(-1)); // ctest has the patience
        const QByteArray said = process.readAll();
        if (process.exitStatus() == QProcess::CrashExit) {
            EXPECT_EQ(process.exitCode(), SIGKILL) << said.data();
            return {true, 0};
        }
        EXPECT_EQ(process.exitCode(), 0) << said.data();
        return {false, said.mid(said.indexOf("writes: ") + 8).split('\n').front().toInt()};
    }
};

TEST_F(KilledRun, AtAnyMomentGoesOnToTheSamePackage)
{
    if (isChild()) {
        writesLeft = qEnvironmentVariableIntValue("HOLDFAST_TEST_KILL_AT");
        writesDone = 0;
        ASSERT_OK(makePackage(childOrder(), {}));
        std::printf("writes: %d\n", writesDone.load());
        return;
    }
    const QString package = made(order());
    const QByteArray whole = bytesOf(package + s("/tagmanifest-sha512.txt")); // which covers all manifests
    removePackage(package);
    const int usual = run(0).writes;
    ASSERT_GT(usual, 50) << "the writes of a run are not counted";
    removePackage(package);
    std::mt19937 random(42);
    for (int round = 0; round < 20 && !HasFailure(); ++round) {
        for (int kill = 0; kill < 3; ++kill) {
            const int killAt = 1 + static_cast<int>(random() % static_cast<unsigned>(usual));
            const bool killed = run(killAt).killed;
            // One that goes on has less to write, and may be done before.
            ASSERT_EQ(QFileInfo::exists(package), !killed);
            ASSERT_TRUE(killed || kill > 0) << "round " << round << ", at write " << killAt;
            if (!killed)
                break;
        }
        if (!QFileInfo::exists(package)) {
            ASSERT_FALSE(run(0).killed);
        }
        ASSERT_EQ(everythingIn(path(s("out"))).filter(s(".partial")).join(s(" ")), QString());
        EXPECT_EQ(bytesOf(package + s("/tagmanifest-sha512.txt")), whole) << "round " << round;
        const auto report = checkPackage(package, checkedAt, {});
        ASSERT_OK(report);
        EXPECT_EQ(report->errors(), 0) << report->text().toStdString();
        removePackage(package);
    }
}

} // namespace holdfast::test
