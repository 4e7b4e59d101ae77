// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "live_state.h"

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
    enum class Role { Name = Qt::UserRole + 1, Source, Profile, StateWord, Trouble, Counts, Alive };
    Q_ENUM(Role)
    using QAbstractListModel::QAbstractListModel;

    /// Takes the newest states; `now` is the ship clock's, for the ages.
    void update(const std::vector<FeedState> &feeds, UtcTime now, double speed);
    /// "alive, 24 lines/s", "silent for 42 s", "waiting for its first line", "ended".
    [[nodiscard]] static QString stateWord(const FeedState &feed, UtcTime now, double speed);
    /// Silent for longer than five of its periods and ten seconds; a replay runs `speed` times as fast, and
    /// so may be silent for as many times longer by its own clock.
    [[nodiscard]] static bool isSilent(const FeedState &feed, UtcTime now, double speed);

    [[nodiscard]] int rowCount(const QModelIndex &parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex &index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

private:
    std::vector<FeedState> m_feeds;
    UtcTime m_now{};
    double m_speed = 1;
};

} // namespace holdfast
