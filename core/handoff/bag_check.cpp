// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/bag_check.h"

#include "handoff/double_digest.h"
#include "handoff/package_paths.h"
#include "handoff/reading_limits.h"
#include "handoff/tag_text.h"
#include "handoff/text_lines.h"

#include <QCryptographicHash>
#include <QDate>
#include <QRegularExpression>
#include <QSet>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

const QString dataPrefix = QStringLiteral("data/");

/// Name in a manifest's file name → how many hexadecimal digits its sums have.
const QMap<QString, int> &knownAlgorithms()
{
    static const QMap<QString, int> known{{q("md5"), 32},    {q("sha1"), 40},   {q("sha224"), 56},
                                          {q("sha256"), 64}, {q("sha384"), 96}, {q("sha512"), 128}};
    return known;
}

std::optional<QCryptographicHash::Algorithm> otherAlgorithm(const QString &name)
{
    if (name == q("md5"))
        return QCryptographicHash::Md5;
    if (name == q("sha1"))
        return QCryptographicHash::Sha1;
    if (name == q("sha224"))
        return QCryptographicHash::Sha224;
    if (name == q("sha384"))
        return QCryptographicHash::Sha384;
    return std::nullopt;
}

struct Manifest {
    QString file;
    QString algorithm;
    bool payload = true;
    QMap<QString, QString> sums; ///< by path
};

/// One bag under check; each step adds to the report.
class BagCheck
{
public:
    BagCheck(const BagSource &source, const JobControl &job) : m_source(source), m_job(job) {}
    Result<BagReport> run();

private:
    [[nodiscard]] bool strict() const { return m_report.version == q("1.0"); }
    PackageFindings &findings() { return m_report.findings; }
    /// A tag file in UTF-8, whatever encoding the bag declares for it (RFC 8493 2.3).
    std::optional<QByteArray> textOf(const QString &file, qint64 most);
    [[nodiscard]] qint64 mostLines() const
    {
        return mostListLines(static_cast<qint64>(m_source.entries().size()));
    }
    void checkEntries();
    void checkDeclaration();
    void takeEncoding(const QString &name);
    void readManifests();
    void takeLine(Manifest &manifest, const ManifestLine &line);
    void checkTagManifest(const Manifest &manifest);
    void checkInfo();
    void checkOxum(const QString &value);
    void checkFetch();
    void checkCompleteness();
    void checkListed(const Manifest &manifest);
    Done checkSums();
    Done checkFile(const BagEntry &entry, const QMap<QString, QList<const Manifest *>> &wanted);

    const BagSource &m_source;
    const JobControl &m_job;
    BagReport m_report;
    std::vector<Manifest> m_manifests;
    QSet<QString> m_fetched;
    QByteArray m_encoding; ///< of all tag files but bagit.txt; empty: UTF-8
};

std::optional<QByteArray> BagCheck::textOf(const QString &file, qint64 most)
{
    const BagEntry *const entry = m_source.find(file);
    if (!entry || entry->folder)
        return std::nullopt;
    auto bytes = m_source.readAll(file, most);
    if (!bytes) {
        findings().error(q("RFC 8493 3"), file, bytes.error().sentence);
        return std::nullopt;
    }
    auto text = tagTextInUtf8(*bytes, m_encoding);
    if (!text) {
        findings().error(q("RFC 8493 2.3"), file, text.error().sentence);
        return *bytes; // so that what else is wrong is told too
    }
    return std::move(*text);
}

