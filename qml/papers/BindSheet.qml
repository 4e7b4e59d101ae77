// SPDX-License-Identifier: GPL-3.0-or-later
// A blank label was stuck on something: scan the label, then the thing. A scanner's Enter goes on by itself.
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

Sheet {
    id: root
    required property PapersDesk papers
    title: qsTr("Bind a blank label")
    hint: qsTr("Scan or type the label, then what it is on. The next pair can follow at once.")

    function give() {
        root.papers.bind(label.text, item.text, reason.text)
    }

    onOpened: {
        label.text = ""
        item.text = ""
        reason.text = ""
        label.forceActiveFocus(Qt.TabFocusReason)
    }
    Connections {
        target: root.papers
        function onBound() { if (root.shown) root.opened() }
    }

    Words { text: qsTr("Label"); color: Theme.soft; size: Theme.small }
    TypeField {
        id: label
        takesScans: true
        Layout.fillWidth: true
        focus: true
        spoken: qsTr("Blank label")
        placeholderText: "TK26-04-L017"
        onAccepted: item.forceActiveFocus(Qt.TabFocusReason)
    }
    Words { text: qsTr("It is on"); color: Theme.soft; size: Theme.small }
    TypeField {
        id: item
        takesScans: true
        Layout.fillWidth: true
        spoken: qsTr("Sample or specimen that carries it")
        placeholderText: "TK26-04-017.2"
        onAccepted: root.give()
    }
    Words { text: qsTr("Reason, when it was on something else before"); color: Theme.soft; size: Theme.small }
    TypeField {
        id: reason
        Layout.fillWidth: true
        spoken: qsTr("Reason for moving the label")
        onAccepted: root.give()
    }
    ActKey { text: qsTr("Bind it"); keyText: "Enter"; onClicked: root.give() }
}
