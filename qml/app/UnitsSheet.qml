// SPDX-License-Identifier: GPL-3.0-or-later
// How positions and times are shown.
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

Sheet {
    id: root
    required property ShownUnits units
    title: qsTr("How it is shown")
    hint: qsTr("The record itself is always in UTC and decimal degrees.")

    onOpened: {
        offset.text = root.units.offset.replace("UTC", "")
        offset.forceActiveFocus()
    }

    Words { text: qsTr("Positions"); color: Theme.soft; size: Theme.small }
    ActKey {
        Layout.fillWidth: true
        text: (root.units.decimalDegrees ? "   " : "✓ ") + qsTr("degrees and decimal minutes, 21° 04.5521′ S")
        keyText: "Alt+M"
        chosen: !root.units.decimalDegrees
        onClicked: root.units.decimalDegrees = false
    }
    ActKey {
        Layout.fillWidth: true
        text: (root.units.decimalDegrees ? "✓ " : "   ") + qsTr("decimal degrees, 21.075868° S")
        keyText: "Alt+D"
        chosen: root.units.decimalDegrees
        onClicked: root.units.decimalDegrees = true
    }
    KeyAct { label: qsTr("degrees and minutes"); keyText: "Alt+M"; sequence: "Alt+M"; enabled: root.shown; onActivated: root.units.decimalDegrees = false }
    KeyAct { label: qsTr("decimal degrees"); keyText: "Alt+D"; sequence: "Alt+D"; enabled: root.shown; onActivated: root.units.decimalDegrees = true }
    Words { text: qsTr("Local time beside UTC, for this cruise (empty: UTC only)"); color: Theme.soft; size: Theme.small; Layout.topMargin: Theme.gap; wrapMode: Text.WordWrap; Layout.fillWidth: true }
    TypeField {
        id: offset
        Layout.fillWidth: true
        spoken: qsTr("Hours that local time is ahead of UTC")
        placeholderText: qsTr("+12:45")
        onAccepted: if (root.units.setOffset(text)) root.close()
    }
    Words { visible: text !== ""; text: root.units.trouble; color: Theme.bad; size: Theme.small; wrapMode: Text.WordWrap; Layout.fillWidth: true }
}
