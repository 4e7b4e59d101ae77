// SPDX-License-Identifier: GPL-3.0-or-later
#include "quick_line.h"

#include "dive/placement.h"

#include <QRegularExpression>
#include <algorithm>
#include <optional>

namespace holdfast
{

namespace
{

struct Token {
    QString text;
    bool quoted = false;
};

std::vector<Token> tokensOf(const QString &text)
{
    std::vector<Token> tokens;
    static const QRegularExpression pattern(QStringLiteral("\"([^\"]*)\"?|(\\S+)"));
    for (auto it = pattern.globalMatch(text); it.hasNext();) {
        const QRegularExpressionMatch match = it.next();
        if (match.capturedStart(2) >= 0)
            tokens.push_back({match.captured(2), false});
        else if (!match.captured(1).trimmed().isEmpty())
            tokens.push_back({match.captured(1).trimmed(), true});
    }
    return tokens;
}

std::optional<int> countOf(const QString &word)
{
    static const QRegularExpression pattern(QStringLiteral("^(?:[x×]?([1-9]\\d{0,3})|([1-9]\\d{0,3})[x×])$"),
                                            QRegularExpression::CaseInsensitiveOption);
    const QRegularExpressionMatch match = pattern.match(word);
    if (!match.hasMatch())
        return {};
    return (match.captured(1).isEmpty() ? match.captured(2) : match.captured(1)).toInt();
}

QString blanked(QStringView word)
{
    return word.toString().replace(QLatin1Char('_'), QLatin1Char(' ')).trimmed();
}

bool knowsKind(const QString &words, const QuickWords &known)
{
    return !known.kinds.familyOf(words).isEmpty() || known.used.kinds.contains(words, Qt::CaseInsensitive);
}

/// How many tokens from `at` make up a known kind; 0 when none.
std::size_t kindLength(const std::vector<Token> &tokens, std::size_t at, const QuickWords &known)
{
    for (std::size_t length = std::min<std::size_t>(3, tokens.size() - at); length > 0; --length) {
        QStringList words;
        bool plain = true;
        for (std::size_t i = at; i < at + length; ++i) {
            plain = plain && !tokens[i].quoted;
            words << tokens[i].text;
        }
        if (plain && knowsKind(words.join(QLatin1Char(' ')), known))
            return length;
    }
    return 0;
}

class Reader
{
public:
    Reader(const std::vector<Token> &tokens, const QuickWords &known) : m_tokens(tokens), m_known(known) {}

    QuickEntry read()
    {
        for (std::size_t i = 0; i < m_tokens.size();)
            i += take(i);
        m_entry.details.description = m_free.join(QLatin1Char(' '));
        if (!m_free.isEmpty())
            add(QuickPart::Means::Description, m_entry.details.description);
        return m_entry;
    }

private:
    void add(QuickPart::Means means, const QString &text) { m_entry.parts.push_back({means, text}); }

    /// Takes what stands at `i`; returns how many tokens that was.
    std::size_t take(std::size_t i)
    {
        const Token &token = m_tokens[i];
        if (!token.quoted && (takePrefixed(token.text) || takeSlotOrCount(token.text)))
            return 1;
        if (m_entry.details.kind.isEmpty()) {
            if (const std::size_t length = kindLength(m_tokens, i, m_known); length > 0) {
                QStringList words;
                for (std::size_t k = i; k < i + length; ++k)
                    words << m_tokens[k].text;
                setKind(words.join(QLatin1Char(' ')));
                return length;
            }
        }
        m_free << token.text;
        return 1;
    }

    void setKind(const QString &word)
    {
        m_entry.details.kind = word.toLower();
        add(QuickPart::Means::Kind, m_entry.details.kind);
    }

    bool set(QString &field, QuickPart::Means means, const QString &value)
    {
        if (value.isEmpty() || !field.isEmpty())
            return false;
        field = value;
        add(means, value);
        return true;
    }

    bool takePrefixed(const QString &word)
    {
        SampleDetails &d = m_entry.details;
        const QStringView rest = QStringView(word).mid(word.startsWith(QLatin1Char('@')) ? 1 : 2);
        if (word.startsWith(QLatin1Char('@')))
            return set(d.askedBy, QuickPart::Means::AskedBy, knownPerson(blanked(rest)));
        if (word.startsWith(QLatin1String("p:"), Qt::CaseInsensitive))
            return set(d.permit, QuickPart::Means::Permit, blanked(rest));
        if (word.startsWith(QLatin1String("t:"), Qt::CaseInsensitive))
            return set(d.tool, QuickPart::Means::Tool, blanked(rest));
        if (word.startsWith(QLatin1String("k:"), Qt::CaseInsensitive) && d.kind.isEmpty() &&
            !rest.isEmpty()) {
            setKind(blanked(rest));
            return true;
        }
        return false;
    }

