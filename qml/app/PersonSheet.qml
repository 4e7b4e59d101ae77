// SPDX-License-Identifier: GPL-3.0-or-later
// Who is logging from now on.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

Sheet {
    id: root
    required property Desk desk
    title: qsTr("Who is logging?")
    hint: qsTr("Every entry carries a name. Type it, or press the number of someone who logged before.")

    onOpened: {
        name.text = root.desk.person
        name.selectAll()
        name.forceActiveFocus()
    }

    TypeField {
        id: name
        Layout.fillWidth: true
        spoken: qsTr("Name of who is logging")
        placeholderText: qsTr("name")
        onAccepted: {
            root.desk.person = text
            root.close()
        }
    }
    Repeater {
        model: root.desk.people
        delegate: ActKey {
            id: someone
            required property string modelData
            required property int index
            Layout.fillWidth: true
            text: someone.modelData
            keyText: "Alt+" + (someone.index + 1)
            onClicked: {
                root.desk.person = someone.modelData
                root.close()
            }
            KeyAct {
                label: someone.modelData
                keyText: someone.keyText
                sequence: "Alt+" + (someone.index + 1)
                enabled: root.shown
                onActivated: someone.clicked()
            }
        }
    }
}
