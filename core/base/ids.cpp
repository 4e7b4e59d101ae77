// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/ids.h"

#include "base/check_character.h"

#include <QRegularExpression>
#include <QUuid>

namespace holdfast
{

namespace
{

bool isIdCharacter(QChar c)
{
    const char16_t u = c.unicode();
    return (u >= u'A' && u <= u'Z') || (u >= u'0' && u <= u'9') || u == u'-' || u == u'.';
}

QString withNumber(QString text, const QString &name, int value)
{
    const QRegularExpression place(QStringLiteral("\\{%1:(\\d)\\}").arg(name));
    const auto match = place.match(text);
    const QString number = QStringLiteral("%1").arg(value, match.captured(1).toInt(), 10, QLatin1Char('0'));
    return text.replace(match.capturedStart(), match.capturedLength(), number);
}

} // namespace

Result<IdPattern> IdPattern::fromText(const QString &text)
{
    QString rest = text;
    const QStringList places{QStringLiteral("\\{cruise\\}"), QStringLiteral("\\{dive:[1-9]\\}"),
                             QStringLiteral("\\{sample:[1-9]\\}")};
    for (const QString &place : places) {
        const QRegularExpression re(place);
        if (rest.count(re) != 1)
            return fail(
                ErrorKind::Malformed,
                QStringLiteral("The id pattern \"%1\" must hold {cruise}, {dive:N} and {sample:N} once each, "
                               "N being the number of digits.")
                    .arg(text));
        rest.remove(re);
    }
    for (const QChar c : std::as_const(rest)) {
        if (!isIdCharacter(c))
            return fail(ErrorKind::Malformed,
                        QStringLiteral(
                            "The id pattern \"%1\" holds \"%2\"; only capital letters, digits, - and . may "
                            "stand between its parts.")
                            .arg(text, QString(c)));
    }
    // "{dive:2}{sample:3}" would make dive 1 sample 1000 and dive 11 sample 0 alike.
    static const QRegularExpression touching(QStringLiteral("\\}(\\d*)\\{"));
    if (touching.match(text).hasMatch())
        return fail(
            ErrorKind::Malformed,
            QStringLiteral("The id pattern \"%1\" needs a letter, - or . between its parts, or two samples "
                           "could get the same id.")
                .arg(text));
    return IdPattern(text);
}

IdPattern IdPattern::standard()
{
    return IdPattern(QStringLiteral("{cruise}-{dive:2}-{sample:3}"));
}

QString IdPattern::sampleId(const QString &cruise, int dive, int number) const
{
    QString id =
        withNumber(withNumber(m_text, QStringLiteral("dive"), dive), QStringLiteral("sample"), number);
    return id.replace(QStringLiteral("{cruise}"), cruise);
}

Done checkCruiseCode(const QString &code)
{
    static const QRegularExpression good(QStringLiteral("^[A-Z0-9][A-Z0-9-]{1,15}\\z"));
    if (good.match(code).hasMatch())
        return {};
    return fail(
        ErrorKind::Usage,
        QStringLiteral("The cruise code \"%1\" can't be used: 2 to 16 capital letters, digits and hyphens, "
                       "beginning with a letter or digit, as in TK26.")
            .arg(code));
}

QString partId(const QString &parent, int number)
{
    return parent + QLatin1Char('.') + QString::number(number);
}

QString printedId(const QString &id)
{
    const auto check = checkCharacter(id);
    Q_ASSERT(check);
    return id + QLatin1Char('*') + check.value_or(QLatin1Char('?'));
}

Result<ReadId> readPrintedId(const QString &text)
{
    const QString t = text.trimmed().toUpper();
    const qsizetype star = t.indexOf(QLatin1Char('*'));
    const QString id = star < 0 ? t : t.left(star);
    const QString check = star < 0 ? QString() : t.mid(star + 1);
    if (id.isEmpty())
        return fail(ErrorKind::Malformed,
                    QStringLiteral("Nothing was typed or scanned where an id belongs."));
    for (const QChar c : id) {
        if (!isIdCharacter(c))
            return fail(ErrorKind::Malformed,
                        QStringLiteral("\"%1\" is not one of our ids: \"%2\" can't be part of one.")
                            .arg(text.trimmed(), QString(c)));
    }
    if (star < 0)
        return ReadId{id, false};
    if (check.size() != 1 || !checkCharacterHolds(id, check.front()))
        return fail(
            ErrorKind::Malformed,
            QStringLiteral("\"%1\" has a wrong check character: a letter or digit was misread or mistyped. "
                           "Scan it again or type it from the label.")
                .arg(text.trimmed()));
    return ReadId{id, true};
}

QString newUuid()
{
    return QUuid::createUuid().toString(QUuid::WithoutBraces);
}

} // namespace holdfast