    bool takeSlotOrCount(const QString &word)
    {
        if (m_entry.details.slot.isEmpty() && m_known.slotCodes.contains(word, Qt::CaseInsensitive))
            return set(m_entry.details.slot, QuickPart::Means::Slot, word.toUpper());
        if (const auto count = countOf(word); count && !m_counted) {
            m_counted = true;
            m_entry.details.count = *count;
            add(QuickPart::Means::Count, QString::number(*count));
            return true;
        }
        return false;
    }

    /// A person as spelt before on this cruise.
    [[nodiscard]] QString knownPerson(const QString &name) const
    {
        const auto found =
            std::find_if(m_known.used.people.begin(), m_known.used.people.end(), [&](const QString &person) {
                return person.compare(name, Qt::CaseInsensitive) == 0;
            });
        return found == m_known.used.people.end() ? name : *found;
    }

    const std::vector<Token> &m_tokens;
    const QuickWords &m_known;
    QuickEntry m_entry;
    QStringList m_free;
    bool m_counted = false;
};

QStringList candidates(const QString &last, const QString &before, const QuickWords &words,
                       const std::vector<SlotState> &states)
{
    const auto joined = [](const QString &prefix, const QStringList &list) {
        QStringList out;
        for (QString word : list)
            out << prefix + word.replace(QLatin1Char(' '), QLatin1Char('_'));
        return out;
    };
    if (last.startsWith(QLatin1Char('@')))
        return joined(QStringLiteral("@"), words.used.people);
    if (last.startsWith(QLatin1String("p:"), Qt::CaseInsensitive))
        return joined(QStringLiteral("p:"), words.used.permits);
    if (last.startsWith(QLatin1String("t:"), Qt::CaseInsensitive))
        return joined(QStringLiteral("t:"), words.used.tools);
    const QuickEntry entry = readQuickLine(before, words);
    QStringList all;
    if (entry.details.slot.isEmpty()) {
        all << freeSlotsFor(words.kinds.familyOf(entry.details.kind), states);
        for (const SlotState &slot : states)
            all << slot.code;
    }
    if (entry.details.kind.isEmpty())
        all << words.used.kinds << words.kinds.kinds();
    return all << words.used.descriptions;
}

} // namespace

QString partWord(QuickPart::Means means)
{
    switch (means) {
    case QuickPart::Means::Slot:
        return QStringLiteral("slot");
    case QuickPart::Means::Kind:
        return QStringLiteral("kind");
    case QuickPart::Means::Count:
        return QStringLiteral("count");
    case QuickPart::Means::AskedBy:
        return QStringLiteral("asked by");
    case QuickPart::Means::Permit:
        return QStringLiteral("permit");
    case QuickPart::Means::Tool:
        return QStringLiteral("tool");
    case QuickPart::Means::Description:
        break;
    }
    return QStringLiteral("words");
}

QuickEntry readQuickLine(const QString &text, const QuickWords &words)
{
    const std::vector<Token> tokens = tokensOf(text);
    return Reader(tokens, words).read();
}

QStringList completeQuickLine(const QString &text, const QuickWords &words,
                              const std::vector<SlotState> &states, int most)
{
    const qsizetype blank = text.lastIndexOf(QLatin1Char(' '));
    const QString before = text.left(blank + 1);
    const QString last = text.mid(blank + 1);
    if (last.isEmpty() || last.startsWith(QLatin1Char('"')))
        return {};
    QStringList found;
    for (const QString &candidate : candidates(last, before, words, states)) {
        const QString line = before + candidate;
        if (candidate.size() > last.size() && candidate.startsWith(last, Qt::CaseInsensitive) &&
            !found.contains(line))
            found << line;
        if (found.size() == most)
            break;
    }
    return found;
}

QString quickLineOf(const SampleInfo &sample, const QuickWords &words)
{
    const auto joined = [](QString text) { return text.replace(QLatin1Char(' '), QLatin1Char('_')); };
    QStringList line{readQuickLine(sample.kind, words).details.kind == sample.kind
                         ? sample.kind
                         : QStringLiteral("k:") + joined(sample.kind)};
    if (sample.count > 1)
        line << QString::number(sample.count);
    if (!sample.description.isEmpty())
        line << QStringLiteral("\"%1\"").arg(QString(sample.description).remove(QLatin1Char('"')));
    if (!sample.askedBy.isEmpty())
        line << QLatin1Char('@') + joined(sample.askedBy);
    if (!sample.permit.isEmpty())
        line << QStringLiteral("p:") + joined(sample.permit);
    if (!sample.tool.isEmpty())
        line << QStringLiteral("t:") + joined(sample.tool);
    return line.join(QLatin1Char(' '));
}

} // namespace holdfast
