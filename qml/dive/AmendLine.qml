// SPDX-License-Identifier: GPL-3.0-or-later
// Corrects the fields of a sample as one line, read as the quick line is. Enter goes on to the reason, Enter there
// records it.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property SampleDesk hand
    signal finished()

    function take() {
        reason.text = ""
        field.forceActiveFocus()
        field.cursorPosition = field.text.length
    }
    function leave() {
        root.hand.letGo()
        root.finished()
    }

    visible: root.hand.amending
    implicitHeight: rows.implicitHeight + Theme.gap * 2

    Rectangle { anchors.fill: parent; color: Theme.raised; radius: Theme.gap; border.color: Theme.focus; border.width: 1 }
    ColumnLayout {
        id: rows
        anchors { left: parent.left; right: parent.right; top: parent.top; margins: Theme.gap; leftMargin: Theme.gap * 2; rightMargin: Theme.gap * 2 }
        spacing: Theme.gap * 0.7
        RowLayout {
            Layout.fillWidth: true
            spacing: Theme.gap
            Words { text: qsTr("Amending %1").arg(root.hand.number); size: Theme.small; font.weight: Font.DemiBold; Layout.fillWidth: true }
            KeyCap { visible: root.hand.offers.length > 0; text: "Tab" }
            Repeater {
                model: root.hand.offers
                delegate: Words {
                    required property string modelData
                    required property int index
                    text: modelData.slice(modelData.lastIndexOf(" ") + 1)
                    color: index === 0 ? Theme.ink : Theme.soft
                    size: Theme.small
                }
            }
        }
        TypeField {
            id: field
            Layout.fillWidth: true
            focus: true
            spoken: qsTr("The sample's kind, count, words")
            text: root.hand.line
            onTextEdited: root.hand.line = text
            onAccepted: if (root.hand.ready) reason.forceActiveFocus()
            Keys.onEscapePressed: root.leave()
            Keys.onTabPressed: event => {
                if (root.hand.offers.length > 0)
                    root.hand.takeOffer()
                else
                    event.accepted = false
            }
        }
        Flow {
            Layout.fillWidth: true
            spacing: Theme.gap * 0.8
            Repeater { model: root.hand.parts; delegate: Chip {} }
        }
        TypeField {
            id: reason
            Layout.fillWidth: true
            enabled: root.hand.ready
            spoken: qsTr("Why, may be left empty")
            placeholderText: qsTr("why? (may be left empty)")
            onAccepted: {
                root.hand.amend(text)
                root.finished()
            }
            Keys.onEscapePressed: field.forceActiveFocus()
        }
        RowLayout {
            Layout.fillWidth: true
            spacing: Theme.gap
            KeyCap { visible: root.hand.ready; text: reason.activeFocus ? "Enter" : "Enter Enter"; ink: Theme.ink }
            Words {
                Layout.fillWidth: true
                text: root.hand.advice
                color: root.hand.ready ? Theme.good : Theme.soft
                size: Theme.small
                wrapMode: Text.WordWrap
                maximumLineCount: 3
            }
        }
    }
}
