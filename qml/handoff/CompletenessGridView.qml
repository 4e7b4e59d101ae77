// SPDX-License-Identifier: GPL-3.0-or-later
// Rows by requirements; the arrow keys move the cell in hand. A sign and a word tell the state, colour only helps.
pragma ComponentBehavior: Bound
import QtQuick
import Holdfast.Ui

FocusScope {
    id: root
    required property HandoffDesk handoff
    readonly property real idWidth: Theme.body * 10
    readonly property real cellWidth: Math.max(Theme.body * 3.2, (width - idWidth) / Math.max(1, handoff.titles.length))

    Keys.onUpPressed: root.handoff.move(-1, 0)
    Keys.onDownPressed: root.handoff.move(1, 0)
    Keys.onLeftPressed: root.handoff.move(0, -1)
    Keys.onRightPressed: root.handoff.move(0, 1)
    Keys.onPressed: event => {
        const page = event.key === Qt.Key_PageDown ? 15 : event.key === Qt.Key_PageUp ? -15 : 0
        if (page !== 0 && event.modifiers === Qt.NoModifier) {
            root.handoff.move(page, 0)
            event.accepted = true
        }
    }

    Row {
        id: head
        anchors { left: parent.left; top: parent.top; leftMargin: root.idWidth }
        Repeater {
            model: root.handoff.titles
            delegate: Words {
                required property string modelData
                width: root.cellWidth
                text: modelData
                color: Theme.soft
                size: Theme.tiny
                horizontalAlignment: Text.AlignHCenter
            }
        }
    }
    ListView {
        id: list
        anchors { left: parent.left; right: parent.right; top: head.bottom; bottom: parent.bottom; topMargin: Theme.gap * 0.6 }
        focus: true
        clip: true
        model: root.handoff.grid
        currentIndex: root.handoff.row
        highlightMoveDuration: 0
        keyNavigationEnabled: false
        Accessible.role: Accessible.Table
        Accessible.name: qsTr("Completeness: samples by requirements")
        delegate: Item {
            id: row
            required property int index
            required property string rowId
            required property int indent
            required property string marks
            required property var cellWords
            required property int openCount
            readonly property bool inHand: row.index === root.handoff.row
            width: list.width
            height: Theme.body * 1.7
            Accessible.role: Accessible.Row
            Accessible.name: qsTr("%1, %2 open").arg(row.rowId).arg(row.openCount)

            Words {
                x: Theme.gap * row.indent
                width: root.idWidth - x
                height: parent.height
                verticalAlignment: Text.AlignVCenter
                text: row.rowId
                size: Theme.small
                font.weight: row.inHand || row.indent === 0 ? Font.DemiBold : Font.Normal
                Accessible.ignored: true
            }
            Row {
                x: root.idWidth
                Repeater {
                    model: row.cellWords
                    delegate: Rectangle {
                        id: cell
                        required property int index
                        required property string modelData
                        readonly property string mark: row.marks.charAt(cell.index)
                        readonly property bool inHand: row.inHand && cell.index === root.handoff.column
                        width: root.cellWidth
                        height: row.height
                        radius: Theme.gap * 0.5
                        color: cell.inHand ? Theme.chosen : "transparent"
                        border.color: cell.inHand && root.activeFocus ? Theme.focus : "transparent"
                        border.width: Theme.ring
                        Accessible.role: Accessible.Cell
                        Accessible.name: cell.mark === "-" ? "" : root.handoff.titles[cell.index] + ": " + cell.modelData

                        MouseArea {
                            anchors.fill: parent
                            onClicked: root.handoff.choose(row.index, cell.index)
                            onDoubleClicked: root.handoff.goMend()
                        }
                        Words {
                            anchors.fill: parent
                            anchors.margins: 2
                            horizontalAlignment: Text.AlignHCenter
                            verticalAlignment: Text.AlignVCenter
                            text: cell.mark === "-" ? "·" : cell.mark === "m" ? "✓" : (cell.mark === "d" ? "? " : "✕ ") + cell.modelData
                            color: cell.mark === "-" ? Theme.soft : cell.mark === "m" ? Theme.good : cell.mark === "d" ? Theme.care : Theme.bad
                            size: Theme.tiny
                            font.weight: cell.mark === "x" ? Font.DemiBold : Font.Normal
                            Accessible.ignored: true
                        }
                    }
                }
            }
        }
        Words {
            visible: list.count === 0 && (root.handoff.judging || root.handoff.titles.length > 0)
            width: list.width
            text: root.handoff.judging ? qsTr("Looking through the record.") : qsTr("Nothing is open. Ctrl+M makes the package.")
            color: Theme.soft
            wrapMode: Text.WordWrap
        }
    }
}
