// SPDX-License-Identifier: GPL-3.0-or-later
// Asks for a reason, offering those given before on this cruise.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property DiveDesk dive
    property string question: ""
    property string example: ""
    property string purpose: "" // what the reason is for, given back with it
    signal given(purpose: string, reason: string)
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
    function give(reason: string) {
        if (reason.trim() === "")
            return
        root.given(root.purpose, reason)
        done()
    }

    visible: false
    implicitHeight: rows.implicitHeight + Theme.gap * 2

    Rectangle { anchors.fill: parent; color: Theme.raised; radius: Theme.gap; border.color: Theme.care; border.width: 1 }
    ColumnLayout {
        id: rows
        anchors { left: parent.left; right: parent.right; top: parent.top; margins: Theme.gap; leftMargin: Theme.gap * 2; rightMargin: Theme.gap * 2 }
        spacing: Theme.gap * 0.7
        Words {
            Layout.fillWidth: true
            text: root.question
            size: Theme.small
            font.weight: Font.DemiBold
        }
        TypeField {
            id: field
            Layout.fillWidth: true
            focus: true
            spoken: qsTr("Reason")
            placeholderText: root.example
            onAccepted: root.give(text)
            Keys.onEscapePressed: root.done()
        }
        Flow {
            Layout.fillWidth: true
            spacing: Theme.gap
            Repeater {
                model: root.dive.reasons
                delegate: ActKey {
                    id: earlier
                    required property string modelData
                    required property int index
                    text: earlier.modelData
                    keyText: "Alt+" + "ABCDE".charAt(earlier.index)
                    onClicked: root.give(earlier.modelData)
                    KeyAct {
                        label: earlier.modelData
                        keyText: earlier.keyText
                        sequence: earlier.keyText
                        enabled: root.visible
                        onActivated: earlier.clicked()
                    }
                }
            }
            Words { visible: root.dive.reasons.length === 0; text: qsTr("Enter records it, Esc goes back."); color: Theme.soft; size: Theme.small }
        }
    }
}
