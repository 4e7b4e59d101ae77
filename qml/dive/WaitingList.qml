// SPDX-License-Identifier: GPL-3.0-or-later
// The stamps that wait, oldest first, each with the digit that opens it.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

Panel {
    id: root
    required property DiveDesk dive
    title: qsTr("Waiting")
    aside: root.dive.stamps.count === 0 ? "" : qsTr("a digit opens one")

    Words {
        visible: root.dive.stamps.count === 0
        anchors { fill: parent; leftMargin: Theme.gap * 0.5 }
        verticalAlignment: Text.AlignTop
        wrapMode: Text.WordWrap
        text: qsTr("Space takes the moment; its details can wait here as long as they must.")
        color: Theme.soft
        size: Theme.small
    }
    ListView {
        id: list
        anchors.fill: parent
        clip: true
        model: root.dive.stamps
        currentIndex: root.dive.openRow
        Accessible.role: Accessible.List
        Accessible.name: qsTr("Waiting stamps")
        delegate: Rectangle {
            id: row
            required property int index
            required property string clockText
            required property string depthText
            required property string seenText
            required property string lifeWord
            required property bool saved
            required property string digit
            readonly property bool isOpen: row.index === root.dive.openRow
            // What was around it stands under the open one, or under the newest while none is open.
            readonly property bool tells: row.isOpen || (root.dive.openRow < 0 && row.index === list.count - 1)
            width: list.width
            height: Theme.body * 1.9 + (row.tells ? Theme.tiny * 3 : 0)
            radius: Theme.gap * 0.5
            color: row.isOpen ? Theme.chosen : "transparent"
            border.color: row.isOpen ? Theme.focus : "transparent"
            border.width: Theme.ring
            Accessible.role: Accessible.ListItem
            Accessible.name: qsTr("%1, %2, %3, %4").arg(row.clockText).arg(row.depthText).arg(row.seenText).arg(row.lifeWord)

            MouseArea { anchors.fill: parent; onClicked: root.dive.open(row.index) }
            RowLayout {
                id: line
                height: Theme.body * 1.9
                anchors { left: parent.left; right: parent.right; top: parent.top; leftMargin: Theme.gap; rightMargin: Theme.gap }
                spacing: Theme.gap * 1.2
                KeyCap { text: row.digit; visible: row.digit !== ""; ink: Theme.ink }
                Words { text: row.clockText; size: Theme.body; font.weight: Font.DemiBold; Accessible.ignored: true }
                Words { text: row.depthText; size: Theme.body; Layout.fillWidth: true; Accessible.ignored: true }
                Words {
                    text: row.saved ? "✓ " + row.lifeWord : "… " + row.lifeWord
                    color: row.saved ? Theme.good : Theme.care
                    size: Theme.small
                    Accessible.ignored: true
                }
            }
            Words {
                visible: row.tells
                anchors { left: parent.left; right: parent.right; top: line.bottom; leftMargin: Theme.gap; rightMargin: Theme.gap }
                text: row.seenText
                color: Theme.soft
                size: Theme.tiny
                wrapMode: Text.WordWrap
                maximumLineCount: 2
                Accessible.ignored: true
            }
        }
        onCountChanged: if (root.dive.openRow < 0) list.positionViewAtEnd()
    }
}
