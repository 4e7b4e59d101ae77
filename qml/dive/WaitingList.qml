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
            required property string lifeWord
            required property bool saved
            required property string digit
            readonly property bool isOpen: row.index === root.dive.openRow
            width: list.width
            height: Theme.body * 1.9
            radius: Theme.gap * 0.5
            color: row.isOpen ? Theme.chosen : "transparent"
            border.color: row.isOpen ? Theme.focus : "transparent"
            border.width: Theme.ring
            Accessible.role: Accessible.ListItem
            Accessible.name: qsTr("%1, %2, %3").arg(row.clockText).arg(row.depthText).arg(row.lifeWord)

            MouseArea { anchors.fill: parent; onClicked: root.dive.open(row.index) }
            RowLayout {
                anchors { fill: parent; leftMargin: Theme.gap; rightMargin: Theme.gap }
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
        }
    }
}
