// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QAbstractListModel>
#include <QtQml/qqmlregistration.h>

namespace holdfast
{

/// The places of the window in the order of the work, and the one that is shown.
class Places : public QAbstractListModel
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(int current READ current WRITE setCurrent NOTIFY currentChanged FINAL)
    Q_PROPERTY(QString title READ title NOTIFY currentChanged FINAL)
    Q_PROPERTY(int page READ page NOTIFY currentChanged FINAL) ///< of the window's stack

public:
    enum class Name { Cruise, Ready, Dive, Recovery, Bench, Custody, HandOff, Papers };
    Q_ENUM(Name)
    enum class Role { Title = Qt::UserRole + 1, KeyText };
    Q_ENUM(Role)
    using QAbstractListModel::QAbstractListModel;

    [[nodiscard]] int current() const { return m_current; }
    void setCurrent(int place);
    [[nodiscard]] QString title() const;
    /// Shows the place of that name; false when there is none.
    Q_INVOKABLE bool showPlace(const QString &word);
    [[nodiscard]] int page() const;
    /// -1 for a word that is no place; "hand-off", "dive", …
    [[nodiscard]] static int placeOf(const QString &word);

    [[nodiscard]] int rowCount(const QModelIndex &parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex &index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

signals:
    void currentChanged();

private:
    int m_current = 0;
};

} // namespace holdfast
