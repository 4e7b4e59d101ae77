// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/make_package.h"

#include "base/version.h"
#include "custody/tally.h"
#include "dive/readers.h"
#include "handoff/bag_files.h"
#include "handoff/cruise_content.h"
#include "handoff/cruise_tables.h"
#include "handoff/darwin_core.h"
#include "handoff/geojson.h"
#include "handoff/igsn.h"
#include "handoff/ledger_text.h"
#include "handoff/next_package.h"
#include "handoff/output_place.h"
#include "handoff/package_changes.h"
#include "handoff/package_extras.h"
#include "handoff/package_lines.h"
#include "handoff/package_logs.h"
#include "handoff/package_readme.h"
#include "handoff/package_schemas.h"
#include "handoff/provenance.h"
#include "handoff/sample_tables.h"
#include "handoff/vocabulary.h"
#include "handoff/zip_source.h"
#include "ledger/verify.h"
#include "store/sql.h"

#include <QDir>
#include <QFileInfo>
#include <QJsonDocument>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

QByteArray pretty(const QJsonObject &object)
{
    return QJsonDocument(object).toJson(QJsonDocument::Indented);
}

/// A part of a job as a share of the whole.
JobControl partOf(const JobControl &job, double from, double to)
{
    if (!job.progress)
        return {job.stop, {}};
    return {job.stop, [progress = job.progress, from, to](const QString &doing, double share) {
                progress(doing, from + (to - from) * share);
            }};
}

/// One package in the making: every part adds its files.
class Maker
{
public:
    Maker(const CruiseFile &file, const PackageOrder &order, const JobControl &job)
        : m_db(file.db()), m_order(order), m_job(job)
    {
    }

    Result<MadePackage> run();

private:
    Done place();
    Done verify();
    Done name();
    Done readCruiseInto(PackageWriter &package);
    Done judge();
    Done write(PackageWriter &package);
    Done writeTables(PackageWriter &package);
    Done writeOpenPoints(PackageWriter &package);
    Done writeDerived(PackageWriter &package);
    [[nodiscard]] BagInfo bagInfo() const;

    const Database &m_db;
    const PackageOrder &m_order;
    JobControl m_job;
    CruiseContent m_content;
    CompletenessGrid m_grid;
    std::vector<VocabularyTerm> m_vocabulary;
    QString m_head;
    NextPackage m_next;
    std::optional<EarlierPackage> m_earlier;
    MadePackage m_made;
};

/// Before anything is computed: will the package find its place?
Done Maker::place()
{
    if (auto good = checkOutputFolder(m_order.parent); !good)
        return good;
    auto next = nextPackage(m_db, m_order.parent, m_order.earlier);
    if (!next)
        return next.error();
    m_next = std::move(*next);
    for (const QString &path : {QDir(m_order.parent).filePath(m_next.name),
                                QDir(m_order.parent).filePath(m_next.name + q(".zip"))}) {
        if (QFileInfo::exists(path))
            return fail(ErrorKind::Duplicate,
                        QStringLiteral("%1 is there already; a package is never overwritten.").arg(path));
    }
    return {};
}

Done Maker::verify()
{
    const auto proof = verifyLedger(m_db);
    if (!proof)
        return proof.error();
    if (!proof->holds()) {
        const ChainFault &f = proof->faults.front();
        return fail(
            ErrorKind::Tampered,
            QStringLiteral("The ledger does not hold (station %1, entry %2: %3), so no package was made. "
                           "holdfast audit says more.")
                .arg(f.station)
                .arg(f.seq)
                .arg(f.why));
    }
    const auto head = ledgerHead(m_db);
    if (!head)
        return head.error();
    m_head = *head;
    return {};
}

Done Maker::name()
{
    m_made.name = m_next.name;
    m_made.version = m_next.version;
    if (m_next.earlierPath.isEmpty())
        return {};
    auto earlier = readEarlierPackage(m_next.earlierPath, m_next.cruise);
    if (!earlier)
        return earlier.error();
    if (auto grown = checkGrownFrom(*earlier, m_db); !grown)
        return grown;
    m_earlier = std::move(*earlier);
    return {};
}

