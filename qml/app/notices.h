// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QAbstractListModel>
#include <QtQml/qqmlregistration.h>
#include <vector>

namespace holdfast
{

/// What must not be missed: each a sentence with a key on it. At most three are shown, the worst and newest
/// first; the rest is a count.
class Notices : public QAbstractListModel
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(int more READ more NOTIFY changed FINAL) ///< how many are not shown
    Q_PROPERTY(int total READ total NOTIFY changed FINAL)

public:
    enum class Weight { Note, Care, Problem };
    Q_ENUM(Weight)
    enum class Role { Sentence = Qt::UserRole + 1, Key, WeightWord, WeightNumber };
    Q_ENUM(Role)
    static constexpr int mostShown = 3;

    using QAbstractListModel::QAbstractListModel;

    /// Shows a sentence. One with the same `topic` takes the earlier one's place. `key` is what looks into
    /// it, in words ("F4 feeds"); empty for one that is only put away.
    void say(const QString &topic, Weight weight, const QString &sentence, const QString &key = {});
    /// What the topic was about is well again.
    void settle(const QString &topic);
    /// Puts the first one away.
    Q_INVOKABLE void putAway();

    [[nodiscard]] int more() const;
    [[nodiscard]] int total() const { return static_cast<int>(m_all.size()); }
    [[nodiscard]] int rowCount(const QModelIndex &parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex &index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

signals:
    void changed();

private:
    struct Notice {
        QString topic;
        Weight weight = Weight::Note;
        QString sentence, key;
    };
    void remove(std::size_t i);
    std::vector<Notice> m_all; ///< all that are open
    int m_shown = 0;           ///< how many of them are rows now
};

} // namespace holdfast
