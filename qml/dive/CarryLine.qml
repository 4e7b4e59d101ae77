// SPDX-License-Identifier: GPL-3.0-or-later
// A sample is on its way to another slot: what Enter and E would do with it.
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

Item {
    id: root
    required property SampleDesk hand
    visible: root.hand.carrying
    implicitHeight: rows.implicitHeight + Theme.gap * 2

    Rectangle { anchors.fill: parent; color: Theme.raised; radius: Theme.gap; border.color: Theme.focus; border.width: Theme.ring }
    ColumnLayout {
        id: rows
        anchors { left: parent.left; right: parent.right; top: parent.top; margins: Theme.gap; leftMargin: Theme.gap * 2; rightMargin: Theme.gap * 2 }
        spacing: Theme.gap * 0.7
        Words {
            Layout.fillWidth: true
            text: qsTr("Moving %1").arg(root.hand.words)
            size: Theme.small
            font.weight: Font.DemiBold
        }
        Words {
            Layout.fillWidth: true
            text: root.hand.advice
            color: root.hand.ready ? Theme.good : Theme.ink
            size: Theme.body
            wrapMode: Text.WordWrap
            maximumLineCount: 3
        }
        Row {
            spacing: Theme.gap
            KeyCap { visible: root.hand.ready; text: "Enter"; ink: Theme.ink }
            Words { visible: root.hand.ready; text: qsTr("puts it there"); size: Theme.small }
            KeyCap { visible: root.hand.exchanges; text: "E"; ink: Theme.ink }
            Words { visible: root.hand.exchanges; text: qsTr("exchanges the two"); size: Theme.small }
            KeyCap { text: "Esc" }
            Words { text: qsTr("leaves it"); color: Theme.soft; size: Theme.small }
        }
    }
}