void BagCheck::checkEntries()
{
    QMap<QString, QString> folded;
    for (const BagEntry &e : m_source.entries()) {
        if (!e.link.isEmpty())
            findings().error(q("RFC 8493 5.1"), e.path,
                             QStringLiteral("is a link to %1; links are not followed.").arg(e.link));
        if (!e.rawName.isEmpty()) {
            findings().error(
                q("RFC 8493 3"), e.path,
                QStringLiteral("has a name that is no UTF-8 (%1), so that no manifest can list it%2.")
                    .arg(e.rawName, e.folder ? q(" or what is in it") : QString()));
            continue;
        }
        if (e.special)
            findings().error(q("RFC 8493 5.1"), e.path, q("is a device, pipe or socket."));
        if (auto safe = checkBagPath(e.path); !safe)
            findings().error(q("RFC 8493 5.1"), e.path, safe.error().sentence);
        else if (const QString why = notPortable(e.path); !why.isEmpty())
            findings().warning(q("RFC 8493 6.1"), e.path, why + QLatin1Char('.'));
        const QString name = foldedPath(e.path);
        if (folded.contains(name))
            findings().warning(
                q("RFC 8493 6.1"), e.path,
                QStringLiteral("differs from \"%1\" only in letter case or Unicode form; some systems "
                               "keep only one of them.")
                    .arg(folded.value(name)));
        folded.insert(name, e.path);
        const QString last = e.path.section(QLatin1Char('/'), -1);
        if (last == q(".DS_Store") || last == q("Thumbs.db"))
            findings().warning(q("RFC 8493 6.1"), e.path, q("was made by a file manager and is no data."));
        if (e.path.startsWith(dataPrefix) && !e.folder) {
            ++m_report.payloadFiles;
            m_report.payloadBytes += e.bytes;
        }
    }
    const BagEntry *const data = m_source.find(q("data"));
    if (m_report.payloadFiles == 0 && !(data && data->folder))
        findings().error(q("RFC 8493 2.1.2"), q("data"), q("is missing: a bag has a payload folder."));
}

void BagCheck::checkDeclaration()
{
    const QString file = q("bagit.txt");
    const QString rule = q("RFC 8493 2.1.1");
    const auto text = textOf(file, mostTagBytes);
    if (!text) {
        findings().error(rule, file, q("is missing: this is no bag."));
        return;
    }
    if (text->startsWith("\xEF\xBB\xBF"))
        findings().error(rule, file, q("begins with a byte order mark."));
    static const QRegularExpression form(
        q("\\A\\x{FEFF}?BagIt-Version: ([0-9]+\\.[0-9]+)(?:\\r\\n|\\r|\\n)Tag-File-Character-Encoding: "
          "([A-Za-z0-9._-]+)"
          "(?:\\r\\n|\\r|\\n)?\\z"));
    const auto match = form.match(QString::fromUtf8(*text));
    if (!match.hasMatch()) {
        findings().error(
            rule, file,
            q("must hold exactly two lines, \"BagIt-Version: 1.0\" and \"Tag-File-Character-Encoding: "
              "UTF-8\", without other white space."));
        static const QRegularExpression version(q("BagIt-Version\\s*:\\s*([0-9]+\\.[0-9]+)"));
        m_report.version = version.match(QString::fromUtf8(*text)).captured(1);
        return;
    }
    m_report.version = match.captured(1);
    static const QStringList known{q("0.93"), q("0.94"), q("0.95"), q("0.96"), q("0.97"), q("1.0")};
    if (!known.contains(m_report.version))
        findings().error(rule, file,
                         QStringLiteral("names BagIt version %1, which is not known.").arg(m_report.version));
    else if (!strict())
        findings().warning(
            rule, file,
            QStringLiteral("is of the draft %1 of BagIt; the standard is 1.0.").arg(m_report.version));
    takeEncoding(match.captured(2));
}

void BagCheck::takeEncoding(const QString &name)
{
    if (name.compare(q("UTF-8"), Qt::CaseInsensitive) == 0)
        return;
    const QString file = q("bagit.txt");
    const QString rule = q("RFC 8493 2.3");
    if (!isKnownEncoding(name.toLatin1())) {
        findings().error(
            rule, file,
            QStringLiteral("declares tag files in %1, which is no character encoding known here.").arg(name));
        return;
    }
    m_encoding = name.toLatin1();
    findings().warning(rule, file,
                       QStringLiteral("declares tag files in %1; UTF-8 is recommended.").arg(name));
}

