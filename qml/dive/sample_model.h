// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "snapshot.h"

#include <QAbstractListModel>
#include <QtQml/qqmlregistration.h>

namespace holdfast
{

/// What came of the stamps of the dive, newest first: samples, failed attempts and stamps set aside.
class SampleModel : public QAbstractListModel
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(int count READ count NOTIFY countChanged FINAL)

public:
    enum class Role {
        Number = Qt::UserRole + 1, ///< "017"; "—" for what became no sample
        ClockText,
        SlotCode,  ///< "B2"; "—" when it lies in none
        Words,     ///< "coral × 2, white fan" or the reason
        StateWord, ///< "held", "lost", "void", "failed", "set aside"
        Stands,    ///< held: drawn plainly; else struck through
        Id,
        Warning,
    };
    Q_ENUM(Role)
    struct Row {
        qint64 timeUs = 0;
        QString uuid; ///< of the stamp, or of the sample
        QString id, number, slot, words, state, warning;
        friend bool operator==(const Row &, const Row &) = default;
    };
    using QAbstractListModel::QAbstractListModel;

    void update(const Snapshot &snapshot);
    [[nodiscard]] static std::vector<Row> rowsOf(const Snapshot &snapshot);

    [[nodiscard]] int count() const { return static_cast<int>(m_rows.size()); }
    [[nodiscard]] const std::vector<Row> &rows() const { return m_rows; }
    [[nodiscard]] int rowCount(const QModelIndex &parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex &index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

signals:
    void countChanged();

private:
    std::vector<Row> m_rows;
};

} // namespace holdfast
