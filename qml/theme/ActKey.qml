// SPDX-License-Identifier: GPL-3.0-or-later
// A button that names its key. The key itself is a KeyAct; this is for the mouse, a touch and a screen reader.
import QtQuick
import QtQuick.Controls.Basic
import Holdfast.Ui

AbstractButton {
    id: root
    property string keyText: ""
    property bool chosen: false

    focusPolicy: Qt.TabFocus
    padding: Theme.gap
    leftPadding: Theme.gap * 1.4
    rightPadding: Theme.gap * 1.4
    Accessible.role: Accessible.Button
    Accessible.name: root.keyText === "" ? root.text : qsTr("%1, key %2").arg(root.text).arg(root.keyText)
    Accessible.onPressAction: root.clicked()
    background: Rectangle {
        radius: Theme.gap * 0.6
        color: root.chosen || root.down ? Theme.chosen : Theme.raised
        border.color: root.visualFocus ? Theme.focus : Theme.edge
        border.width: root.visualFocus ? Theme.ring : 1
    }
    contentItem: Row {
        spacing: Theme.gap
        opacity: root.enabled ? 1 : 0.55
        KeyCap {
            visible: root.keyText !== ""
            text: root.keyText
            anchors.verticalCenter: parent.verticalCenter
        }
        Words {
            text: root.text
            anchors.verticalCenter: parent.verticalCenter
            Accessible.ignored: true
        }
    }
}
