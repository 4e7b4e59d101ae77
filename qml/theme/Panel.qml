// SPDX-License-Identifier: GPL-3.0-or-later
// A raised area with a title.
import QtQuick
import Holdfast.Ui

Rectangle {
    id: root
    property string title: ""
    property string aside: "" // small words at the right of the title
    default property alias content: inside.data

    color: Theme.raised
    radius: Theme.gap
    Accessible.role: Accessible.Grouping
    Accessible.name: title

    Words {
        id: head
        visible: root.title !== ""
        anchors { left: parent.left; top: parent.top; leftMargin: Theme.gap * 1.5; topMargin: Theme.gap }
        text: root.title
        color: Theme.soft
        size: Theme.small
        font.weight: Font.DemiBold
    }
    Words {
        visible: root.aside !== ""
        anchors { right: parent.right; left: head.right; baseline: head.baseline; rightMargin: Theme.gap * 1.5; leftMargin: Theme.gap }
        horizontalAlignment: Text.AlignRight
        text: root.aside
        color: Theme.soft
        size: Theme.tiny
    }
    Item {
        id: inside
        anchors {
            fill: parent
            topMargin: root.title === "" ? Theme.gap : head.height + Theme.gap * 1.6
            leftMargin: Theme.gap; rightMargin: Theme.gap; bottomMargin: Theme.gap
        }
    }
}
