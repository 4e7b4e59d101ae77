// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "palette.h"

#include <QObject>
#include <QtQml/qqmlregistration.h>

namespace holdfast
{

/// Colours and sizes for all screens. Sizes are in pixels and follow two numbers: `fit`, set by the window
/// from its size, and `textScale`, set by the person.
class Theme : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_SINGLETON
    Q_PROPERTY(bool day READ day WRITE setDay NOTIFY changed FINAL)
    Q_PROPERTY(double fit READ fit WRITE setFit NOTIFY changed FINAL)
    Q_PROPERTY(double textScale READ textScale WRITE setTextScale NOTIFY changed FINAL)

    Q_PROPERTY(QColor ground READ ground NOTIFY changed FINAL)
    Q_PROPERTY(QColor raised READ raised NOTIFY changed FINAL)
    Q_PROPERTY(QColor sunken READ sunken NOTIFY changed FINAL)
    Q_PROPERTY(QColor edge READ edge NOTIFY changed FINAL)
    Q_PROPERTY(QColor rule READ rule NOTIFY changed FINAL)
    Q_PROPERTY(QColor ink READ ink NOTIFY changed FINAL)
    Q_PROPERTY(QColor soft READ soft NOTIFY changed FINAL)
    Q_PROPERTY(QColor focus READ focus NOTIFY changed FINAL)
    Q_PROPERTY(QColor held READ held NOTIFY changed FINAL)
    Q_PROPERTY(QColor chosen READ chosen NOTIFY changed FINAL)
    Q_PROPERTY(QColor good READ good NOTIFY changed FINAL)
    Q_PROPERTY(QColor care READ care NOTIFY changed FINAL)
    Q_PROPERTY(QColor bad READ bad NOTIFY changed FINAL)

    Q_PROPERTY(QString family READ family CONSTANT FINAL)
    Q_PROPERTY(double tiny READ tiny NOTIFY changed FINAL)
    Q_PROPERTY(double small READ small NOTIFY changed FINAL)
    Q_PROPERTY(double body READ body NOTIFY changed FINAL)
    Q_PROPERTY(double large READ large NOTIFY changed FINAL)
    Q_PROPERTY(double huge READ huge NOTIFY changed FINAL)
    Q_PROPERTY(double gap READ gap NOTIFY changed FINAL)
    Q_PROPERTY(double ring READ ring NOTIFY changed FINAL)

public:
    using QObject::QObject;

    [[nodiscard]] bool day() const { return m_day; }
    [[nodiscard]] double fit() const { return m_fit; }
    [[nodiscard]] double textScale() const { return m_textScale; }
    void setDay(bool day);
    void setFit(double fit);             ///< 0.5 .. 4; 1 in a window of 1440 x 900
    void setTextScale(double textScale); ///< 0.7 .. 2

    [[nodiscard]] QColor ground() const { return palette().ground; }
    [[nodiscard]] QColor raised() const { return palette().raised; }
    [[nodiscard]] QColor sunken() const { return palette().sunken; }
    [[nodiscard]] QColor edge() const { return palette().edge; }
    [[nodiscard]] QColor rule() const { return palette().rule; }
    [[nodiscard]] QColor ink() const { return palette().ink; }
    [[nodiscard]] QColor soft() const { return palette().soft; }
    [[nodiscard]] QColor focus() const { return palette().focus; }
    [[nodiscard]] QColor held() const { return palette().held; }
    [[nodiscard]] QColor chosen() const { return palette().chosen; }
    [[nodiscard]] QColor good() const { return palette().good; }
    [[nodiscard]] QColor care() const { return palette().care; }
    [[nodiscard]] QColor bad() const { return palette().bad; }

    /// A face whose digits are all of one width, so that changing numbers do not jump.
    [[nodiscard]] static QString family();
    [[nodiscard]] double tiny() const { return sized(12.5); }
    [[nodiscard]] double small() const { return sized(14.5); }
    [[nodiscard]] double body() const { return sized(17); }
    [[nodiscard]] double large() const { return sized(23); }
    [[nodiscard]] double huge() const { return sized(38); }
    [[nodiscard]] double gap() const { return sized(8); } ///< the unit of all spacing
    [[nodiscard]] double ring() const;                    ///< width of the focus ring

signals:
    void changed();

private:
    [[nodiscard]] const Palette &palette() const { return m_day ? dayPalette() : nightPalette(); }
    [[nodiscard]] double sized(double px) const;

    bool m_day = false;
    double m_fit = 1;
    double m_textScale = 1;
};

} // namespace holdfast
