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
    required property bool works // false: this version does not do it yet
    property bool chosen: false

    focusPolicy: Qt.NoFocus
    implicitHeight: Theme.body * 2.5
    Accessible.role: Accessible.PageTab
    Accessible.name: root.works ? qsTr("%1, key %2").arg(root.title).arg(root.keyText) : qsTr("%1, not in this version").arg(root.title)
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
            color: root.works ? Theme.ink : Theme.soft
            size: Theme.body
            font.weight: root.chosen ? Font.DemiBold : Font.Normal
            Accessible.ignored: true
        }
        KeyCap {
            visible: root.works
            anchors { right: parent.right; rightMargin: Theme.gap * 1.2; verticalCenter: parent.verticalCenter }
            text: root.keyText
        }
        Words {
            visible: !root.works
            anchors { right: parent.right; rightMargin: Theme.gap * 1.4; verticalCenter: parent.verticalCenter }
            text: qsTr("later")
            color: Theme.soft
            size: Theme.tiny
            font.italic: true
            Accessible.ignored: true
        }
    }
}
