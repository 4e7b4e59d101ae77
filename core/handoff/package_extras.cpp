// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/package_extras.h"

#include "handoff/package_paths.h"
#include "print/dive_papers.h"
#include "print/dive_report_paper.h"

#include <QDir>
#include <QDirIterator>
#include <QFileInfo>
#include <QMultiHash>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

Done writePaper(PackageWriter &package, const QString &path, const QString &layoutName,
                const std::function<Result<PageDocument>(const SheetLayout &)> &layOut)
{
    const auto layout = sheetLayout(layoutName);
    if (!layout)
        return layout.error();
    const auto document = layOut(*layout);
    if (!document)
        return document.error();
    const auto full = package.place(path);
    if (!full)
        return full.error();
    if (auto written = writePdf(*document, *full); !written)
        return written;
    return package.adopt(path);
}

/// The files of a folder and those below it.
QMultiHash<QString, QString> filesByName(const QString &folder)
{
    QMultiHash<QString, QString> all;
    if (folder.isEmpty())
        return all;
    QDirIterator it(folder, QDir::Files | QDir::Readable, QDirIterator::Subdirectories);
    while (it.hasNext()) {
        it.next();
        all.insert(it.fileName(), it.filePath());
    }
    return all;
}

/// The files of a folder by their SHA-256, read when they are asked for the first time: for photographs that
/// were renamed.
class FilesBySum
{
public:
    explicit FilesBySum(QStringList files) : m_files(std::move(files)) {}
    /// The path of the file with these bytes; empty when there is none. A file that can't be read is none.
    Result<QString> find(const QString &sha256, const JobControl &job)
    {
        for (; !m_bySum.contains(sha256) && !m_files.isEmpty(); m_files.removeFirst()) {
            if (auto on = job.goOn(); !on)
                return on.error();
            if (const auto sums = sumsOfFile(m_files.front()))
                m_bySum.insert(sums->sha256, m_files.front());
        }
        return m_bySum.value(sha256);
    }

private:
    QStringList m_files;
    QHash<QString, QString> m_bySum;
};

/// Copies a photograph; the reason when it can't be had.
Result<QString> copyPhotograph(PackageWriter &package, const Photograph &photo, const QString &from,
                               const QString &to, const JobControl &job)
{
    if (const auto done = package.finished(to); done && done->sha256 == photo.sha256)
        return QString();
    QFile in(from);
    if (!in.open(QIODevice::ReadOnly))
        return q("not found where it was linked");
    const auto sums = sumsOfFile(from);
    if (!sums)
        return q("could not be read");
    if (sums->sha256 != photo.sha256)
        return q("was changed since it was linked (its SHA-256 differs)");
    auto out = package.open(to);
    if (!out)
        return out.error();
    for (;;) {
        if (auto on = job.goOn(); !on)
            return on.error();
        const QByteArray piece = in.read(1 << 20);
        if (piece.isEmpty())
            break;
        if (auto written = out->write(piece); !written)
            return written.error();
    }
    const auto closed = out->close();
    if (!closed)
        return closed.error();
    if (closed->sha256 != photo.sha256)
        return fail(ErrorKind::Unreadable,
                    QStringLiteral("%1 changed while it was copied; start again.").arg(from));
    return QString();
}

} // namespace

const TableSpec &photographFilesTable()
{
    static const TableSpec spec{
        "photograph_files",
        "Where each photograph stands in this package",
        "",
        {{"item", CellType::Text, "", "Id of the sample or specimen.", "", true},
         {"sha256", CellType::Text, "", "SHA-256 of the photograph, as in table photographs.", "", true},
         {"file", CellType::Text, "", "Path in the bag; empty when it is not included."},
         {"why_not", CellType::Text, "", "Why it is not included."}},
        {"item", "sha256"}};
    return spec;
}

