// SPDX-License-Identifier: GPL-3.0-or-later
// The Dive screen: "What is waiting for me?"
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property Desk desk
    required property DiveDesk dive
    required property FeedDesk feeds
    property bool active: false
    signal feedsWanted()

    readonly property list<KeyAct> acts: [
        KeyAct { label: qsTr("stamp"); keyText: "Space"; sequence: "Space"; enabled: root.active; onActivated: root.dive.stamp() },
        KeyAct { label: qsTr("stamp while typing"); keyText: "Ctrl+Space"; sequence: "Ctrl+Space"; listed: false; enabled: root.active; onActivated: root.dive.stamp() },
        KeyAct { label: qsTr("failed"); keyText: "F7"; sequence: "F7"; enabled: root.active; onActivated: root.askReason(true) },
        KeyAct { label: qsTr("set aside"); keyText: "F8"; sequence: "F8"; enabled: root.active; onActivated: root.askReason(false) },
        KeyAct { label: qsTr("undo"); keyText: "Ctrl+Z"; sequence: "Ctrl+Z"; enabled: root.active; onActivated: root.dive.undo() },
        KeyAct { label: root.dive.nextPhase === "" ? qsTr("phase") : root.dive.nextPhase; keyText: "F6"; sequence: "F6"; enabled: root.active && root.dive.nextPhase !== ""; onActivated: root.dive.reachNextPhase() },
        KeyAct { label: qsTr("lid"); keyText: "L"; sequence: "L"; enabled: root.active; onActivated: root.dive.toggleLid() },
        KeyAct { label: qsTr("reach"); keyText: "K"; sequence: "K"; enabled: root.active; onActivated: root.dive.toggleReach() },
        KeyAct { label: qsTr("feeds"); keyText: "F4"; sequence: "F4"; enabled: root.active; onActivated: root.feedsWanted() }
    ]

    function openRow(row: int) {
        root.dive.open(row)
        if (root.dive.openRow >= 0)
            line.take()
    }
    function askReason(failed: bool) {
        if (root.dive.openRow < 0)
            root.dive.open(0)
        if (root.dive.openRow >= 0)
            reason.ask(failed)
    }

    Keys.onPressed: event => {
        if (event.key >= Qt.Key_1 && event.key <= Qt.Key_9 && event.modifiers === Qt.NoModifier)
            root.openRow(event.key - Qt.Key_1)
        else if (event.key === Qt.Key_Left)
            root.dive.moveChoice(SlotModel.Left)
        else if (event.key === Qt.Key_Right)
            root.dive.moveChoice(SlotModel.Right)
        else if (event.key === Qt.Key_Up)
            root.dive.moveChoice(SlotModel.Up)
        else if (event.key === Qt.Key_Down)
            root.dive.moveChoice(SlotModel.Down)
        else if (event.key === Qt.Key_Return || event.key === Qt.Key_Enter) {
            if (root.dive.ready)
                root.dive.place()
            else
                root.openRow(Math.max(0, root.dive.openRow))
        } else
            return
        event.accepted = true
    }

    Connections {
        target: root.dive
        function onPlaced() { plan.forceActiveFocus() }
    }

    ColumnLayout {
        anchors { fill: parent; margins: Theme.gap * 1.5 }
        spacing: Theme.gap

        DiveHeader {
            Layout.fillWidth: true
            feeds: root.feeds
            dive: root.dive
            desk: root.desk
        }
        PlaceHead {
            Layout.fillWidth: true
            Layout.leftMargin: Theme.gap
            Layout.rightMargin: Theme.gap
            question: qsTr("What is waiting for me?")
            answer: root.dive.answer
            aside: root.feeds.feedsLine
        }
        RowLayout {
            Layout.fillWidth: true
            Layout.fillHeight: true
            spacing: Theme.gap
            Panel {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 52
                title: qsTr("Slots")
                aside: root.dive.slotPlan.counts
                SlotPlan {
                    id: plan
                    anchors.fill: parent
                    focus: true
                    activeFocusOnTab: true
                    dive: root.dive
                }
            }
            ColumnLayout {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 48
                spacing: Theme.gap
                WaitingList {
                    Layout.fillWidth: true
                    Layout.fillHeight: true
                    Layout.preferredHeight: 34
                    dive: root.dive
                }
                QuickLine {
                    id: line
                    visible: !reason.visible
                    Layout.fillWidth: true
                    dive: root.dive
                    onFinished: plan.forceActiveFocus()
                }
                ReasonLine {
                    id: reason
                    Layout.fillWidth: true
                    dive: root.dive
                    onFinished: plan.forceActiveFocus()
                }
                SampleList {
                    Layout.fillWidth: true
                    Layout.fillHeight: true
                    Layout.preferredHeight: 66
                    dive: root.dive
                }
            }
        }
        Panel {
            Layout.fillWidth: true
            implicitHeight: Theme.body * 5.6
            DepthStrip {
                anchors.fill: parent
                feeds: root.feeds
                desk: root.desk
            }
        }
        KeyBar {
            Layout.fillWidth: true
            Layout.leftMargin: Theme.gap
            acts: root.acts
        }
    }
}
