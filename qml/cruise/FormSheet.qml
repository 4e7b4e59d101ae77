// SPDX-License-Identifier: GPL-3.0-or-later
// Begins a cruise, or plans the next dive of the open one.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

Sheet {
    id: root
    required property CruiseDesk cruise
    property bool asDive: false
    title: root.asDive ? qsTr("Plan dive %1").arg(root.cruise.nextNumber) : qsTr("Begin a new cruise")
    hint: root.asDive ? qsTr("The loadout is kept with the dive as it is today: %1.").arg(root.cruise.loadoutWords)
                      : qsTr("The code stands in every sample's id: 2 to 16 capital letters, digits and dashes.")

    function ask(forDive: bool) {
        asDive = forDive
        first.text = ""
        second.text = forDive ? (root.cruise.firstLoadout) : "van"
        third.text = ""
        root.cruise.forgetTrouble()
        open()
        first.forceActiveFocus()
    }
    function give() {
        if (root.asDive)
            root.cruise.planDive(first.text, second.text)
        else
            root.cruise.begin(third.text, first.text, second.text)
    }

    Connections {
        target: root.cruise
        function onMade() { if (root.shown) root.close() }
    }

    Words { text: root.asDive ? qsTr("Vehicle") : qsTr("Cruise code"); color: Theme.soft; size: Theme.small }
    TypeField {
        id: first
        Layout.fillWidth: true
        focus: true
        spoken: root.asDive ? qsTr("Vehicle") : qsTr("Cruise code")
        onAccepted: second.forceActiveFocus(Qt.TabFocusReason)
    }
    Words { text: root.asDive ? qsTr("Loadout") : qsTr("This station (van, deck, wet lab)"); color: Theme.soft; size: Theme.small }
    TypeField {
        id: second
        Layout.fillWidth: true
        spoken: root.asDive ? qsTr("Loadout") : qsTr("Station")
        onAccepted: root.asDive ? root.give() : third.forceActiveFocus(Qt.TabFocusReason)
    }
    Words { visible: !root.asDive; text: qsTr("File"); color: Theme.soft; size: Theme.small }
    TypeField {
        id: third
        visible: !root.asDive
        Layout.fillWidth: true
        spoken: qsTr("Cruise file")
        placeholderText: qsTr("/home/van/TK26.hfc")
        onAccepted: root.give()
    }
    Words { text: root.cruise.trouble; visible: text !== ""; color: Theme.bad; size: Theme.small; wrapMode: Text.WordWrap; Layout.fillWidth: true }
    ActKey { text: root.asDive ? qsTr("Plan it") : qsTr("Begin"); keyText: "Enter"; onClicked: root.give() }
}
