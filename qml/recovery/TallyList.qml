// SPDX-License-Identifier: GPL-3.0-or-later
// All slots in the order of unloading with the answer so far.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

ListView {
    id: root
    required property RecoveryDesk recovery

    clip: true
    model: root.recovery.tally
    currentIndex: root.recovery.row
    highlightMoveDuration: 0
    Accessible.role: Accessible.List
    Accessible.name: qsTr("Slots in the order of unloading")
    delegate: Rectangle {
        id: row
        required property int index
        required property string code
        required property string expected
        required property string answerWord
        required property bool answered
        required property bool sound
        required property string clock
        readonly property bool inHand: row.index === root.recovery.row
        width: root.width
        height: Theme.body * (row.clock === "" ? 1.85 : 2.9)
        radius: Theme.gap * 0.5
        color: row.inHand ? Theme.chosen : "transparent"
        border.color: row.inHand ? Theme.focus : "transparent"
        border.width: Theme.ring
        Accessible.role: Accessible.ListItem
        Accessible.name: row.code + ", " + row.expected + (row.clock === "" ? "" : ", " + row.clock) + ", " + (row.answered ? row.answerWord : qsTr("untallied"))

        MouseArea { anchors.fill: parent; onClicked: root.recovery.row = row.index }
        RowLayout {
            anchors { fill: parent; leftMargin: Theme.gap; rightMargin: Theme.gap }
            spacing: Theme.gap
            Words { text: row.code; font.weight: Font.DemiBold; Layout.preferredWidth: Theme.body * 2.4; Accessible.ignored: true }
            Column {
                Layout.fillWidth: true
                Words { width: parent.width; text: row.expected; color: row.expected === qsTr("free") ? Theme.soft : Theme.ink; size: Theme.small; Accessible.ignored: true }
                Words { visible: row.clock !== ""; width: parent.width; text: row.clock; color: row.clock.startsWith("!") ? Theme.care : Theme.soft; size: Theme.tiny; Accessible.ignored: true }
            }
            Words {
                text: !row.answered ? qsTr("—") : (row.sound ? "✓ " : "! ") + row.answerWord
                color: !row.answered ? Theme.soft : row.sound ? Theme.good : Theme.care
                size: Theme.small
                font.weight: row.answered && !row.sound ? Font.DemiBold : Font.Normal
                Accessible.ignored: true
            }
        }
    }
}
