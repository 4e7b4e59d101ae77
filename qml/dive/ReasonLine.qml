// SPDX-License-Identifier: GPL-3.0-or-later
// Why the open stamp became no sample: a few words, kept with it.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property DiveDesk dive
    property bool failed: true // else set aside
    signal finished()

    function ask(asFailed: bool) {
        failed = asFailed
        field.text = ""
        visible = true
        field.forceActiveFocus()
    }
    function done() {
        visible = false
        finished()
    }
    function give(reason: string) {
        if (reason === "")
            return
        if (root.failed)
            root.dive.fail(reason)
        else
            root.dive.setAside(reason)
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
            text: root.failed ? qsTr("Why did the attempt of %1 fail?").arg(root.dive.openText)
                              : qsTr("Why is %1 set aside?").arg(root.dive.openText)
            size: Theme.small
            font.weight: Font.DemiBold
        }
        TypeField {
            id: field
            Layout.fillWidth: true
            focus: true
            spoken: qsTr("Reason")
            placeholderText: root.failed ? qsTr("lost at the box") : qsTr("pressed by mistake")
            onAccepted: root.give(text)
            Keys.onEscapePressed: root.done()
        }
        Row {
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