void BagCheck::takeLine(Manifest &manifest, const ManifestLine &line)
{
    const QString rule = q("RFC 8493 2.1.3");
    QString path = line.path;
    if (line.checksum.size() != knownAlgorithms().value(manifest.algorithm))
        findings().error(rule, manifest.file,
                         QStringLiteral("gives %1 a checksum of %2 digits; %3 has %4.")
                             .arg(path)
                             .arg(line.checksum.size())
                             .arg(manifest.algorithm)
                             .arg(knownAlgorithms().value(manifest.algorithm)));
    if (manifest.payload && !path.startsWith(dataPrefix))
        findings().error(rule, manifest.file,
                         QStringLiteral("lists %1, which is not under data/.").arg(path));
    if (!m_source.find(path)) {
        // Written in another Unicode form than the file system gives back.
        for (const auto form : {QString::NormalizationForm_C, QString::NormalizationForm_D}) {
            if (m_source.find(path.normalized(form))) {
                path = path.normalized(form);
                findings().warning(
                    q("RFC 8493 6.1"), manifest.file,
                    QStringLiteral("lists %1 in another Unicode form than the file's name has.").arg(path));
                break;
            }
        }
    }
    if (manifest.sums.contains(path)) {
        const bool harmless = !strict() && manifest.sums.value(path) == line.checksum;
        if (harmless)
            findings().warning(rule, manifest.file, QStringLiteral("lists %1 twice.").arg(path));
        else
            findings().error(rule, manifest.file, QStringLiteral("lists %1 twice.").arg(path));
        return;
    }
    manifest.sums.insert(path, line.checksum);
}

void BagCheck::readManifests()
{
    static const QRegularExpression form(q("\\A(tag)?manifest-([A-Za-z0-9]+)\\.txt\\z"));
    for (const BagEntry &e : m_source.entries()) {
        const auto match = form.match(e.path);
        if (!match.hasMatch())
            continue;
        if (e.folder) {
            findings().error(q("RFC 8493 2.1.3"), e.path, q("is a folder; a manifest is a file."));
            continue;
        }
        Manifest manifest{e.path, match.captured(2).toLower(), match.captured(1).isEmpty(), {}};
        if (match.captured(2) != manifest.algorithm)
            findings().warning(q("RFC 8493 2.4"), e.path, q("names its algorithm not in small letters."));
        if (!knownAlgorithms().contains(manifest.algorithm)) {
            findings().warning(
                q("RFC 8493 2.4"), e.path,
                QStringLiteral("uses %1, which can't be checked here.").arg(manifest.algorithm));
            continue;
        }
        if (manifest.payload && (manifest.algorithm == q("md5") || manifest.algorithm == q("sha1")))
            findings().warning(
                q("RFC 8493 2.4"), e.path,
                QStringLiteral("uses %1, which no longer proves anything; SHA-256 or SHA-512 does.")
                    .arg(manifest.algorithm));
        const auto text = textOf(e.path, mostListBytes);
        if (!text)
            continue;
        for (const ManifestLine &line : readManifest(*text, e.path, mostLines(), findings()))
            takeLine(manifest, line);
        if (manifest.payload)
            m_report.algorithms << manifest.algorithm;
        m_manifests.push_back(std::move(manifest));
    }
    if (m_report.algorithms.isEmpty())
        findings().error(q("RFC 8493 2.1.3"), {}, q("There is no payload manifest that can be checked."));
    const bool tags =
        std::any_of(m_manifests.begin(), m_manifests.end(), [](const Manifest &m) { return !m.payload; });
    if (!tags)
        findings().warning(q("RFC 8493 2.2.1"), {},
                           q("There is no tag manifest: bag-info.txt and the manifests are not "
                             "protected."));
}

void BagCheck::checkTagManifest(const Manifest &manifest)
{
    const QString rule = q("RFC 8493 2.2.1");
    for (auto it = manifest.sums.begin(); it != manifest.sums.end(); ++it) {
        if (it.key().startsWith(dataPrefix))
            findings().error(rule, manifest.file,
                             QStringLiteral("lists %1, which is payload.").arg(it.key()));
        if (it.key().startsWith(q("tagmanifest-")))
            findings().error(rule, manifest.file, QStringLiteral("lists %1, a tag manifest.").arg(it.key()));
    }
    for (const Manifest &payload : m_manifests) {
        if (payload.payload && !manifest.sums.contains(payload.file)) {
            if (strict())
                findings().error(rule, manifest.file, QStringLiteral("does not list %1.").arg(payload.file));
            else
                findings().warning(rule, manifest.file,
                                   QStringLiteral("does not list %1.").arg(payload.file));
        }
    }
}

