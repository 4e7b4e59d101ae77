// SPDX-License-Identifier: GPL-3.0-or-later
// The Cruise place: opens a cruise, begins one, plans its dives. Without a cruise it teaches how to begin.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Dialogs
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property Desk desk
    required property CruiseDesk cruise
    required property ExchangeDesk exchange
    property bool active: false
    readonly property bool choosing: opening.visible
    readonly property bool meeting: root.desk.open && root.exchange.shown
    readonly property bool free: root.active && !root.meeting
    signal formWanted(asDive: bool)
    signal loadoutWanted(templateName: string)

    readonly property list<KeyAct> acts: [
        KeyAct { label: qsTr("open a cruise file"); keyText: "Ctrl+O"; sequence: "Ctrl+O"; enabled: root.free; onActivated: opening.open() },
        KeyAct { label: qsTr("begin a new cruise"); keyText: "Ctrl+N"; sequence: "Ctrl+N"; enabled: root.free; onActivated: root.formWanted(false) },
        KeyAct { label: qsTr("plan the next dive"); keyText: "Ctrl+D"; sequence: "Ctrl+D"; enabled: root.free && root.desk.open; onActivated: root.formWanted(true) },
        KeyAct { label: qsTr("make a loadout"); keyText: "Ctrl+L"; sequence: "Ctrl+L"; enabled: root.free; onActivated: line.ask(qsTr("Begin with a copy of which loadout? There are: %1; \"empty\" begins with an empty plan.").arg(root.cruise.loadoutWords), root.cruise.firstLoadout, "loadout") },
        KeyAct { label: qsTr("exchange with other stations"); keyText: "F5"; sequence: ""; enabled: root.free && root.desk.open }
    ]
    readonly property var shownActs: root.meeting ? page.acts : root.acts

    onActiveChanged: if (root.active && root.meeting) page.begin()

    FileDialog {
        id: opening
        title: qsTr("Open a cruise file")
        nameFilters: [qsTr("Cruise files (*.hfc)"), qsTr("All files (*)")]
        onAccepted: root.desk.openUrl(selectedFile)
    }

    ColumnLayout {
        anchors { fill: parent; margins: Theme.gap * 1.5 }
        spacing: Theme.gap

        PlaceHead {
            Layout.fillWidth: true
            Layout.margins: Theme.gap
            visible: !root.meeting
            question: qsTr("Which cruise is this?")
            answer: root.desk.open ? root.desk.cruiseCode : qsTr("none is open")
            aside: root.desk.open ? qsTr("station %1  ·  %2").arg(root.desk.stationName).arg(root.desk.path) : ""
        }
        AskLine {
            id: line
            Layout.fillWidth: true
            onGiven: (purpose, text) => {
                line.done()
                root.loadoutWanted(text.trim() === "empty" ? "" : text.trim())
            }
            onFinished: root.forceActiveFocus()
        }
        ExchangePage {
            id: page
            visible: root.meeting
            Layout.fillWidth: true
            Layout.fillHeight: true
            exchange: root.exchange
            desk: root.desk
            active: root.active && root.meeting
            onClosed: dives.forceActiveFocus()
        }
        Panel {
            visible: root.desk.open && !root.meeting
            Layout.fillWidth: true
            Layout.fillHeight: true
            title: qsTr("Dives")
            aside: root.cruise.dives.length === 0 ? "" : qsTr("up and down choose, Enter goes to the Dive screen")
            RowList {
                id: dives
                anchors.fill: parent
                focus: root.desk.open && !root.meeting
                spoken: qsTr("Dives of this cruise")
                rows: root.cruise.dives
                current: root.cruise.currentDive
                empty: qsTr("No dive yet. Ctrl+D plans the first one: a number, a vehicle and a loadout.")
                onMoved: row => root.cruise.showDiveRow(row)
                onTaken: root.desk.wantPlace("dive")
            }
        }
        Panel {
            visible: !root.desk.open
            Layout.fillWidth: true
            Layout.fillHeight: true
            title: qsTr("To begin")
            // No layout here: it would measure wrapped text before it has its width.
            Column {
                id: begin
                anchors { left: parent.left; right: parent.right; top: parent.top; margins: Theme.gap * 2 }
                spacing: Theme.gap * 1.5
                Words { text: qsTr("Holdfast keeps the record of every sample from the key press on the sea floor to the archive. All of a cruise is in one file."); wrapMode: Text.WordWrap; width: begin.width }
                BeginLine { width: begin.width; keyText: "Ctrl+O"; said: qsTr("opens a cruise file (its name ends in .hfc)") }
                BeginLine { width: begin.width; keyText: "Ctrl+N"; said: qsTr("begins a new cruise") }
                BeginLine { width: begin.width; keyText: ""; said: qsTr("To look around first, make the invented demo cruise in a terminal:  holdfast demo DIR  and open DIR/cruise.hfc") }
                Words { visible: root.cruise.recent.length > 0; text: qsTr("Opened before (up and down choose, Enter opens):"); color: Theme.soft; size: Theme.small; topPadding: Theme.gap * 2 }
                RowList {
                    visible: root.cruise.recent.length > 0
                    focus: !root.desk.open
                    width: begin.width
                    height: Theme.body * 12
                    spoken: qsTr("Cruise files opened before")
                    rows: root.cruise.recent
                    current: 0
                    onTaken: row => root.desk.openFile(root.cruise.recent[row])
                }
            }
        }
        KeyBar {
            Layout.fillWidth: true
            Layout.leftMargin: Theme.gap
            acts: root.shownActs
        }
    }
}
