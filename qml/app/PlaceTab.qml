// SPDX-License-Identifier: GPL-3.0-or-later
// One place of the rail.
import QtQuick
import QtQuick.Controls.Basic
import Holdfast.Ui

AbstractButton {
    id: root
    required property int index
    required property string title
    required property string keyText
    property bool chosen: false

    focusPolicy: Qt.NoFocus
    implicitHeight: Theme.body * 2.5
    Accessible.role: Accessible.PageTab
    Accessible.name: qsTr("%1, key %2").arg(root.title).arg(root.keyText)
    background: Rectangle {
        color: root.chosen ? Theme.chosen : "transparent"
        Rectangle { // position and shape tell the chosen place, colour only repeats it
            visible: root.chosen
            width: Theme.gap * 0.5
            height: parent.height
            color: Theme.focus
        }
    }
    contentItem: Item {
        Words {
            anchors { left: parent.left; leftMargin: Theme.gap * 2; verticalCenter: parent.verticalCenter }
            text: root.title
            color: Theme.ink
            size: Theme.body
            font.weight: root.chosen ? Font.DemiBold : Font.Normal
            Accessible.ignored: true
        }
        KeyCap {
            anchors { right: parent.right; rightMargin: Theme.gap * 1.2; verticalCenter: parent.verticalCenter }
            text: root.keyText
        }
    }
}
