// SPDX-License-Identifier: GPL-3.0-or-later
// What came of the stamps, newest first.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

Panel {
    id: root
    required property DiveDesk dive
    title: qsTr("Taken")
    aside: root.dive.samples.count === 0 ? "" : root.dive.samples.count === 1 ? qsTr("1 entry") : qsTr("%1 entries, newest first").arg(root.dive.samples.count)

    Words {
        visible: root.dive.samples.count === 0
        anchors { fill: parent; leftMargin: Theme.gap * 0.5 }
        verticalAlignment: Text.AlignTop
        text: qsTr("Nothing yet on this dive.")
        color: Theme.soft
        size: Theme.small
    }
    ListView {
        id: list
        anchors.fill: parent
        clip: true
        model: root.dive.samples
        currentIndex: root.dive.hand.row
        highlightMoveDuration: 0
        Accessible.role: Accessible.List
        Accessible.name: qsTr("Samples and failed attempts of this dive")
        delegate: Rectangle {
            id: row
            required property int index
            readonly property bool chosen: row.index === root.dive.hand.row
            color: row.chosen ? Theme.chosen : "transparent"
            Accessible.selected: row.chosen
            required property string number
            required property string clockText
            required property string slotCode
            required property string words
            required property string stateWord
            required property bool stands
            required property string warning
            width: list.width
            height: Theme.body * 1.7
            Accessible.role: Accessible.ListItem
            Accessible.name: row.number + " " + row.clockText + " " + row.slotCode + " " + row.words + " " + row.stateWord

            RowLayout {
                anchors { fill: parent; leftMargin: Theme.gap * 0.5; rightMargin: Theme.gap * 0.5 }
                spacing: Theme.gap
                Words { text: row.number; size: Theme.small; font.weight: Font.DemiBold; Layout.preferredWidth: Theme.small * 2.4; Accessible.ignored: true }
                Words { text: row.clockText; size: Theme.small; color: Theme.soft; Layout.preferredWidth: Theme.small * 3.1; Accessible.ignored: true }
                Words { text: row.slotCode; size: Theme.small; font.weight: Font.DemiBold; Layout.preferredWidth: Theme.small * 2; Accessible.ignored: true }
                Words {
                    text: row.words
                    size: Theme.small
                    color: row.stands ? Theme.ink : Theme.soft
                    font.strikeout: row.stateWord === "void"
                    Layout.fillWidth: true
                    Accessible.ignored: true
                }
                Words {
                    visible: text !== ""
                    text: row.stands ? (row.warning === "" ? "" : qsTr("! noted")) : "✕ " + row.stateWord
                    size: Theme.tiny
                    color: Theme.care
                    Accessible.ignored: true
                }
            }
            Rectangle { width: parent.width; height: 1; anchors.bottom: parent.bottom; color: Theme.rule }
        }
    }
}