BagInfo Maker::bagInfo() const
{
    const DatasetAbout &a = m_order.about;
    BagInfo info;
    const auto add = [&info](const char *label, const QString &value) {
        if (!value.isEmpty())
            info.append({q(label), value});
    };
    add("Source-Organization", a.rightsHolder);
    add("Contact-Name", a.contact.name);
    add("Contact-Email", a.contact.email);
    add("External-Description",
        QStringLiteral("Samples, specimens, sensor logs and chain of custody of cruise %1, version %2%3; "
                       "layout 1, tables "
                       "as Data Package 1, Darwin Core Archive with Event core. Begin with data/README.txt.")
            .arg(m_content.cruise.code)
            .arg(m_made.version)
            .arg(m_earlier ? QStringLiteral(", replaces %1 (data/changes)").arg(m_earlier->name)
                           : QString()));
    add("Bagging-Date", dateText(m_order.now));
    add("External-Identifier", m_made.name);
    add("External-Identifier", q("ledger-head:") + m_head);
    add("Bag-Group-Identifier", m_content.cruise.code);
    add("Internal-Sender-Identifier", m_made.name);
    add("Internal-Sender-Description",
        QStringLiteral("holdfast %1, packed by %2").arg(programVersion(), m_order.person));
    return info;
}

Done Maker::writeTables(PackageWriter &package)
{
    std::vector<const TableSpec *> all;
    for (const TableSpec &t : recordTables()) {
        if (auto on = m_job.goOn(); !on)
            return on;
        if (auto done = writeRecordTable(package, m_db, t); !done)
            return done;
        all.push_back(&t);
    }
    if (auto done = writeSampleTables(package, m_content); !done)
        return done;
    if (auto done = writeCustodyTables(package, m_content); !done)
        return done;
    const auto paths = logPaths(m_db);
    if (!paths)
        return paths.error();
    if (auto done = writeLogFilesTable(package, m_content, *paths); !done)
        return done;
    if (auto done = writeVocabularyTable(package, m_vocabulary); !done)
        return done;
    for (const TableSpec *t :
         {&samplesTable(), &sampleValuesTable(), &trackTable(), &logFilesTable(), &photographFilesTable(),
          &custodyTable(), &custodyFindingsTable(), &vocabularyTable()})
        all.push_back(t);
    const QString title = QStringLiteral("Tables of cruise %1").arg(m_content.cruise.code);
    if (auto done = package.add(q("data/tables/datapackage.json"),
                                pretty(dataPackage(all, m_made.name.toLower(), title)));
        !done)
        return done;
    return package.add(q("data/tables/data-dictionary.csv"), dataDictionary(all));
}

Done Maker::writeOpenPoints(PackageWriter &package)
{
    const QByteArray text = "What was still open when this package was made.\n\n" + m_grid.text().toUtf8();
    if (auto done = package.add(q("data/open-points.txt"), text); !done)
        return done;
    return package.add(q("data/open-points.json"), pretty(m_grid.json()));
}

/// What is made of the record for other people's programs.
Done Maker::writeDerived(PackageWriter &package)
{
    const auto paths = logPaths(m_db);
    if (!paths)
        return paths.error();
    if (auto done =
            writeDarwinCore(package, m_content, m_order.about, m_vocabulary, m_made.name, m_order.now);
        !done)
        return done;
    const std::pair<const char *, QJsonObject> files[] = {
        {"data/geojson/tracks.geojson", tracksGeoJson(m_content)},
        {"data/geojson/samples.geojson", samplesGeoJson(m_content)},
        {"data/provenance/provenance.json", provenanceJson(m_content, *paths)},
        {"data/igsn/igsn.json", igsnJson(m_content, m_order.about)},
    };
    for (const auto &[path, json] : files) {
        if (auto done = package.add(q(path), pretty(json)); !done)
            return done;
    }
    return {};
}

/// The content with its values; histories and papers come with it, while each dive's track is at hand.
Done Maker::readCruiseInto(PackageWriter &package)
{
    const auto book = HistoryBook::readAll(m_db);
    if (!book)
        return book.error();
    const auto write = [&](const Database &db, const DiveRecord &dive, const Track &track) -> Done {
        if (auto done = writeHistories(package, db, *book, dive); !done || !m_order.papers)
            return done;
        return writePapers(package, db, dive, track, m_order.person, m_order.now, m_job);
    };
    auto content = readContent(m_db, partOf(m_job, 0, 0.45), write);
    if (!content)
        return content.error();
    m_content = std::move(*content);
    return depthRangesByScans(m_db, m_content, m_job);
}

