// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/bag_check.h"
#include "handoff/package_paths.h"
#include "handoff/reading_limits.h"
#include "handoff/text_lines.h"

#include <QRegularExpression>

namespace holdfast
{

namespace
{

const QString lineRule = QStringLiteral("RFC 8493 2.1.3");
const QString infoRule = QStringLiteral("RFC 8493 2.2.2");

bool beginsWithMark(const QByteArray &text, const QString &file, PackageFindings &findings)
{
    if (!text.startsWith("\xEF\xBB\xBF"))
        return false;
    findings.error(QStringLiteral("RFC 8493 2.3"), file, QStringLiteral("begins with a byte order mark."));
    return true;
}

} // namespace

std::vector<ManifestLine> readManifest(const QByteArray &text, const QString &file, qint64 mostLines,
                                       PackageFindings &findings)
{
    static const QRegularExpression form(QStringLiteral("\\A([0-9A-Fa-f]+)[ \\t]+(\\*?)(.+)\\z"));
    std::vector<ManifestLine> out;
    const bool mark = beginsWithMark(text, file, findings);
    TextLines lines(QByteArrayView(text).sliced(mark ? 3 : 0));
    while (lines.next()) {
        const qsizetype number = lines.number();
        if (number > mostLines) {
            findings.error(lineRule, file,
                           QStringLiteral("has more than %1 lines, far more than the bag has files; the rest "
                                          "was not read.")
                               .arg(mostLines));
            break;
        }
        const QString line = QString::fromUtf8(
            lines.line().first(std::min<qsizetype>(lines.line().size(), mostListLineBytes)));
        const auto match =
            lines.line().size() > mostListLineBytes ? QRegularExpressionMatch() : form.match(line);
        if (!match.hasMatch()) {
            findings.error(
                lineRule, file,
                QStringLiteral("line %1 is not \"checksum path\": \"%2\".").arg(number).arg(line.left(120)));
            continue;
        }
        ManifestLine entry{match.captured(1).toLower(), decodedPath(match.captured(3)),
                           !match.captured(2).isEmpty()};
        if (entry.starred)
            findings.warning(
                QStringLiteral("RFC 8493 6.1.3"), file,
                QStringLiteral("line %1 has a * before its path, which is md5sum's mark and not BagIt.")
                    .arg(number));
        if (entry.path.startsWith(QLatin1String("./"))) {
            findings.warning(lineRule, file,
                             QStringLiteral("line %1 begins its path with \"./\".").arg(number));
            entry.path.remove(0, 2);
        }
        if (auto safe = checkBagPath(entry.path); !safe) {
            findings.error(QStringLiteral("RFC 8493 5.1"), file,
                           QStringLiteral("line %1: %2").arg(number).arg(safe.error().sentence));
            continue;
        }
        out.push_back(std::move(entry));
    }
    return out;
}

QList<QPair<QString, QString>> readBagInfo(const QByteArray &text, bool strict, PackageFindings &findings)
{
    const QString file = QStringLiteral("bag-info.txt");
    QList<QPair<QString, QString>> out;
    const bool mark = beginsWithMark(text, file, findings);
    TextLines lines(QByteArrayView(text).sliced(mark ? 3 : 0));
    while (lines.next()) {
        const qsizetype number = lines.number();
        const QString line = QString::fromUtf8(lines.line());
        if (!line.isEmpty() && (line.front() == QLatin1Char(' ') || line.front() == QLatin1Char('\t'))) {
            if (out.isEmpty())
                findings.error(infoRule, file,
                               QStringLiteral("begins with a line that goes on an earlier one."));
            else
                out.last().second += QLatin1Char(' ') + line.trimmed();
            continue;
        }
        const qsizetype colon = line.indexOf(QLatin1Char(':'));
        if (colon <= 0) {
            findings.error(
                infoRule, file,
                QStringLiteral("line %1 is not \"Label: value\": \"%2\".").arg(number).arg(line.left(80)));
            continue;
        }
        const QString label = line.left(colon);
        const QString value = line.mid(colon + 1);
        if (label != label.trimmed())
            findings.error(infoRule, file,
                           QStringLiteral("line %1 has white space about its label.").arg(number));
        if (strict && !value.isEmpty() && value.front() != QLatin1Char(' ') &&
            value.front() != QLatin1Char('\t'))
            findings.error(infoRule, file,
                           QStringLiteral("line %1 has no blank after the colon.").arg(number));
        out.append({label.trimmed(), value.trimmed()});
    }
    return out;
}

} // namespace holdfast
