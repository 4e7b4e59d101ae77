// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/custody_words.h"

namespace holdfast
{

namespace
{

QStringList listOf(const char *words)
{
    return QString::fromLatin1(words).split(QStringLiteral(", "));
}

/// Hyphens stand for blanks, as command lines like them.
Result<QString> oneOf(const QStringList &words, const QString &word, const QString &what)
{
    const QString w = word.simplified().toLower();
    for (const QString &known : words) {
        if (w == known || QString(w).replace(QLatin1Char('-'), QLatin1Char(' ')) == known)
            return known;
    }
    return fail(ErrorKind::Usage, QStringLiteral("\"%1\" is no %2; the words are: %3.")
                                      .arg(word.trimmed(), what, words.join(QStringLiteral(", "))));
}

} // namespace

const QStringList &custodyBases()
{
    static const QStringList words = listOf("held, in view, locked, secured area, sealed, in the vehicle");
    return words;
}

Result<QString> checkedBasis(const QString &word)
{
    return oneOf(custodyBases(), word, QStringLiteral("basis of custody"));
}

const QStringList &receiptConditions()
{
    static const QStringList words =
        listOf("intact, leaking, thawed, seal broken, damaged, dried out, label unreadable");
    return words;
}

Result<QString> checkedCondition(const QString &word)
{
    return oneOf(receiptConditions(), word, QStringLiteral("condition on receipt"));
}

const QStringList &handOverPurposes()
{
    static const QStringList words = listOf("hand-over, courier, loan, return");
    return words;
}

Result<QString> checkedPurpose(const QString &word)
{
    return oneOf(handOverPurposes(), word, QStringLiteral("purpose of a hand-over"));
}

const QStringList &custodyEnds()
{
    static const QStringList words = listOf("consumed, lost, destroyed, deposited");
    return words;
}

Result<QString> checkedEnd(const QString &word)
{
    return oneOf(custodyEnds(), word, QStringLiteral("end of custody"));
}

QString confirmationText(const QJsonObject &confirmation, const QString &party)
{
    const QString by = confirmation.value(QStringLiteral("by")).toString();
    const QString means = confirmation.value(QStringLiteral("means")).toString();
    const QString why = confirmation.value(QStringLiteral("withoutPin")).toString();
    const QString text = means == QLatin1String("none")
                             ? QStringLiteral("entered by %1 for %2, not confirmed by %2").arg(by, party)
                             : QStringLiteral("confirmed by %1 (%2)").arg(by, means);
    return why.isEmpty() ? text : QStringLiteral("%1, without the PIN: %2").arg(text, why);
}

bool samePerson(const QString &a, const QString &b)
{
    return a.simplified().compare(b.simplified(), Qt::CaseInsensitive) == 0;
}

} // namespace holdfast
