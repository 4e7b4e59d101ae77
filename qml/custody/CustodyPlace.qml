// SPDX-License-Identifier: GPL-3.0-or-later
// The Custody screen: "Who has what?" Threads through lanes above, who has what and what waits below.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property CustodyDesk custody
    property bool active: false
    readonly property bool free: root.active && root.custody.step === 0

    readonly property list<KeyAct> acts: [
        KeyAct { label: qsTr("hand over"); keyText: "H"; sequence: "H"; enabled: root.free; onActivated: root.custody.begin() },
        KeyAct { label: qsTr("receive what waits"); keyText: "R"; sequence: "R"; enabled: root.free && root.custody.waiting.length > 0; onActivated: root.custody.beginReceiving(Math.max(0, waiting.currentIndex)) },
        KeyAct { label: qsTr("next step, or both confirm"); keyText: "Ctrl+Return"; sequence: "Ctrl+Return"; enabled: root.active && root.custody.step > 0; onActivated: page.go() },
        KeyAct { label: qsTr("relinquish only, it waits"); keyText: "Ctrl+O"; sequence: "Ctrl+O"; enabled: root.active && root.custody.step === 2 && root.custody.code === ""; onActivated: page.offerOnly() },
        KeyAct { label: qsTr("set a PIN for who is in hand"); keyText: "Ctrl+P"; sequence: "Ctrl+P"; enabled: root.active && root.custody.step === 2; onActivated: page.setPin() },
        KeyAct { label: qsTr("clear PINs and signatures"); keyText: "Ctrl+Del"; sequence: "Ctrl+Del"; enabled: root.active && root.custody.step === 2; onActivated: page.clearSignatures() }
    ]

    Connections {
        target: root.custody
        function onStepChanged() {
            if (root.active && root.custody.step === 0)
                lanes.forceActiveFocus()
        }
    }

    ColumnLayout {
        anchors { fill: parent; margins: Theme.gap * 1.5 }
        spacing: Theme.gap

        PlaceHead {
            Layout.fillWidth: true
            Layout.margins: Theme.gap
            question: qsTr("Who has what?")
            answer: root.custody.answer
        }
        HandOverPage {
            id: page
            visible: root.custody.step > 0
            Layout.fillWidth: true
            Layout.fillHeight: true
            custody: root.custody
            active: root.active
        }
        Panel {
            visible: root.custody.step === 0
            Layout.fillWidth: true
            Layout.fillHeight: true
            Layout.preferredHeight: 60
            title: qsTr("Lanes of custody, this dive")
            aside: qsTr("solid: held · dashed: in transit · dotted: nobody recorded · !: a break that nobody explained")
            CustodyLanes {
                id: lanes
                focus: true
                anchors.fill: parent
                desk: root.custody
                Accessible.role: Accessible.Graphic
                Accessible.name: qsTr("Lanes: %1").arg(lanes.words)
            }
        }
        RowLayout {
            visible: root.custody.step === 0
            Layout.fillWidth: true
            Layout.fillHeight: true
            Layout.preferredHeight: 40
            spacing: Theme.gap
            Panel {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 40
                title: qsTr("Who has how many, whole cruise")
                RowList {
                    anchors.fill: parent
                    spoken: qsTr("Who has how many")
                    rows: root.custody.holders
                    empty: qsTr("As soon as samples are logged, this says who answers for them.")
                }
            }
            Panel {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 60
                title: qsTr("Waiting for their receiver")
                aside: qsTr("R receives the chosen one")
                RowList {
                    id: waiting
                    anchors.fill: parent
                    spoken: qsTr("Hand-overs waiting for their receiver")
                    rows: root.custody.waiting
                    current: 0
                    empty: qsTr("Nothing is in transit. H begins a hand-over: collect by scanning, then both sides confirm.")
                    onTaken: row => root.custody.beginReceiving(row)
                }
            }
        }
        KeyBar {
            Layout.fillWidth: true
            Layout.leftMargin: Theme.gap
            acts: root.acts
        }
    }
}
