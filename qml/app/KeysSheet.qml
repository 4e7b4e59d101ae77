// SPDX-License-Identifier: GPL-3.0-or-later
// Every key, from the same acts that the screens use.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

Sheet {
    id: root
    property var here: [] // lists of KeyAct, see KeyBar
    property var everywhere: []
    title: qsTr("Keys")

    component Group: GridLayout {
        id: group
        required property var acts
        columns: 2
        columnSpacing: Theme.gap * 1.5
        rowSpacing: Theme.gap * 0.5
        Repeater {
            model: group.acts.length * 2
            delegate: Item {
                id: cell
                required property int index
                readonly property KeyAct act: group.acts[Math.floor(cell.index / 2)]
                readonly property bool isKey: cell.index % 2 === 0
                implicitWidth: cell.isKey ? cap.implicitWidth : words.implicitWidth
                implicitHeight: Math.max(cap.implicitHeight, words.implicitHeight)
                KeyCap { id: cap; visible: cell.isKey; text: cell.act.keyText; ink: Theme.ink }
                Words { id: words; visible: !cell.isKey; text: cell.act.label; size: Theme.small }
            }
        }
    }
    Words { visible: root.here.length > 0; text: qsTr("here"); color: Theme.soft; size: Theme.small }
    Group { acts: root.here }
    Words { text: qsTr("everywhere"); color: Theme.soft; size: Theme.small; Layout.topMargin: Theme.gap }
    Group { acts: root.everywhere }
}
