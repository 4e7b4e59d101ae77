// SPDX-License-Identifier: GPL-3.0-or-later
// Text in the theme's face. `size` is one of Theme's sizes.
import QtQuick
import Holdfast.Ui

Text {
    property real size: Theme.body

    color: Theme.ink
    font.family: Theme.family
    font.pixelSize: size
    elide: Text.ElideRight
    textFormat: Text.PlainText
    verticalAlignment: Text.AlignVCenter
    Accessible.role: Accessible.StaticText
    Accessible.name: text
}
