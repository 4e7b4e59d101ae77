// SPDX-License-Identifier: GPL-3.0-or-later
// The places along the left edge, in the order of the work, and who is logging.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Controls.Basic
import QtQuick.Layouts
import Holdfast.Ui

Rectangle {
    id: root
    required property Places places
    required property Desk desk
    signal personWanted()
    signal keysWanted()

    implicitWidth: Theme.body * 9.2
    color: Theme.raised
    Accessible.role: Accessible.PageTabList
    Accessible.name: qsTr("Places")

    ColumnLayout {
        anchors { fill: parent; topMargin: Theme.gap * 1.5; bottomMargin: Theme.gap * 1.5 }
        spacing: Theme.gap * 0.25

        Words {
            text: root.desk.open ? root.desk.cruiseCode : qsTr("Holdfast")
            size: Theme.large
            font.weight: Font.DemiBold
            Layout.leftMargin: Theme.gap * 2
        }
        Words {
            text: root.desk.open ? root.desk.diveName : qsTr("no cruise open")
            color: Theme.soft
            size: Theme.small
            Layout.leftMargin: Theme.gap * 2
            Layout.bottomMargin: Theme.gap * 1.5
        }
        Repeater {
            model: root.places
            delegate: PlaceTab {
                Layout.fillWidth: true
                chosen: index === root.places.current
                onClicked: root.places.current = index
            }
        }
        Item { Layout.fillHeight: true }
        AbstractButton {
            id: who
            Layout.fillWidth: true
            focusPolicy: Qt.NoFocus
            padding: Theme.gap * 2
            topPadding: Theme.gap
            bottomPadding: Theme.gap
            Accessible.role: Accessible.Button
            Accessible.name: qsTr("Logging: %1. Key F9 changes it").arg(root.desk.person)
            onClicked: root.personWanted()
            contentItem: Column {
                spacing: Theme.gap * 0.3
                Words { text: qsTr("logging"); color: Theme.soft; size: Theme.tiny }
                Words {
                    width: parent.width
                    text: root.desk.person === "" ? qsTr("nobody yet") : root.desk.person
                    color: root.desk.person === "" ? Theme.care : Theme.ink
                    size: Theme.body
                    font.weight: Font.DemiBold
                }
                Row {
                    spacing: Theme.gap * 0.6
                    KeyCap { text: "F9" }
                    Words { text: qsTr("change"); color: Theme.soft; size: Theme.tiny; anchors.verticalCenter: parent.verticalCenter }
                }
            }
        }
        Row {
            Layout.leftMargin: Theme.gap * 2
            spacing: Theme.gap * 0.6
            KeyCap { text: "F1" }
            Words { text: qsTr("all keys"); color: Theme.soft; size: Theme.tiny; anchors.verticalCenter: parent.verticalCenter }
        }
    }
}
