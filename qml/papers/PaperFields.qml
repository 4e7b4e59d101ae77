// SPDX-License-Identifier: GPL-3.0-or-later
// What goes on the paper, or the parts of the stock that is being changed: named values to type, the page follows.
pragma ComponentBehavior: Bound
import QtQuick
import Holdfast.Ui

Flickable {
    id: root
    required property PapersDesk papers
    property string hint: "" // of the field in hand
    readonly property int count: rows.count

    /// Puts the cursor into the first field.
    function begin() {
        const first = rows.itemAt(0)
        if (first)
            (first as FocusScope).forceActiveFocus(Qt.TabFocusReason)
    }
    /// Brings a row into sight.
    function show(row: Item) {
        const top = row.y
        const bottom = row.y + row.height
        if (top < root.contentY)
            root.contentY = top
        else if (bottom > root.contentY + root.height)
            root.contentY = bottom - root.height
    }

    clip: true
    contentWidth: width
    contentHeight: column.height
    boundsBehavior: Flickable.StopAtBounds
    onCountChanged: {
        root.hint = ""
        root.contentY = 0
    }

    Column { // every field has its item, so that Tab goes through all of them
        id: column
        width: root.width
        spacing: Theme.gap * 0.4
        Repeater {
            id: rows
            model: root.papers.fields
            delegate: FocusScope {
                id: row
                required property int index
                required property string part
                required property string label
                required property string value
                required property string hint
                required property bool many
                width: column.width
                height: field.height + (head.visible ? head.height : 0)
                onActiveFocusChanged: {
                    if (!row.activeFocus)
                        return
                    root.show(row)
                    root.hint = row.hint
                    root.papers.setFieldInHand(row.index)
                }
                Words {
                    id: head
                    visible: row.part !== ""
                    width: parent.width
                    height: implicitHeight + Theme.gap
                    text: row.part
                    size: Theme.small
                    font.weight: Font.DemiBold
                    verticalAlignment: Text.AlignBottom
                }
                Words {
                    anchors { left: parent.left; verticalCenter: field.verticalCenter }
                    width: parent.width * 0.4
                    text: row.label
                    color: Theme.soft
                    size: Theme.tiny
                    wrapMode: Text.WordWrap
                    maximumLineCount: 2
                    Accessible.ignored: true
                }
                TypeField {
                    id: field
                    focus: true
                    anchors { right: parent.right; bottom: parent.bottom }
                    width: parent.width * 0.58
                    spoken: row.hint === "" ? row.label : qsTr("%1: %2").arg(row.label).arg(row.hint)
                    text: row.value
                    font.pixelSize: Theme.small
                    topPadding: Theme.gap * 0.5
                    bottomPadding: Theme.gap * 0.5
                    onTextEdited: root.papers.setField(row.index, text)
                    takesScans: !root.papers.editing
                    // A gun's Enter makes room for the next id of a list; a second Enter goes on.
                    onAccepted: {
                        if (row.many && text !== "" && !text.trim().endsWith(",")) {
                            text += ", "
                            root.papers.setField(row.index, text)
                            return
                        }
                        nextItemInFocusChain(true).forceActiveFocus(Qt.TabFocusReason)
                    }
                }
            }
        }
    }
}