void BagCheck::checkOxum(const QString &value)
{
    const QString should = QStringLiteral("%1.%2").arg(m_report.payloadBytes).arg(m_report.payloadFiles);
    if (value != should)
        findings().error(
            q("RFC 8493 2.2.2"), q("bag-info.txt"),
            QStringLiteral("says Payload-Oxum %1; the payload has %2 (octets.files).").arg(value, should));
}

void BagCheck::checkInfo()
{
    const QString file = q("bag-info.txt");
    const QString rule = q("RFC 8493 2.2.2");
    const auto text = textOf(file, mostTagBytes);
    if (!text) {
        findings().warning(rule, file, q("is missing; an archive expects to be told who sends what."));
        return;
    }
    static const QStringList once{q("payload-oxum"), q("bagging-date"), q("bag-size"),
                                  q("bag-group-identifier"), q("bag-count")};
    for (const auto &[label, value] : readBagInfo(*text, strict(), findings())) {
        const QString key = label.toLower();
        if (m_report.info.contains(key)) {
            if (key == q("payload-oxum"))
                findings().error(rule, file, q("gives Payload-Oxum more than once."));
            else if (once.contains(key))
                findings().warning(rule, file, QStringLiteral("gives %1 more than once.").arg(label));
            continue;
        }
        m_report.info.insert(key, value);
        if (key == q("payload-oxum"))
            checkOxum(value);
        if (key == q("bagging-date") && !QDate::fromString(value, Qt::ISODate).isValid())
            findings().warning(rule, file,
                               QStringLiteral("gives Bagging-Date as \"%1\", not as YYYY-MM-DD.").arg(value));
    }
    if (!m_report.info.contains(q("payload-oxum")))
        findings().warning(rule, file, q("gives no Payload-Oxum."));
}

void BagCheck::checkFetch()
{
    const QString file = q("fetch.txt");
    const QString rule = q("RFC 8493 2.2.3");
    const auto text = textOf(file, mostListBytes);
    if (!text)
        return;
    static const QRegularExpression form(q("\\A(\\S+)[ \\t]+([0-9]+|-)[ \\t]+(.+)\\z"));
    int missing = 0;
    TextLines lines(*text);
    while (lines.next()) {
        if (lines.number() > mostLines()) {
            findings().error(
                rule, file,
                QStringLiteral("has more than %1 lines; the rest was not read.").arg(mostLines()));
            break;
        }
        if (lines.line().isEmpty())
            continue;
        const QString l = QString::fromUtf8(
            lines.line().first(std::min<qsizetype>(lines.line().size(), mostListLineBytes)));
        const auto match = form.match(l);
        if (!match.hasMatch()) {
            findings().error(
                rule, file,
                QStringLiteral("has a line that is not \"url length path\": \"%1\".").arg(l.left(120)));
            continue;
        }
        const QString path = decodedPath(match.captured(3));
        if (auto safe = checkBagPath(path); !safe) {
            findings().error(q("RFC 8493 5.1"), file, safe.error().sentence);
            continue;
        }
        if (!path.startsWith(dataPrefix))
            findings().error(rule, file, QStringLiteral("lists %1, which is not payload.").arg(path));
        m_fetched.insert(path);
        for (const Manifest &m : m_manifests) {
            if (m.payload && !m.sums.contains(path))
                findings().error(rule, file,
                                 QStringLiteral("lists %1, which %2 does not.").arg(path, m.file));
        }
        if (!m_source.find(path))
            ++missing;
    }
    findings().warning(
        rule, file,
        QStringLiteral("files asked for from elsewhere: %1, of them not here: %2; nothing is ever fetched.")
            .arg(m_fetched.size())
            .arg(missing));
}

