// SPDX-License-Identifier: GPL-3.0-or-later
// A sample, its specimens and subsamples, drawn as a tree: branches at the left, an associate on a dotted branch.
pragma ComponentBehavior: Bound
import QtQuick
import Holdfast.Ui

ListView {
    id: root
    required property BenchDesk bench

    clip: true
    model: root.bench.tree
    currentIndex: root.bench.row
    highlightMoveDuration: 0
    activeFocusOnTab: true
    Accessible.role: Accessible.Tree
    Accessible.name: qsTr("Sample in hand with its parts")
    Keys.onUpPressed: root.bench.row -= 1
    Keys.onDownPressed: root.bench.row += 1

    Words {
        visible: root.count === 0
        width: root.width
        text: qsTr("Here a sample becomes specimens and subsamples. Scan an id, or take one from what is due.")
        color: Theme.soft
        wrapMode: Text.WordWrap
    }
    delegate: Item {
        id: row
        required property int index
        required property string itemId
        required property string label
        required property string stateWords
        required property int level
        required property bool associate
        required property bool over
        required property bool marked
        readonly property bool chosen: row.index === root.bench.row
        readonly property real indent: row.level * Theme.body * 1.8
        width: root.width
        height: body.height + Theme.gap
        Accessible.role: Accessible.TreeItem
        Accessible.name: row.itemId + ", " + row.label + ", " + row.stateWords + (row.over ? qsTr(", over its limit") : "") + (row.marked ? qsTr(", marked") : "")
        Accessible.selected: row.chosen

        Rectangle { // the branch down from the parent
            visible: row.level > 0
            x: row.indent - Theme.body * 0.9
            width: 2
            height: row.height / 2 + Theme.gap
            y: -Theme.gap
            color: Theme.edge
        }
        Row { // and across; an associate hangs on by dots
            visible: row.level > 0
            x: row.indent - Theme.body * 0.9
            y: row.height / 2
            spacing: row.associate ? 3 : 0
            Repeater {
                model: row.associate ? 4 : 1
                delegate: Rectangle { width: row.associate ? 2 : Theme.body * 0.9; height: 2; color: Theme.edge }
            }
        }
        Rectangle {
            id: body
            anchors { left: parent.left; right: parent.right; leftMargin: row.indent }
            height: words.height + Theme.gap * 1.4
            radius: Theme.gap * 0.6
            color: row.chosen ? Theme.chosen : Theme.ground
            border.color: row.chosen && root.activeFocus ? Theme.focus : Theme.rule
            border.width: row.chosen && root.activeFocus ? Theme.ring : 1
            MouseArea { anchors.fill: parent; onClicked: root.bench.row = row.index }
            Column {
                id: words
                anchors { left: parent.left; right: parent.right; verticalCenter: parent.verticalCenter; margins: Theme.gap }
                Row {
                    spacing: Theme.gap
                    Words { visible: row.marked; text: "✓"; color: Theme.good; font.weight: Font.Bold; Accessible.ignored: true }
                    Words { text: row.itemId; font.weight: Font.DemiBold; Accessible.ignored: true }
                    Words { visible: row.over; text: qsTr("!! over its limit"); color: Theme.bad; size: Theme.small; Accessible.ignored: true }
                }
                Words { width: words.width; text: row.label; size: Theme.small; wrapMode: Text.WordWrap; Accessible.ignored: true }
                Words { width: words.width; text: row.stateWords; size: Theme.small; color: Theme.soft; wrapMode: Text.WordWrap; Accessible.ignored: true }
            }
        }
    }
}
