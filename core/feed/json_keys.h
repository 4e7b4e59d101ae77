// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QJsonObject>
#include <QString>
#include <QStringList>
#include <optional>
#include <utility>
#include <vector>

namespace holdfast::detail
{

/// Takes the values of a JSON object that a person writes; the first fault stays, as a sentence with the key
/// and what was expected there. `where` is the path of the object, empty for the whole. For readers to derive
/// from.
class JsonKeys
{
protected:
    /// `from` begins each sentence ("Feed profile x.json"), `whole` names the object ("a profile").
    JsonKeys(QString from, QString whole) : m_from(std::move(from)), m_whole(std::move(whole)) {}

    void wrong(const QString &key, const QString &expected);
    void allowOnly(const QJsonObject &object, const QString &where, const QStringList &keys);
    [[nodiscard]] QJsonObject objectAt(const QJsonObject &object, const QString &key, bool required);
    /// One of the words; without `otherwise` the key must be there.
    template <typename T>
    [[nodiscard]] T choiceAt(const QJsonObject &object, const QString &where, const QString &key,
                             const std::vector<std::pair<const char *, T>> &choices,
                             std::optional<T> otherwise)
    {
        const QJsonValue value = object.value(key);
        QStringList words;
        for (const auto &[word, choice] : choices) {
            if (value.toString() == QLatin1String(word))
                return choice;
            words += QLatin1String(word);
        }
        if (!value.isUndefined() || !otherwise)
            wrong(where.isEmpty() ? key : where + QLatin1Char('.') + key,
                  QStringLiteral("one of: ") + words.join(QStringLiteral(", ")));
        return otherwise.value_or(choices.front().second);
    }
    [[nodiscard]] QString characterAt(const QJsonObject &object, const QString &where, const QString &key,
                                      const QString &otherwise);
    [[nodiscard]] std::optional<double> positiveAt(const QJsonObject &object, const QString &where,
                                                   const QString &key);
    [[nodiscard]] bool flagAt(const QJsonObject &object, const QString &where, const QString &key,
                              bool otherwise);

    [[nodiscard]] const QString &from() const { return m_from; }
    [[nodiscard]] const QString &fault() const { return m_fault; }

private:
    QString m_from, m_whole;
    QString m_fault;
};

} // namespace holdfast::detail