/// Once it is known which photographs could be had.
Done Maker::judge()
{
    const auto rules = CompletenessRules::load();
    if (!rules)
        return rules.error();
    m_grid = judgeCompleteness(m_content, m_order.about, *rules);
    m_made.missing = m_grid.count(CellState::Missing);
    m_made.doubtful = m_grid.count(CellState::Doubtful);
    forEachItem(m_content, [this](const QString &, const ItemRecord &item) {
        for (const Photograph &photo : item.photographs) {
            ++m_made.photographs;
            m_made.photographsLeftOut += item.packed.value(photo.sha256).file.isEmpty() ? 1 : 0;
        }
    });
    return {};
}

Done Maker::write(PackageWriter &package)
{
    if (auto done = readCruiseInto(package); !done)
        return done;
    if (auto done = writeLogs(package, m_db, partOf(m_job, 0.45, 0.95)); !done)
        return done;
    if (auto done = writeReceivedLines(package, m_db, m_job); !done)
        return done;
    if (auto done = writePhotographs(package, m_content, QFileInfo(m_order.cruisePath).absolutePath(),
                                     m_order.pictures, m_job);
        !done)
        return done;
    if (auto done = judge(); !done)
        return done;
    m_job.tell(q("ledger and tables"), 0.95);
    if (auto done = writeLedgerText(package, m_db); !done)
        return done;
    if (auto done = writeTables(package); !done)
        return done;
    if (auto done = writeChanges(package, m_db, m_earlier, m_made.name); !done)
        return done;
    if (auto done = writeDerived(package); !done)
        return done;
    if (auto done = writeOpenPoints(package); !done)
        return done;
    if (auto done = writeSchemas(package); !done)
        return done;
    if (auto done = package.add(q("data/README.txt"),
                                packageReadme(m_content, m_vocabulary, m_order, m_made, m_head));
        !done)
        return done;
    if (auto on = m_job.goOn(); !on)
        return on;
    return writeBagFiles(package, bagInfo());
}

Result<MadePackage> Maker::run()
{
    if (auto done = place(); !done)
        return done.error();
    if (auto done = verify(); !done)
        return done.error();
    if (auto done = name(); !done)
        return done.error();
    auto vocabulary = loadVocabulary();
    if (!vocabulary)
        return vocabulary.error();
    m_vocabulary = std::move(*vocabulary);
    const QString zip = m_order.parent + QLatin1Char('/') + m_made.name + q(".zip");
    auto package = PackageWriter::begin(m_order.parent, m_made.name, packageKey(m_head));
    if (!package)
        return package.error();
    auto done = write(*package);
    if (done)
        done = m_job.goOn();
    if (done)
        done = takeReadFault(); // half of the rows make no package, whatever became of the rest
    if (done)
        done = package->removeStrangers();
    if (done)
        done = m_order.zip ? zipFolder(package->folder(), zip, partOf(m_job, 0.97, 1)) : package->finish();
    if (!done || m_order.zip)
        package->discard();
    if (!done)
        return done.error();
    for (const FileSums &sums : package->files()) {
        m_made.bytes += sums.bytes;
        ++m_made.files;
    }
    m_made.path = m_order.zip ? zip : m_order.parent + QLatin1Char('/') + m_made.name;
    m_job.tell(q("done"), 1);
    return m_made;
}

/// A cruise file opened for reading, in one snapshot until it is closed.
Result<CruiseFile> openSnapshot(const QString &path)
{
    auto file = CruiseFile::open(path, Database::Access::ReadOnly, allVerbRules());
    if (!file)
        return file.error();
    if (auto begun = execSql(file->db().connection(), q("BEGIN")); !begun)
        return begun.error();
    return file;
}

} // namespace

QString packageKey(const QString &ledgerHead)
{
    return QStringLiteral("holdfast package, program %1, ledger %2").arg(programVersion(), ledgerHead);
}

Result<MadePackage> makePackage(const PackageOrder &order, const JobControl &job)
{
    const auto file = openSnapshot(order.cruisePath);
    if (!file)
        return file.error();
    return Maker(*file, order, job).run();
}

Result<CompletenessGrid> cruiseCompleteness(const QString &cruisePath, const DatasetAbout &about,
                                            const JobControl &job)
{
    const auto file = openSnapshot(cruisePath);
    if (!file)
        return file.error();
    auto content = readContent(file->db(), job);
    if (!content)
        return content.error();
    lookForPhotographs(*content, QFileInfo(cruisePath).absolutePath());
    if (auto read = takeReadFault(); !read)
        return read.error();
    const auto rules = CompletenessRules::load();
    if (!rules)
        return rules.error();
    return judgeCompleteness(*content, about, *rules);
}

} // namespace holdfast
