// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/ready_words.h"

#include <QRegularExpression>
#include <QStringList>

namespace holdfast
{

namespace
{

Error expected(const char *sentence)
{
    return fail(ErrorKind::Usage, QString::fromUtf8(sentence));
}

QStringList wordsOf(const QString &line)
{
    return line.simplified().split(QLatin1Char(' '), Qt::SkipEmptyParts);
}

} // namespace

Result<WantedWords> parseWanted(const QString &line)
{
    static const QRegularExpression number(QStringLiteral("^(\\d{1,6})(?:-(\\d{1,6}))?$"));
    WantedWords wanted;
    QStringList kind;
    int numbers = 0;
    for (const QString &word : wordsOf(line)) {
        if (const auto match = number.match(word); match.hasMatch()) {
            ++numbers;
            wanted.least = match.captured(1).toInt();
            if (!match.captured(2).isEmpty())
                wanted.most = match.captured(2).toInt();
        } else if (word.compare(QLatin1String("off"), Qt::CaseInsensitive) == 0) {
            ++numbers;
            wanted.off = true;
        } else if (word.compare(QLatin1String("cruise"), Qt::CaseInsensitive) == 0) {
            wanted.wholeCruise = true;
        } else {
            kind << word.toLower();
        }
    }
    wanted.kind = kind.join(QLatin1Char(' '));
    if (numbers != 1 || kind.isEmpty())
        return expected(
            "Say a kind and how many, as in \"coral 2-6\" (at least 2, at most 6) or \"mud 3\"; \"cruise\" "
            "behind it counts over the whole cruise.");
    if (wanted.most && *wanted.most < wanted.least)
        return expected("The first number is the least, the second the most, as in \"coral 2-6\".");
    return wanted;
}

Result<PermitWords> parsePermit(const QString &line)
{
    static const QRegularExpression form(
        QStringLiteral("^(\\D\\S*(?: \\D\\S*)*?) (\\d{1,6}|off)(?: (.+))?$"));
    const auto match = form.match(line.simplified());
    if (!match.hasMatch())
        return expected(
            "Say the taxon as it is typed behind p:, the number the permit allows, and the permit's name, "
            "as in \"stony 10 permit 26/17\".");
    PermitWords permit{match.captured(1), match.captured(3), {}};
    if (match.captured(2) != QLatin1String("off"))
        permit.most = match.captured(2).toInt();
    return permit;
}

Result<WatchWords> parseWatch(const QString &line)
{
    const QStringList words = wordsOf(line);
    if (words.size() < 2)
        return expected("Say the post and the name, as in \"pilot Tomas\" or \"lead Ana\".");
    return WatchWords{words.first().toLower(), words.mid(1).join(QLatin1Char(' '))};
}

} // namespace holdfast
