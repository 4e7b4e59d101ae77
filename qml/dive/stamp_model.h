// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "snapshot.h"

#include <QAbstractListModel>
#include <QJsonObject>
#include <QtQml/qqmlregistration.h>

namespace holdfast
{

/// The stamps that wait for their details, oldest first, so that the digit of a stamp stays the same while
/// others come. A stamp is "caught" from the key press and "saved" once it is durable, never before.
class StampModel : public QAbstractListModel
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(int count READ count NOTIFY countChanged FINAL)

public:
    enum class Role {
        ClockText = Qt::UserRole + 1,
        DepthText,
        SeenText, ///< provisional position with its uncertainty and water values at that instant, or that
                  ///< there were none
        LifeWord,
        Saved,
        Digit,
        By
    };
    Q_ENUM(Role)
    struct Row {
        qint64 timeUs = 0;
        QString uuid; ///< empty until the commit
        QString depth, seen, by;
    };
    using QAbstractListModel::QAbstractListModel;

    /// A stamp was pressed and is on its way to the disk. `seen` is what the feeds gave then
    /// (FeedDesk::seen).
    void addCaught(qint64 timeUs, const QJsonObject &seen, const QString &by);
    /// Its commit is durable, or failed.
    void setSaved(qint64 timeUs, const QString &uuid);
    void drop(qint64 timeUs);
    /// What waits by the file now; those still on their way stay.
    void update(const std::vector<StampInfo> &stamps);

    [[nodiscard]] int count() const { return static_cast<int>(m_rows.size()); }
    [[nodiscard]] const std::vector<Row> &rows() const { return m_rows; }
    [[nodiscard]] int rowCount(const QModelIndex &parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex &index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

signals:
    void countChanged();

private:
    void insert(const Row &row);
    /// The digits of the rows from `first` on have become others.
    void renumber(int first);
    std::vector<Row> m_rows; ///< by time
};

} // namespace holdfast
