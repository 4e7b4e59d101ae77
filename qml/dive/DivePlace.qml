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
    required property PictureDesk pictures
    required property ShownUnits units
    property bool showsPictures: false
    property bool active: false
    signal feedsWanted()

    readonly property SampleDesk hand: root.dive.hand
    readonly property list<KeyAct> acts: [
        KeyAct { label: qsTr("stamp"); keyText: "Space"; sequence: "Space"; enabled: root.active; onActivated: root.dive.stamp() },
        KeyAct { label: qsTr("stamp while typing"); keyText: "Ctrl+Space"; sequence: "Ctrl+Space"; listed: false; enabled: root.active; onActivated: root.dive.stamp() },
        KeyAct { label: qsTr("failed"); keyText: "F7"; sequence: "F7"; enabled: root.active; onActivated: root.askReason(true) },
        KeyAct { label: qsTr("set aside"); keyText: "F8"; sequence: "F8"; enabled: root.active; onActivated: root.askReason(false) },
        KeyAct { label: qsTr("undo"); keyText: "Ctrl+Z"; sequence: "Ctrl+Z"; enabled: root.active && root.dive.undoText !== ""; onActivated: root.dive.undo() },
        KeyAct { label: root.dive.nextPhase === "" ? qsTr("phase") : root.dive.nextPhase; keyText: "F6"; sequence: "F6"; enabled: root.active && root.dive.nextPhase !== ""; onActivated: root.dive.reachNextPhase() },
        KeyAct { label: qsTr("lid"); keyText: "L"; sequence: "L"; enabled: root.active; onActivated: root.dive.toggleLid() },
        KeyAct { label: qsTr("reach"); keyText: "K"; sequence: "K"; enabled: root.active; onActivated: root.dive.toggleReach() },
        KeyAct { label: qsTr("reach of the whole tray"); keyText: "Shift+K"; sequence: "Shift+K"; listed: false; enabled: root.active; onActivated: root.dive.toggleTray() },
        KeyAct { label: qsTr("move"); keyText: "M"; sequence: "M"; enabled: root.active && root.hand.held; onActivated: root.hand.pickUp() },
        KeyAct { label: qsTr("exchange two samples (while moving)"); keyText: "E"; sequence: "E"; listed: false; enabled: root.active && root.hand.exchanges; onActivated: root.hand.exchange() },
        KeyAct { label: qsTr("amend"); keyText: "A"; sequence: "A"; enabled: root.active && root.hand.words !== ""; onActivated: root.amend() },
        KeyAct { label: root.hand.words !== "" && !root.hand.held ? qsTr("held again") : qsTr("lost"); keyText: "X"; sequence: "X"; enabled: root.active && root.hand.words !== ""; onActivated: root.askState(root.hand.held ? "lost" : "held") },
        KeyAct { label: qsTr("void: it never was a sample"); keyText: "V"; sequence: "V"; listed: false; enabled: root.active && root.hand.held; onActivated: root.askState("void") },
        KeyAct { label: qsTr("earlier sample in the list"); keyText: "PgDown"; sequence: "PgDown"; listed: false; enabled: root.active; onActivated: root.hand.step(1) },
        KeyAct { label: qsTr("later sample in the list"); keyText: "PgUp"; sequence: "PgUp"; listed: false; enabled: root.active; onActivated: root.hand.step(-1) },
        KeyAct { label: qsTr("next sample in a mixed slot"); keyText: "N"; sequence: "N"; listed: false; enabled: root.active; onActivated: root.hand.nextInSlot() },
        KeyAct { label: root.showsPictures ? qsTr("slots") : qsTr("pictures"); keyText: "P"; sequence: "P"; enabled: root.active; onActivated: root.showsPictures = !root.showsPictures },
        KeyAct { label: qsTr("feeds"); keyText: "F4"; sequence: "F4"; enabled: root.active; onActivated: root.feedsWanted() }
    ]

    function openRow(row: int) {
        root.hand.letGo()
        root.dive.open(row)
        if (root.dive.openRow >= 0)
            line.take()
    }
    function askReason(failed: bool) {
        root.hand.letGo()
        if (root.dive.openRow < 0)
            root.dive.open(0)
        if (root.dive.openRow < 0)
            return
        if (failed)
            reason.ask(qsTr("Why did the attempt of %1 fail?").arg(root.dive.openText), qsTr("lost at the box"), "failed")
        else
            reason.ask(qsTr("Why is %1 set aside?").arg(root.dive.openText), qsTr("pressed by mistake"), "set aside")
    }
    function askState(state: string) {
        root.hand.letGo()
        if (state === "lost")
            reason.ask(qsTr("How was %1 lost?").arg(root.hand.number), qsTr("spilled on the way up"), state)
        else if (state === "held")
            reason.ask(qsTr("Why is %1 held again?").arg(root.hand.number), qsTr("found at the bottom of the tray"), state)
        else
            reason.ask(qsTr("Why is %1 void?").arg(root.hand.number), qsTr("it was the shadow of the arm"), state)
    }
    function giveReason(purpose: string, why: string) {
        if (purpose === "failed")
            root.dive.fail(why)
        else if (purpose === "set aside")
            root.dive.setAside(why)
        else
            root.hand.setState(purpose, why)
    }
    function amend() {
        root.hand.beginAmend()
        amending.take()
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
        else if (event.key === Qt.Key_Escape && root.hand.carrying)
            root.hand.letGo()
        else if (event.key === Qt.Key_Return || event.key === Qt.Key_Enter) {
            if (root.hand.carrying)
                root.hand.putDown()
            else if (root.dive.ready)
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
            units: root.units
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
                title: root.showsPictures ? qsTr("The dive so far") : qsTr("Slots")
                aside: root.showsPictures ? qsTr("P goes back to the slots") : root.dive.slotPlan.counts
                PicturePanel {
                    visible: root.showsPictures
                    anchors.fill: parent
                    pictures: root.pictures
                }
                SlotPlan {
                    id: plan
                    opacity: root.showsPictures ? 0 : 1 // keeps the focus and the keys
                    anchors { fill: parent; bottomMargin: about.height + Theme.gap * 0.5 }
                    focus: true
                    activeFocusOnTab: true
                    dive: root.dive
                }
                Column { // the chosen slot and what lies in it, in words
                    id: about
                    visible: !root.showsPictures
                    anchors { left: parent.left; right: parent.right; bottom: parent.bottom; leftMargin: Theme.gap * 0.5; rightMargin: Theme.gap * 0.5 }
                    Words { width: parent.width; height: Theme.small * 1.35; text: root.hand.words; size: Theme.small }
                    Words { width: parent.width; text: root.dive.slotText; color: Theme.soft; size: Theme.small; wrapMode: Text.WordWrap; maximumLineCount: 2 }
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
                    visible: !reason.visible && !root.hand.carrying && !root.hand.amending
                    Layout.fillWidth: true
                    dive: root.dive
                    onFinished: plan.forceActiveFocus()
                }
                CarryLine {
                    Layout.fillWidth: true
                    hand: root.hand
                }
                AmendLine {
                    id: amending
                    Layout.fillWidth: true
                    hand: root.hand
                    onFinished: plan.forceActiveFocus()
                }
                ReasonLine {
                    id: reason
                    Layout.fillWidth: true
                    dive: root.dive
                    onGiven: (purpose, why) => root.giveReason(purpose, why)
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
            implicitHeight: Theme.body * 6.4
            DivePicture {
                anchors.fill: parent
                pictures: root.pictures
                kind: DivePicture.Depth
                Accessible.role: Accessible.Graphic
                Accessible.name: qsTr("Depth over time, with the samples")
            }
        }
        KeyBar {
            Layout.fillWidth: true
            Layout.leftMargin: Theme.gap
            acts: root.acts
        }
    }
}
