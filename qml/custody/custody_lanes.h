// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody_desk.h"
#include "theme.h"

#include <QPointer>
#include <QQuickPaintedItem>

namespace holdfast
{

/// A lane per holder, time running right, each item a thread that passes from lane to lane. In transit it is
/// dashed; a break that nobody explained tears it and carries a "!".
class CustodyLanes : public QQuickPaintedItem
{
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(holdfast::CustodyDesk *desk READ desk WRITE setDesk NOTIFY deskChanged FINAL)
    Q_PROPERTY(QString words READ words NOTIFY wordsChanged FINAL) ///< the same for a screen reader

public:
    explicit CustodyLanes(QQuickItem *parent = nullptr);
    void paint(QPainter *painter) override;

    [[nodiscard]] CustodyDesk *desk() const { return m_desk; }
    void setDesk(CustodyDesk *desk);
    [[nodiscard]] QString words() const { return m_lanes.join(QStringLiteral(", ")); }

signals:
    void deskChanged();
    void wordsChanged();

private:
    void take();
    [[nodiscard]] const Theme *theme();
    [[nodiscard]] double xOf(UtcTime t) const;
    void paintThread(QPainter &painter, const CustodyThread &thread, double offset) const;

    QPointer<CustodyDesk> m_desk;
    Theme *m_theme = nullptr;
    QStringList m_lanes;          ///< top to bottom
    std::vector<UtcTime> m_marks; ///< moments at which something changed hands, in order
    UtcTime m_from{}, m_to{};
    double m_left = 0, m_laneHeight = 0;
};

} // namespace holdfast
