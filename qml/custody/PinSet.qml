// SPDX-License-Identifier: GPL-3.0-or-later
// Sets the PIN of one side of a hand-over: the old one when there is one, then the new one twice.
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property CustodyDesk custody
    property bool ofReceiver: false
    readonly property string person: root.ofReceiver ? root.custody.receiver : root.custody.giver
    readonly property bool had: root.ofReceiver ? root.custody.receiverHasPin : root.custody.giverHasPin
    signal finished()

    function ask(ofReceiver: bool) {
        root.ofReceiver = ofReceiver
        for (const field of [old, fresh, again])
            field.text = ""
        visible = true
        ;(root.had ? old : fresh).forceActiveFocus()
    }
    function done() {
        visible = false
        for (const field of [old, fresh, again])
            field.text = ""
        finished()
    }

    visible: false
    implicitHeight: rows.implicitHeight + Theme.gap * 2

    Rectangle { anchors.fill: parent; color: Theme.raised; radius: Theme.gap; border.color: Theme.focus; border.width: 1 }
    ColumnLayout {
        id: rows
        anchors { left: parent.left; right: parent.right; top: parent.top; margins: Theme.gap }
        spacing: Theme.gap * 0.6
        Words { Layout.fillWidth: true; text: qsTr("%1 sets a PIN at this station: 4 to 12 digits, known to nobody else").arg(root.person); size: Theme.small; font.weight: Font.DemiBold; wrapMode: Text.WordWrap }
        RowLayout {
            Layout.fillWidth: true
            spacing: Theme.gap
            TypeField { id: old; visible: root.had; Layout.fillWidth: true; echoMode: TextInput.Password; spoken: qsTr("PIN until now"); placeholderText: qsTr("until now"); onAccepted: fresh.forceActiveFocus(); Keys.onEscapePressed: root.done() }
            TypeField { id: fresh; Layout.fillWidth: true; echoMode: TextInput.Password; spoken: qsTr("New PIN"); placeholderText: qsTr("new"); onAccepted: again.forceActiveFocus(); Keys.onEscapePressed: root.done() }
            TypeField { id: again; Layout.fillWidth: true; echoMode: TextInput.Password; spoken: qsTr("New PIN again"); placeholderText: qsTr("once more"); onAccepted: root.custody.setPin(root.ofReceiver, old.text, fresh.text, again.text); Keys.onEscapePressed: root.done() }
        }
        Words { Layout.fillWidth: true; text: qsTr("Enter goes on, Esc goes back. That a PIN was set is on record; the PIN is not."); color: Theme.soft; size: Theme.tiny; wrapMode: Text.WordWrap }
    }
}
