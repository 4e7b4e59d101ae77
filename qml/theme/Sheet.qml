// SPDX-License-Identifier: GPL-3.0-or-later
// A sheet that slides over the screen from the right; Esc sends it back.
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property string title
    property string hint: ""
    property real share: 0.36 // of the window's width
    readonly property bool shown: visible
    default property alias content: column.data
    signal opened()
    signal closed()

    function open() {
        visible = true
        forceActiveFocus()
        opened()
    }
    function close() {
        visible = false
        closed()
    }

    visible: false
    anchors.fill: parent
    Keys.onEscapePressed: root.close()
    Accessible.role: Accessible.Dialog
    Accessible.name: root.title

    Rectangle { anchors.fill: parent; color: Theme.ground; opacity: 0.7 }
    MouseArea { anchors.fill: parent; onClicked: root.close() }
    Rectangle {
        anchors { right: parent.right; top: parent.top; bottom: parent.bottom }
        width: Math.max(parent.width * root.share, Theme.body * 26)
        color: Theme.raised
        Rectangle { width: 1; height: parent.height; color: Theme.edge }
        MouseArea { anchors.fill: parent }
        ColumnLayout {
            id: column
            anchors { left: parent.left; right: parent.right; top: parent.top; margins: Theme.gap * 3 }
            spacing: Theme.gap * 1.5
            Words { text: root.title; size: Theme.large; font.weight: Font.DemiBold; Layout.fillWidth: true }
            Words {
                visible: root.hint !== ""
                text: root.hint
                color: Theme.soft
                size: Theme.small
                wrapMode: Text.WordWrap
                Layout.fillWidth: true
            }
        }
        Row {
            anchors { left: parent.left; bottom: parent.bottom; margins: Theme.gap * 3 }
            spacing: Theme.gap * 0.6
            KeyCap { text: "Esc" }
            Words { text: qsTr("back"); color: Theme.soft; size: Theme.tiny; anchors.verticalCenter: parent.verticalCenter }
        }
    }
}
