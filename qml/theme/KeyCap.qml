// SPDX-License-Identifier: GPL-3.0-or-later
// A key as drawn beside what it does.
import QtQuick
import Holdfast.Ui

Rectangle {
    id: root
    required property string text
    property color ink: Theme.soft

    implicitWidth: Math.max(implicitHeight, label.implicitWidth + Theme.gap * 1.3)
    implicitHeight: label.implicitHeight + Theme.gap * 0.4
    radius: Theme.gap * 0.5
    color: "transparent"
    border.color: Theme.edge
    border.width: 1
    Accessible.ignored: true

    Text {
        id: label
        anchors.centerIn: parent
        text: root.text
        color: root.ink
        font.family: Theme.family
        font.pixelSize: Theme.tiny
        font.weight: Font.DemiBold
    }
}
