// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "picture_desk.h"

namespace holdfast
{

/// What the reading window says of a dive: how much there is of what, and each sample with where it is from.
class WatchList : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(
        QString answer READ answer NOTIFY changed FINAL) ///< "12 samples: coral 4, basalt 3; 1 stamp waits"
    Q_PROPERTY(QStringList lines READ lines NOTIFY changed FINAL)

public:
    WatchList(Desk &desk, PictureDesk &pictures, QObject *parent = nullptr);
    [[nodiscard]] QString answer() const;
    [[nodiscard]] QStringList lines() const;

signals:
    void changed();

private:
    Desk *m_desk;
    PictureDesk *m_pictures;
};

} // namespace holdfast
