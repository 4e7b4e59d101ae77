// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "live/live_state.h"

#include <QAbstractListModel>
#include <QtQml/qqmlregistration.h>

namespace holdfast
{

/// The feeds as rows of the feeds page.
class FeedList : public QAbstractListModel
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")

public:
    enum class Role { Name = Qt::UserRole + 1, Source, Profile, StateWord, Trouble, Counts, Clock, Alive };
    Q_ENUM(Role)
    using QAbstractListModel::QAbstractListModel;

    /// Takes the newest states.
    void update(const std::vector<FeedState> &feeds);
    /// "alive, 24 lines/s", "silent for 42 s", "waiting for its first line", "ended".
    [[nodiscard]] static QString stateWord(const FeedState &feed);
    /// "+0.12", "−3.4": with its sign.
    [[nodiscard]] static QString signedSeconds(double seconds);
    /// The name of a row; empty when there is none.
    Q_INVOKABLE QString nameAt(int row) const;

    [[nodiscard]] int rowCount(const QModelIndex &parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex &index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

private:
    std::vector<FeedState> m_feeds;
};

} // namespace holdfast
