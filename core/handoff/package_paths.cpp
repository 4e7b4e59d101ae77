// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/package_paths.h"

#include <QRegularExpression>

namespace holdfast
{

namespace
{

bool isDeviceName(const QString &part)
{
    static const QRegularExpression device(
        QStringLiteral("\\A(?:CON|PRN|AUX|NUL|COM[1-9]|LPT[1-9])(?:\\..*)?\\z"),
        QRegularExpression::CaseInsensitiveOption);
    return device.match(part).hasMatch();
}

Error refused(const QString &path, const QString &why)
{
    return fail(ErrorKind::Refused, QStringLiteral("The path \"%1\" %2.").arg(path, why));
}

} // namespace

QString portableName(const QString &name)
{
    static const QRegularExpression forbidden(QStringLiteral("[\\x00-\\x1F\\x7F<>:\"/\\\\|?*%~]"));
    QString out = name.normalized(QString::NormalizationForm_C);
    out.replace(forbidden, QStringLiteral("_"));
    while (out.toUtf8().size() > 120) {
        // Shorten before the ending, which says what the file is.
        const qsizetype dot = out.lastIndexOf(QLatin1Char('.'));
        out.remove(dot > 0 && out.size() - dot <= 10 ? dot - 1 : out.size() - 1, 1);
    }
    while (out.endsWith(QLatin1Char('.')) || out.endsWith(QLatin1Char(' ')))
        out.chop(1);
    out = out.trimmed();
    if (out.isEmpty())
        return QStringLiteral("file");
    if (isDeviceName(out) || out.startsWith(QLatin1Char('.')))
        out.prepend(QLatin1Char('_'));
    return out;
}

QString UniqueNames::take(const QString &name)
{
    const QString portable = portableName(name);
    QString unique = portable;
    const qsizetype dot = portable.lastIndexOf(QLatin1Char('.'));
    for (int n = 2; m_taken.contains(foldedPath(unique)); ++n)
        unique = dot > 0 ? QStringLiteral("%1-%2%3").arg(portable.left(dot)).arg(n).arg(portable.mid(dot))
                         : QStringLiteral("%1-%2").arg(portable).arg(n);
    m_taken.insert(foldedPath(unique));
    return unique;
}

QString foldedPath(const QString &path)
{
    return path.normalized(QString::NormalizationForm_C)
        .toCaseFolded()
        .normalized(QString::NormalizationForm_C);
}

Done checkBagPath(const QString &path)
{
    static const QRegularExpression drive(QStringLiteral("\\A[A-Za-z]:"));
    static const QRegularExpression control(QStringLiteral("[\\x00-\\x1F\\x7F]"));
    static const QRegularExpression variable(QStringLiteral("%[A-Za-z_()][A-Za-z0-9_()]*%"));
    if (path.isEmpty())
        return refused(path, QStringLiteral("is empty"));
    if (path.startsWith(QLatin1Char('/')))
        return refused(path, QStringLiteral("is absolute (RFC 8493 5.1)"));
    if (drive.match(path).hasMatch())
        return refused(path, QStringLiteral("begins with a drive letter (RFC 8493 6.1)"));
    if (path.startsWith(QLatin1Char('\\')))
        return refused(path, QStringLiteral("begins with a backslash: absolute on Windows (RFC 8493 6.1)"));
    if (path.startsWith(QLatin1Char('~')))
        return refused(path, QStringLiteral("begins with ~, a person's home folder (RFC 8493 5.1)"));
    if (variable.match(path).hasMatch())
        return refused(path, QStringLiteral("holds the name of an environment variable (RFC 8493 6.1)"));
    if (path.contains(QChar(0)))
        return refused(path, QStringLiteral("holds a NUL character"));
    const QStringList parts = path.split(QRegularExpression(QStringLiteral("[/\\\\]")));
    for (const QString &part : parts) {
        if (part == QLatin1String(".."))
            return refused(path, QStringLiteral("climbs out of its folder with \"..\" (RFC 8493 5.1)"));
        if (part == QLatin1String(".") || part.isEmpty())
            return refused(path,
                           QStringLiteral("holds an empty part or \".\", so that one file has two names"));
    }
    return {};
}

QString notPortable(const QString &path)
{
    static const QRegularExpression forbidden(QStringLiteral("[\\x01-\\x1F\\x7F<>:\"|?*\\\\]"));
    if (forbidden.match(path).hasMatch())
        return QStringLiteral("holds a character that Windows can't keep in a name");
    const QStringList parts = path.split(QLatin1Char('/'));
    for (const QString &part : parts) {
        if (isDeviceName(part))
            return QStringLiteral("holds \"%1\", the name of a device on Windows").arg(part);
        if (part.endsWith(QLatin1Char('.')) || part.endsWith(QLatin1Char(' ')))
            return QStringLiteral("has a part that ends in a blank or a full stop, which Windows drops");
    }
    if (path != path.normalized(QString::NormalizationForm_C))
        return QStringLiteral("is not in Unicode form NFC, so that some systems give it another name");
    return {};
}

QString encodedPath(const QString &path)
{
    QString out = path;
    out.replace(QLatin1Char('%'), QStringLiteral("%25"));
    out.replace(QLatin1Char('\n'), QStringLiteral("%0A"));
    out.replace(QLatin1Char('\r'), QStringLiteral("%0D"));
    return out;
}

QString decodedPath(const QString &text)
{
    QString out = text;
    out.replace(QStringLiteral("%0A"), QStringLiteral("\n"), Qt::CaseInsensitive);
    out.replace(QStringLiteral("%0D"), QStringLiteral("\r"), Qt::CaseInsensitive);
    out.replace(QStringLiteral("%25"), QStringLiteral("%"));
    return out;
}

} // namespace holdfast