void BagCheck::checkListed(const Manifest &manifest)
{
    for (auto it = manifest.sums.begin(); it != manifest.sums.end(); ++it) {
        const BagEntry *const entry = m_source.find(it.key());
        if (entry && !entry->folder)
            continue;
        findings().error(
            q("RFC 8493 3"), it.key(),
            entry
                ? QStringLiteral("is listed in %1 as a file and is a folder.").arg(manifest.file)
                : QStringLiteral("is listed in %1 and missing%2.")
                      .arg(manifest.file, m_fetched.contains(it.key()) ? q(" (to be fetched)") : QString()));
    }
}

void BagCheck::checkCompleteness()
{
    for (const Manifest &m : m_manifests) {
        checkListed(m);
        if (!m.payload)
            checkTagManifest(m);
    }
    for (const BagEntry &e : m_source.entries()) {
        if (e.folder || !e.path.startsWith(dataPrefix))
            continue;
        int listed = 0;
        for (const Manifest &m : m_manifests) {
            if (!m.payload)
                continue;
            if (m.sums.contains(e.path))
                ++listed;
            else if (strict())
                findings().error(q("RFC 8493 3"), e.path, QStringLiteral("is not listed in %1.").arg(m.file));
        }
        if (!strict() && listed == 0)
            findings().error(q("RFC 8493 3"), e.path, q("is in no payload manifest."));
    }
}

Done BagCheck::checkFile(const BagEntry &entry, const QMap<QString, QList<const Manifest *>> &wanted)
{
    DoubleDigest both;
    std::vector<std::pair<QString, std::unique_ptr<QCryptographicHash>>> others;
    for (auto it = wanted.begin(); it != wanted.end(); ++it) {
        if (const auto algorithm = otherAlgorithm(it.key()))
            others.emplace_back(it.key(), std::make_unique<QCryptographicHash>(*algorithm));
    }
    const auto read = m_source.read(entry, [&](std::string_view piece) -> Done {
        if (auto on = m_job.goOn(); !on)
            return on;
        both.add(piece);
        for (auto &[name, hash] : others)
            hash->addData(QByteArrayView(piece.data(), static_cast<qsizetype>(piece.size())));
        return {};
    });
    if (!read) {
        if (read.error().kind == ErrorKind::Cancelled)
            return read;
        findings().error(q("RFC 8493 3"), entry.path, read.error().sentence);
        return {};
    }
    const auto sums = both.finish();
    if (!sums)
        return sums.error();
    QMap<QString, QString> found{{q("sha256"), sums->sha256}, {q("sha512"), sums->sha512}};
    for (const auto &[name, hash] : others)
        found.insert(name, QString::fromLatin1(hash->result().toHex()));
    for (auto it = wanted.begin(); it != wanted.end(); ++it) {
        for (const Manifest *m : it.value()) {
            if (m->sums.value(entry.path) != found.value(it.key()))
                findings().error(
                    q("RFC 8493 3"), entry.path,
                    QStringLiteral("was changed: its %1 is not the one in %2.").arg(it.key(), m->file));
        }
    }
    return {};
}

Done BagCheck::checkSums()
{
    qint64 all = 1;
    qint64 done = 0;
    for (const BagEntry &e : m_source.entries())
        all += e.bytes;
    for (const BagEntry &e : m_source.entries()) {
        QMap<QString, QList<const Manifest *>> wanted;
        for (const Manifest &m : m_manifests) {
            if (m.sums.contains(e.path))
                wanted[m.algorithm] << &m;
        }
        if (wanted.isEmpty() || e.folder || !e.link.isEmpty() || e.special)
            continue;
        m_job.tell(e.path, static_cast<double>(done) / static_cast<double>(all));
        if (auto checked = checkFile(e, wanted); !checked)
            return checked;
        done += e.bytes;
    }
    return {};
}

Result<BagReport> BagCheck::run()
{
    checkEntries();
    checkDeclaration();
    readManifests();
    checkInfo();
    checkFetch();
    checkCompleteness();
    m_report.complete = findings().errors() == 0;
    if (auto summed = checkSums(); !summed)
        return summed.error();
    m_report.valid = findings().errors() == 0;
    return std::move(m_report);
}

} // namespace

Result<BagReport> checkBag(const BagSource &source, const JobControl &job)
{
    return BagCheck(source, job).run();
}

} // namespace holdfast
