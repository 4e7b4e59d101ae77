// SPDX-License-Identifier: GPL-3.0-or-later
// A cruise whose live feeds were recorded: packed, checked, and built again line for line.
#include "a_package.h"
#include "custody/audit.h"
#include "dive/line_recording.h"
#include "handoff/check_package.h"
#include "handoff/receive_package.h"

#include <QJsonDocument>

namespace holdfast::test
{

class RecordedLines : public WithPackage
{
protected:
    struct Feed {
        QString name;
        std::vector<std::pair<std::int64_t, QByteArray>> lines;
    };

    void SetUp() override
    {
        WithPackage::SetUp();
        // Bytes as instruments send them: no UTF-8, tabs, an empty line, a carriage return; a clock set back.
        Feed nav{s("nav"), {}};
        const std::int64_t begun = microsecondsOf(at("2026-03-12T08:00:00Z"));
        for (int i = 0; i < 900; ++i)
            nav.lines.emplace_back(begun + i * 250'000 - (i > 500 ? 3'000'000 : 0),
                                   "$GPZDA,0800" + QByteArray::number(i) + ",12,03,2026,00,00\r");
        nav.lines[7].second = QByteArray("\xff\xfe noise \t\x01", 11);
        nav.lines[8].second.clear();
        Feed ctd{s("CTD / main"), {}};
        ctd.lines.emplace_back(begun,
                               "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg");
        for (int i = 0; i < 120; ++i)
            ctd.lines.emplace_back(begun + i * 1'000'000,
                                   toIso(at("2026-03-12T08:00:00Z") + std::chrono::seconds(i)).toLatin1() +
                                       ",32.51,3.412,1212.1,182.3");
        record(nav, s("11111111-1111-4111-8111-111111111111"), s("udp://0.0.0.0:47001"), s("nmea"));
        record(ctd, s("22222222-2222-4222-8222-222222222222"), s("serial:/dev/ttyUSB0,9600,8N1"),
               s("ctd-csv"));
        record(nav, s("33333333-3333-4333-8333-333333333333"), s("udp://0.0.0.0:47001"), s("nmea"));
        ASSERT_OK(closeRecording(file(), act(), s("11111111-1111-4111-8111-111111111111"), s("closed")));
        ASSERT_OK(closeRecording(file(), act(), s("22222222-2222-4222-8222-222222222222"), s("closed")));
        // The third is still open; the CTD's lines were made into a log as well.
        const auto taken = takeInLines(file(), act(), 1, s("CTD / main"));
        ASSERT_OK(taken);
    }
    void record(const Feed &feed, const QString &uuid, const QString &address, const QString &profile)
    {
        const auto json = readTemplate(s("feeds"), profile);
        ASSERT_OK(json);
        const Recording recording{uuid,
                                  1,
                                  s("van"),
                                  feed.name,
                                  address,
                                  profile,
                                  QJsonDocument(*json).toJson(QJsonDocument::Compact),
                                  m_now};
        for (std::size_t i = 0; i < feed.lines.size(); i += 70) {
            ReceivedLines block;
            for (std::size_t k = i; k < std::min(i + 70, feed.lines.size()); ++k)
                block.add(feed.lines[k].first, feed.lines[k].second);
            const auto packed = packLines(block, ',');
            ASSERT_OK(packed);
            ASSERT_OK(storeLines(file(), {{recording, *packed}}));
        }
        m_sent[uuid] = feed;
    }
    QMap<QString, Feed> m_sent;
};

TEST_F(RecordedLines, ComeBackLineForLineWithTheTimeOfEach)
{
    const QString package = made(order());
    const auto report = checkPackage(package, at("2026-03-13T12:00:00Z"), {});
    ASSERT_OK(report);
    EXPECT_EQ(report->errors(), 0) << report->text().toStdString();
    const QString back = path(s("back.hfc"));
    ASSERT_OK(receivePackage(package, back, s("archive"), {}));
    const auto again = CruiseFile::open(back, Database::Access::ReadOnly, allVerbRules());
    ASSERT_OK(again);
    const auto before = readRecordings(file().db(), 0);
    const auto after = readRecordings(again->db(), 0);
    ASSERT_OK(before);
    ASSERT_OK(after);
    ASSERT_EQ(before->size(), 3U);
    ASSERT_EQ(after->size(), 3U);
    for (std::size_t i = 0; i < 3; ++i) {
        const Recording &b = before->at(i).recording;
        const Recording &a = after->at(i).recording;
        EXPECT_EQ(std::tie(a.uuid, a.dive, a.station, a.feed, a.address, a.profile, a.profileJson, a.begun),
                  std::tie(b.uuid, b.dive, b.station, b.feed, b.address, b.profile, b.profileJson, b.begun));
        EXPECT_EQ(after->at(i).sums.digest, before->at(i).sums.digest);
        EXPECT_EQ(after->at(i).closed, before->at(i).closed);
        const Feed &sent = m_sent[a.uuid];
        std::size_t line = 0;
        ASSERT_OK(LineLog(again->db().connection()).lines(a.uuid, [&](const ReceivedLines &block) -> Done {
            qsizetype from = 0;
            for (const std::int64_t us : block.receivedUs) {
                const qsizetype end = block.text.indexOf('\n', from);
                if (line >= sent.lines.size())
                    return fail(ErrorKind::Internal, s("more lines than were sent"));
                EXPECT_EQ(us, sent.lines[line].first);
                EXPECT_EQ(block.text.mid(from, end - from), sent.lines[line].second);
                from = end + 1;
                ++line;
            }
            return {};
        }));
        EXPECT_EQ(line, sent.lines.size());
    }
    const auto audit = auditCruise(*again);
    ASSERT_OK(audit);
    EXPECT_TRUE(audit->holds()) << audit->text().toStdString();
    // What is packed from the copy is the same package, byte for byte.
    QDir().mkpath(path(s("out2")));
    PackageOrder o = order();
    o.cruisePath = back;
    o.parent = path(s("out2"));
    EXPECT_EQ(bytesOf(made(o) + s("/manifest-sha256.txt")), bytesOf(package + s("/manifest-sha256.txt")));
}

TEST_F(RecordedLines, StandInThePackageAsTextThatAnyoneReads)
{
    const QString package = made(order());
    const QByteArray text = bytesOf(package + s("/data/logs/received/dive-01/nav.txt"));
    const QList<QByteArray> lines = text.split('\n');
    ASSERT_EQ(lines.size(), 901); // the last piece, after the last line feed, is empty
    EXPECT_EQ(lines.at(0), "2026-03-12T08:00:00.000000Z\t$GPZDA,08000,12,03,2026,00,00\r");
    EXPECT_EQ(lines.at(8), "2026-03-12T08:00:02.000000Z\t");
    EXPECT_EQ(QDir(package + s("/data/logs/received/dive-01")).entryList(QDir::Files).size(), 3)
        << "each recording has a file of its own";
}

TEST_F(RecordedLines, AChangedBlockMakesNoPackage)
{
    ASSERT_OK(
        execSql(file().db().connection(),
                s("UPDATE log_received SET data = zeroblob(length(data)) WHERE id = (SELECT min(id) FROM "
                  "log_received)")));
    const auto package = makePackage(order(), {});
    ASSERT_FALSE(package);
    EXPECT_EQ(package.error().kind, ErrorKind::Tampered);
    EXPECT_TRUE(everythingIn(path(s("out"))).isEmpty());
}

TEST_F(RecordedLines, ThatCameAfterAKilledRunAreInTheNext)
{
    // Lines of an open recording make no entry, so the ledger of both runs is the same.
    const QString open = s("33333333-3333-4333-8333-333333333333");
    const auto head = ledgerHead(file().db());
    ASSERT_OK(head);
    const QString first = made(order());
    QMap<QString, QByteArray> finished;
    for (const QString &name : everythingIn(first + s("/data/logs"))) {
        if (QFileInfo(first + s("/data/logs/") + name).isFile())
            finished.insert(s("data/logs/") + name, bytesOf(first + s("/data/logs/") + name));
    }
    removePackage(first);
    {
        auto writer = PackageWriter::begin(path(s("out")), s("TK26-v1"), packageKey(*head));
        ASSERT_OK(writer);
        for (auto it = finished.begin(); it != finished.end(); ++it)
            ASSERT_OK(writer->add(it.key(), it.value()));
    }
    record({s("nav"), {{microsecondsOf(at("2026-03-12T09:00:00Z")), "$PLATE,came later"}}}, open,
           s("udp://0.0.0.0:47001"), s("nmea"));
    const auto same = ledgerHead(file().db());
    ASSERT_OK(same);
    ASSERT_EQ(*same, *head);
    const QString package = made(order());
    int texts = 0;
    for (const QString &name : QDir(package + s("/data/logs/received/dive-01")).entryList(QDir::Files))
        texts += bytesOf(package + s("/data/logs/received/dive-01/") + name).contains("came later") ? 1 : 0;
    EXPECT_EQ(texts, 1);
    ASSERT_OK(receivePackage(package, path(s("back.hfc")), s("archive"), {}));
    const auto again = CruiseFile::open(path(s("back.hfc")), Database::Access::ReadOnly, allVerbRules());
    ASSERT_OK(again);
    const auto sums = LineLog(again->db().connection()).sums(open);
    ASSERT_OK(sums);
    EXPECT_EQ(sums->lines, 901);
}

} // namespace holdfast::test