Done writePapers(PackageWriter &package, const Database &db, const DiveRecord &dive, const Track &track,
                 const QString &person, UtcTime now, const JobControl &job)
{
    const int n = dive.info.number;
    const QString stem = QStringLiteral("data/papers/dive-%1-").arg(n, 2, 10, QLatin1Char('0'));
    const QString sheetPath = stem + q("custody-sheet.pdf");
    const QString reportPath = stem + q("report.pdf");
    const bool sheetDone = package.finished(sheetPath).has_value();
    const bool reportDone = package.finished(reportPath).has_value();
    if (sheetDone && reportDone)
        return {};
    const auto absent = absentLogs(db, n);
    if (!absent)
        return absent.error();
    std::vector<ValuedSample> valued;
    for (const SampleRecord &s : dive.samples)
        valued.push_back({s.info, s.fix, s.water, *absent, s.span});
    auto sheet = diveSheet(db, n, valued, person, now);
    if (!sheet)
        return sheet.error();
    if (!sheetDone) {
        if (auto written =
                writePaper(package, sheetPath, q("custody-a4"),
                           [&](const SheetLayout &layout) { return layoutCustodySheet(*sheet, layout); });
            !written)
            return written;
    }
    if (auto on = job.goOn(); !on || reportDone)
        return on;
    const auto report = diveReport(db, n, std::move(*sheet), track);
    if (!report)
        return report.error();
    return writePaper(package, reportPath, q("report-a4"),
                      [&](const SheetLayout &layout) { return layoutDiveReport(*report, layout); });
}

Done writeHistories(PackageWriter &package, const Database &db, const HistoryBook &book,
                    const DiveRecord &dive)
{
    const auto tell = [&](const QString &id, const CustodyChain &custody, QByteArray &text) -> Done {
        const auto story = book.of(db, id, custody);
        if (!story)
            return story.error();
        const QByteArray heading = id.toUtf8();
        text += heading + '\n' + QByteArray(heading.size(), '-') + '\n' + historyText(*story).toUtf8() + '\n';
        return {};
    };
    for (const SampleRecord &s : dive.samples) {
        QByteArray text;
        if (auto told = tell(s.info.id, s.item.custody, text); !told)
            return told;
        for (const SpecimenRecord &p : s.specimens) {
            if (auto told = tell(p.info.id, p.item.custody, text); !told)
                return told;
        }
        if (auto done = package.add(QStringLiteral("data/histories/%1.txt").arg(s.info.id), text); !done)
            return done;
    }
    return {};
}

void lookForPhotographs(CruiseContent &content, const QString &cruiseFolder)
{
    forEachItem(content, [&](const QString &, ItemRecord &item) {
        for (const Photograph &photo : item.photographs) {
            const QFileInfo file(QDir(cruiseFolder).absoluteFilePath(photo.path));
            const QString why = !file.isFile() ? q("not found where it was linked")
                                : file.size() != photo.bytes
                                    ? q("changed since it was linked (its size differs)")
                                    : QString();
            item.packed.insert(photo.sha256, {{}, why});
        }
    });
}

Done writePhotographs(PackageWriter &package, CruiseContent &content, const QString &cruiseFolder,
                      const QString &pictures, const JobControl &job)
{
    UniqueNames names;
    const QMultiHash<QString, QString> elsewhere = filesByName(pictures);
    FilesBySum bySum(elsewhere.values());
    QVariantList rows;
    const auto take = [&](const QString &id, ItemRecord &item) -> Done {
        for (const Photograph &photo : item.photographs) {
            const QString ending = QFileInfo(photo.fileName).suffix();
            const QString path = q("data/photographs/") +
                                 names.take(id + (ending.isEmpty() ? QString() : QLatin1Char('.') + ending));
            QStringList places{QDir(cruiseFolder).absoluteFilePath(photo.path)};
            places += elsewhere.values(photo.fileName);
            Result<QString> why = QString();
            for (const QString &place : std::as_const(places)) {
                why = copyPhotograph(package, photo, place, path, job);
                if (!why)
                    return why.error();
                if (why->isEmpty())
                    break;
            }
            if (!why->isEmpty()) {
                const auto renamed = bySum.find(photo.sha256, job);
                if (!renamed)
                    return renamed.error();
                if (!renamed->isEmpty())
                    why = copyPhotograph(package, photo, *renamed, path, job);
                if (!why)
                    return why.error();
            }
            item.packed.insert(photo.sha256, {why->isEmpty() ? path : QString(), *why});
            rows << QVariant(QVariantList{id, photo.sha256, why->isEmpty() ? path : QString(), *why});
        }
        return {};
    };
    for (DiveRecord &dive : content.dives) {
        for (SampleRecord &s : dive.samples) {
            if (auto done = take(s.info.id, s.item); !done)
                return done;
            for (SpecimenRecord &p : s.specimens) {
                if (auto done = take(p.info.id, p.item); !done)
                    return done;
            }
        }
    }
    auto table = TableWriter::begin(package, photographFilesTable());
    if (!table)
        return table.error();
    for (const QVariant &row : std::as_const(rows)) {
        if (auto done = table->row(row.toList()); !done)
            return done;
    }
    return table->end();
}

} // namespace holdfast
