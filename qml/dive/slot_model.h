// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "snapshot.h"

#include <QAbstractListModel>
#include <QRectF>
#include <QtQml/qqmlregistration.h>

namespace holdfast
{

/// The slots of the loadout in the order of unloading, with where each lies on the plan and what is in it.
/// Places are fractions of the plan: 0 .. 1 to starboard and aft of the box around all that is mounted.
class SlotModel : public QAbstractListModel
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(double aspect READ aspect NOTIFY planChanged FINAL) ///< width over height of the plan
    Q_PROPERTY(QString counts READ counts NOTIFY countsChanged FINAL)

public:
    enum class Look { Free, Taken, Mixed, Unusable };
    Q_ENUM(Look)
    enum class Role {
        Code = Qt::UserRole + 1,
        StateWord, ///< "free", "coral", "3 samples", "out of reach"
        Numbers,   ///< "017" or "009 012": the samples in it, short
        LookNumber,
        Round,
        LidOpen,
        LidText, ///< "lid open 2 min 05 s", "lid shut"; empty: nothing is known of one
        Beside,  ///< something was put beside it while it lay open
        Place,   ///< QRectF
        Container,
        Spoken, ///< the whole slot in words, for a screen reader
    };
    Q_ENUM(Role)
    enum class Direction { Left, Right, Up, Down };
    Q_ENUM(Direction)

    using QAbstractListModel::QAbstractListModel;

    void update(const Snapshot &snapshot, UtcTime now);
    /// Counts the time of open lids on; true when a second has gone by and some lid is open.
    bool tick(UtcTime now);

    [[nodiscard]] double aspect() const { return m_aspect; }
    [[nodiscard]] QString counts() const;
    [[nodiscard]] const std::vector<SlotState> &states() const { return m_states; }
    /// The lid of a slot in a sentence: how long it lay open, how often, what was put beside it meanwhile.
    [[nodiscard]] QString lidSentence(int row) const;
    [[nodiscard]] QRectF placeOf(int row) const { return m_places[static_cast<std::size_t>(row)]; }
    /// -1 when there is no such slot.
    Q_INVOKABLE [[nodiscard]] int rowOf(const QString &code) const;
    /// The slot next to `row` on the plan in a direction; `row` itself at the edge.
    [[nodiscard]] int neighbour(int row, Direction direction) const;
    /// The words for what a slot holds, and how it is drawn.
    [[nodiscard]] static QString stateWord(const SlotState &slot);
    [[nodiscard]] static Look lookOf(const SlotState &slot);

    [[nodiscard]] int rowCount(const QModelIndex &parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex &index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

signals:
    void planChanged();
    void countsChanged();

private:
    void layOut(const Loadout &loadout);
    void countExposures(UtcTime now);
    [[nodiscard]] QString lidText(const SlotState &slot) const;

    std::vector<SlotState> m_states;
    Loadout m_loadout;
    std::vector<SampleInfo> m_samples;
    std::vector<LidMove> m_lids;
    QMap<QString, SlotExposure> m_exposures;
    UtcTime m_counted{}; ///< the moment of m_exposures
    std::vector<QRectF> m_places;
    std::vector<bool> m_round;
    double m_aspect = 1;
    QString m_loadoutJson; ///< of the plan that is laid out
    int m_dive = 0;
};

/// The boxes and racks behind the slots.
class BoxModel : public QAbstractListModel
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")

public:
    enum class Role { Title = Qt::UserRole + 1, Place };
    Q_ENUM(Role)
    using QAbstractListModel::QAbstractListModel;

    void update(const Loadout &loadout);
    [[nodiscard]] int rowCount(const QModelIndex &parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex &index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

private:
    struct Box {
        QString title;
        QRectF place;
        friend bool operator==(const Box &, const Box &) = default;
    };
    std::vector<Box> m_boxes;
};

/// The box around all that is mounted, with room for the boxes' titles, mm.
[[nodiscard]] QRectF planBounds(const Loadout &loadout);

} // namespace holdfast
