// SPDX-License-Identifier: GPL-3.0-or-later
// The quick line: words in any order make the open stamp a sample. Above it stands what was understood, below
// it what Enter will do.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property DiveDesk dive
    signal finished()

    function take() {
        field.forceActiveFocus()
        field.cursorPosition = field.text.length
    }

    implicitHeight: rows.implicitHeight + Theme.gap * 2

    Rectangle { anchors.fill: parent; color: Theme.raised; radius: Theme.gap }
    ColumnLayout {
        id: rows
        anchors { left: parent.left; right: parent.right; top: parent.top; margins: Theme.gap; leftMargin: Theme.gap * 2; rightMargin: Theme.gap * 2 }
        spacing: Theme.gap * 0.7

        RowLayout {
            Layout.fillWidth: true
            spacing: Theme.gap
            Words {
                text: root.dive.openRow >= 0 ? qsTr("The stamp of %1").arg(root.dive.openText) : qsTr("No stamp is open")
                color: root.dive.openRow >= 0 ? Theme.ink : Theme.soft
                size: Theme.small
                font.weight: Font.DemiBold
            }
            Item { Layout.fillWidth: true; implicitHeight: Theme.small * 1.9 }
            KeyCap { visible: root.dive.offers.length > 0; text: "Tab" }
            Repeater {
                model: root.dive.offers
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
            enabled: root.dive.openRow >= 0
            focus: true
            spoken: qsTr("Quick line: slot, kind, count, words")
            placeholderText: root.dive.openRow >= 0 ? qsTr("b2  coral  white fan  3  @who  p:permit  t:tool") : ""
            text: root.dive.line
            onTextEdited: root.dive.line = text
            onAccepted: root.dive.place()
            Keys.onEscapePressed: root.finished()
            Keys.onTabPressed: event => {
                if (root.dive.offers.length > 0)
                    root.dive.takeOffer()
                else
                    event.accepted = false
            }
        }
        Flow {
            Layout.fillWidth: true
            visible: root.dive.openRow >= 0
            spacing: Theme.gap * 0.8
            Repeater {
                model: root.dive.parts
                delegate: Chip {}
            }
        }
        RowLayout {
            Layout.fillWidth: true
            spacing: Theme.gap
            KeyCap { visible: root.dive.ready; text: "Enter"; ink: Theme.ink }
            Words {
                Layout.fillWidth: true
                text: root.dive.advice
                color: root.dive.ready ? Theme.good : Theme.soft
                size: Theme.small
                wrapMode: Text.WordWrap
                maximumLineCount: 2
            }
        }
    }
}
