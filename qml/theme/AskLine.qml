// SPDX-License-Identifier: GPL-3.0-or-later
// Asks for one line of text; Enter gives it, Esc goes back.
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    property string question: ""
    property string example: ""
    property string trouble: "" // what was wrong with the last line
    property string purpose: "" // given back with the text
    signal given(purpose: string, text: string)
    signal finished()

    function ask(question: string, example: string, purpose: string) {
        root.question = question
        root.example = example
        root.purpose = purpose
        field.text = ""
        visible = true
        field.forceActiveFocus()
    }
    function done() {
        visible = false
        finished()
    }

    visible: false
    implicitHeight: rows.implicitHeight + Theme.gap * 2

    Rectangle { anchors.fill: parent; color: Theme.raised; radius: Theme.gap; border.color: Theme.focus; border.width: 1 }
    ColumnLayout {
        id: rows
        anchors { left: parent.left; right: parent.right; top: parent.top; margins: Theme.gap; leftMargin: Theme.gap * 2; rightMargin: Theme.gap * 2 }
        spacing: Theme.gap * 0.7
        Words { Layout.fillWidth: true; text: root.question; size: Theme.small; font.weight: Font.DemiBold; wrapMode: Text.WordWrap }
        TypeField {
            id: field
            Layout.fillWidth: true
            focus: true
            spoken: root.question
            placeholderText: root.example
            onAccepted: if (text.trim() !== "") root.given(root.purpose, text)
            Keys.onEscapePressed: root.done()
        }
        Words {
            Layout.fillWidth: true
            text: root.trouble === "" ? qsTr("Enter records it, Esc goes back.") : root.trouble
            color: root.trouble === "" ? Theme.soft : Theme.bad
            size: Theme.small
            wrapMode: Text.WordWrap
        }
    }
}
