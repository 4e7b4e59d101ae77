// SPDX-License-Identifier: GPL-3.0-or-later
// The loadout from above, to scale, bow up. Arrows move the choice; the screen above handles the keys.
pragma ComponentBehavior: Bound
import QtQuick
import Holdfast.Ui

Item {
    id: root
    required property DiveDesk dive
    property bool active: true // false: only looked at, nothing is chosen
    property bool small: false // each slot only by its code
    property string lifted: "" // the code of a slot that stands out where nothing is chosen

    Accessible.role: Accessible.List
    Accessible.name: root.lifted !== "" ? qsTr("%1 on the slot plan, bow up").arg(root.lifted) : qsTr("Slot plan, bow up. %1").arg(root.dive.slotPlan.counts)

    Item {
        id: field
        readonly property real room: root.height - Theme.small * 1.4
        readonly property real aspect: root.dive.slotPlan.aspect
        width: Math.min(root.width, room * aspect)
        height: width / aspect
        anchors { horizontalCenter: parent.horizontalCenter; top: parent.top; topMargin: Theme.small * 1.4 }

        Repeater {
            model: root.dive.boxes
            delegate: Item {
                id: box
                required property string title
                required property rect place
                x: box.place.x * field.width
                y: box.place.y * field.height
                width: box.place.width * field.width
                height: box.place.height * field.height
                Rectangle {
                    anchors.fill: parent
                    color: Theme.ground
                    border.color: Theme.rule
                    border.width: 1
                    radius: Theme.gap * 0.5
                }
                Rectangle { // the title sits on the box's upper edge
                    x: Theme.gap * 0.5
                    anchors { bottom: parent.top; bottomMargin: -Theme.gap * 0.35 }
                    width: name.width + Theme.gap * 0.6
                    height: name.height * 0.86
                    color: Theme.raised
                    Words {
                        id: name
                        anchors.centerIn: parent
                        width: Math.min(implicitWidth, box.width - Theme.gap * 1.5)
                        text: box.title
                        color: Theme.soft
                        size: Theme.tiny
                    }
                }
            }
        }
        Repeater {
            model: root.dive.slotPlan
            delegate: SlotTile {
                id: tile
                x: tile.place.x * field.width
                y: tile.place.y * field.height
                width: tile.place.width * field.width
                height: tile.place.height * field.height
                chosen: root.active ? tile.index === root.dive.chosenSlot : tile.code === root.lifted
                small: root.small
                carried: root.active && tile.chosen && root.dive.hand.carrying ? root.dive.hand.number : ""
                onClicked: if (root.active) root.dive.chooseSlot(tile.index)
            }
        }
    }
    Words { anchors.horizontalCenter: parent.horizontalCenter; y: 0; text: qsTr("bow"); color: Theme.soft; size: Theme.tiny }
}
