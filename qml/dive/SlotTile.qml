// SPDX-License-Identifier: GPL-3.0-or-later
// One slot on the plan. What it holds is told by words, fill and outline: thin and empty is free, thick and
// filled is taken, double is mixed, crossed is out of reach; an open lid stands off at the top, a shut one lies on it.
import QtQuick
import QtQuick.Controls.Basic
import QtQuick.Shapes
import Holdfast.Ui

AbstractButton {
    id: root
    required property int index
    required property string code
    required property string stateWord
    required property string numbers
    required property int look // SlotModel.Look
    required property bool isRound
    required property bool lidOpen
    required property string lidText
    required property bool beside
    required property rect place
    required property string spoken
    property bool chosen: false
    property bool small: false // room for the code alone
    property string carried: "" // the number of the sample on its way here
    readonly property bool holds: look === SlotModel.Taken || look === SlotModel.Mixed
    readonly property color line: root.holds ? Theme.ink : Theme.edge

    focusPolicy: Qt.NoFocus
    Accessible.role: Accessible.ListItem
    Accessible.name: root.spoken
    Accessible.selected: root.chosen

    background: Item {
        Rectangle { // the chosen one lifts
            visible: root.chosen
            anchors { fill: parent; margins: -Theme.ring * 1.6 }
            radius: root.isRound ? width / 2 : Theme.gap * 0.7
            color: Theme.chosen
            border.color: Theme.focus
            border.width: Theme.ring
        }
        Rectangle {
            anchors.fill: parent
            radius: root.isRound ? width / 2 : Theme.gap * 0.4
            color: root.holds ? Theme.held : "transparent"
            border.color: root.line
            border.width: root.holds ? Theme.ring * 0.8 : 1
        }
        Rectangle { // mixed: a second outline inside
            visible: root.look === SlotModel.Mixed
            anchors { fill: parent; margins: Theme.ring * 1.8 }
            radius: root.isRound ? width / 2 : Theme.gap * 0.3
            color: "transparent"
            border.color: root.line
            border.width: 1
        }
        Shape { // out of reach: crossed
            visible: root.look === SlotModel.Unusable || root.stateWord.endsWith(qsTr("out of reach"))
            anchors { fill: parent; margins: root.isRound ? parent.width * 0.15 : 0 }
            ShapePath {
                strokeColor: Theme.edge
                strokeWidth: 1
                fillColor: "transparent"
                startX: 0; startY: 0
                PathLine { x: root.isRound ? root.width * 0.7 : root.width; y: root.isRound ? root.height * 0.7 : root.height }
                PathMove { x: root.isRound ? root.width * 0.7 : root.width; y: 0 }
                PathLine { x: 0; y: root.isRound ? root.height * 0.7 : root.height }
            }
        }
        Rectangle { // lid open: a bar standing off at the top
            visible: root.lidOpen
            width: parent.width * 0.6
            height: Theme.ring * 1.6
            y: -Theme.ring * 0.8
            anchors.horizontalCenter: parent.horizontalCenter
            color: Theme.care
        }
        Rectangle { // lid shut: a line across the top
            visible: root.lidText !== "" && !root.lidOpen
            anchors { left: parent.left; right: parent.right; top: parent.top; topMargin: Theme.ring * 2.2; leftMargin: Theme.ring * 2; rightMargin: Theme.ring * 2 }
            height: 1
            color: root.line
        }
    }
    contentItem: Item {
        Column {
            anchors.centerIn: parent
            width: parent.width - Theme.gap * 0.4
            Words {
                width: parent.width
                horizontalAlignment: Text.AlignHCenter
                text: root.small || root.isRound || root.numbers === "" || root.look === SlotModel.Mixed ? root.code : root.code + "  ·  " + root.numbers
                color: root.holds || root.chosen ? Theme.ink : Theme.soft
                size: root.isRound ? Math.min(Theme.small, root.width * (root.small ? 0.4 : 0.32)) : root.small ? Math.min(Theme.small, root.height * 0.6) : Theme.small
                font.weight: Font.DemiBold
                Accessible.ignored: true
            }
            Words {
                visible: !root.small && (!root.isRound || root.numbers !== "")
                width: parent.width
                horizontalAlignment: Text.AlignHCenter
                text: root.isRound ? root.numbers : root.look === SlotModel.Mixed ? root.numbers : root.stateWord
                color: root.holds ? Theme.ink : Theme.soft
                size: root.isRound ? Math.min(Theme.tiny, root.width * 0.28) : Theme.tiny
                Accessible.ignored: true
            }
            Words {
                visible: !root.small && text !== ""
                width: parent.width
                horizontalAlignment: Text.AlignHCenter
                text: root.carried !== "" ? "▸ " + root.carried : root.isRound ? "" : root.beside ? "! " + root.lidText : root.lidText
                color: root.carried !== "" ? Theme.ink : root.lidOpen || root.beside ? Theme.care : Theme.soft
                size: root.isRound ? Math.min(Theme.tiny, root.width * 0.28) : Theme.tiny
                font.weight: root.carried !== "" ? Font.DemiBold : Font.Normal
                Accessible.ignored: true
            }
        }
    }
}
