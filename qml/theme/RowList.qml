// SPDX-License-Identifier: GPL-3.0-or-later
// Lines of text to choose from: up and down move, Enter takes.
pragma ComponentBehavior: Bound
import QtQuick
import Holdfast.Ui

ListView {
    id: root
    required property string spoken
    required property var rows // a QStringList; Qt 6.4 can not bind one to a list<string>
    property int current: -1
    property string empty: ""
    property bool wrapped: false // long lines go on below instead of ending in dots
    signal moved(row: int)
    signal taken(row: int)

    clip: true
    model: root.rows
    currentIndex: root.current
    activeFocusOnTab: true
    highlightMoveDuration: 0
    Accessible.role: Accessible.List
    Accessible.name: root.spoken
    Keys.onReturnPressed: if (root.currentIndex >= 0) root.taken(root.currentIndex)
    Keys.onEnterPressed: if (root.currentIndex >= 0) root.taken(root.currentIndex)
    Keys.onUpPressed: root.step(-1)
    Keys.onDownPressed: root.step(1)

    function step(by: int) {
        const to = Math.max(0, Math.min(root.count - 1, root.currentIndex + by))
        if (to === root.currentIndex || root.count === 0)
            return
        root.currentIndex = to
        root.moved(to)
    }

    Words {
        visible: root.count === 0
        width: root.width
        text: root.empty
        color: Theme.soft
        wrapMode: Text.WordWrap
    }
    delegate: Rectangle {
        id: row
        required property int index
        required property string modelData
        readonly property bool chosen: row.index === root.currentIndex
        width: root.width
        height: root.wrapped ? Math.max(Theme.body * 2, line.implicitHeight + Theme.gap) : Theme.body * 2
        radius: Theme.gap * 0.5
        color: row.chosen ? Theme.chosen : "transparent"
        border.color: row.chosen && root.activeFocus ? Theme.focus : "transparent"
        border.width: Theme.ring
        Accessible.role: Accessible.ListItem
        Accessible.name: row.modelData
        Accessible.selected: row.chosen

        MouseArea {
            anchors.fill: parent
            onClicked: {
                root.currentIndex = row.index
                root.moved(row.index)
            }
            onDoubleClicked: root.taken(row.index)
        }
        Words {
            id: line
            anchors { fill: parent; leftMargin: Theme.gap * 1.2; rightMargin: Theme.gap * 1.2 }
            text: row.modelData
            wrapMode: root.wrapped ? Text.WordWrap : Text.NoWrap
            elide: root.wrapped ? Text.ElideNone : Text.ElideRight
            font.weight: row.chosen ? Font.DemiBold : Font.Normal
            Accessible.ignored: true
        }
    }
}
