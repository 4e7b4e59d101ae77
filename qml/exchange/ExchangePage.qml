// SPDX-License-Identifier: GPL-3.0-or-later
// The exchange with other stations: what each lacks, giving and taking files, contradictions settled by a person.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Dialogs
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property ExchangeDesk exchange
    required property Desk desk
    property bool active: false
    readonly property bool working: root.exchange.doing !== ""
    readonly property bool idle: root.active && !root.working
    signal closed()

    readonly property list<KeyAct> acts: [
        KeyAct { label: qsTr("exchange through the folder"); keyText: "Ctrl+Return"; sequence: "Ctrl+Return"; enabled: root.idle; onActivated: root.exchange.meet(folder.text, key.text) },
        KeyAct { label: qsTr("write all that is here"); keyText: "Ctrl+W"; sequence: "Ctrl+W"; enabled: root.idle; onActivated: root.exchange.give(folder.text, -1) },
        KeyAct { label: qsTr("write only what the chosen station lacks"); keyText: "Ctrl+Shift+W"; sequence: "Ctrl+Shift+W"; enabled: root.idle && stations.currentIndex > 0; onActivated: root.exchange.give(folder.text, stations.currentIndex) },
        KeyAct { label: qsTr("take in the file"); keyText: "Ctrl+T"; sequence: "Ctrl+T"; enabled: root.idle; onActivated: root.exchange.take(file.text, key.text) },
        KeyAct { label: qsTr("choose a folder"); keyText: "Ctrl+B"; sequence: "Ctrl+B"; enabled: root.idle; onActivated: folders.open() },
        KeyAct { label: qsTr("choose a file"); keyText: "Ctrl+O"; sequence: "Ctrl+O"; enabled: root.idle; onActivated: files.open() },
        KeyAct { label: qsTr("settle it by the chosen side"); keyText: "Ctrl+S"; sequence: "Ctrl+S"; enabled: root.idle && root.exchange.mayTake; onActivated: root.askReason() },
        KeyAct { label: root.working ? qsTr("stop") : qsTr("back"); keyText: "Esc"; sequence: "" }
    ]

    function begin() {
        folder.text = root.exchange.folder
        ;(root.exchange.conflicts.length > 0 ? conflicts : folder).forceActiveFocus(Qt.TabFocusReason)
    }
    function leave() {
        if (root.working)
            return root.exchange.stop()
        root.exchange.shown = false
        root.closed()
    }
    function askReason() {
        if (root.exchange.mayTake)
            reason.ask(qsTr("%1 settles it: %2 Why?").arg(root.desk.person).arg(root.exchange.outcome), qsTr("we looked at the jar together"), "settle")
    }
    onActiveChanged: if (root.active) root.begin()
    Keys.onEscapePressed: root.leave()

    Connections {
        target: root.exchange
        function onSettled() { conflicts.forceActiveFocus(Qt.TabFocusReason) }
    }
    FolderDialog {
        id: folders
        title: qsTr("The folder for exchange files: a stick, a shared folder")
        onAccepted: folder.text = root.exchange.localPath(selectedFolder)
    }
    FileDialog {
        id: files
        title: qsTr("An exchange file of another station")
        nameFilters: [qsTr("Exchange files (*.hfx)"), qsTr("All files (*)")]
        onAccepted: file.text = root.exchange.localPath(selectedFile)
    }
    DropArea {
        anchors.fill: parent
        enabled: root.idle
        onDropped: drop => {
            if (!drop.hasUrls)
                return
            file.text = root.exchange.localPath(drop.urls[0])
            root.exchange.take(file.text, key.text)
        }
    }

    component Labelled: Column {
        id: labelled
        required property string label
        default property alias content: place.data
        Layout.fillWidth: true
        spacing: Theme.gap * 0.3
        Words { text: labelled.label; color: Theme.soft; size: Theme.tiny; width: labelled.width; wrapMode: Text.WordWrap }
        Item { id: place; width: labelled.width; implicitHeight: childrenRect.height }
    }

    ColumnLayout {
        anchors.fill: parent
        spacing: Theme.gap

        PlaceHead {
            Layout.fillWidth: true
            Layout.margins: Theme.gap
            question: qsTr("What do the stations not know of each other?")
            answer: root.exchange.answer
            aside: root.working ? qsTr("%1 %  %2").arg(Math.floor(root.exchange.progress * 100)).arg(root.exchange.doing) : ""
        }
        Rectangle {
            visible: root.working
            Layout.fillWidth: true
            implicitHeight: Theme.gap
            radius: height / 2
            color: Theme.sunken
            Accessible.role: Accessible.ProgressBar
            Accessible.name: qsTr("%1: %2 percent").arg(root.exchange.doing).arg(Math.floor(root.exchange.progress * 100))
            Rectangle { width: parent.width * root.exchange.progress; height: parent.height; radius: height / 2; color: Theme.focus }
        }
        RowLayout {
            Layout.fillWidth: true
            Layout.fillHeight: true
            Layout.preferredHeight: 50
            spacing: Theme.gap
            Panel {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 55
                title: qsTr("Stations")
                aside: qsTr("key of this one: %1").arg(root.exchange.ownKey)
                RowList {
                    id: stations
                    anchors.fill: parent
                    spoken: qsTr("Stations, and what each had not seen")
                    rows: root.exchange.stations
                    current: 0
                    empty: qsTr("Copy the cruise file to another computer and make it a station there: holdfast station FILE --as deck")
                }
            }
            Panel {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 45
                title: qsTr("Give and take")
                aside: qsTr("a file may be dropped here, too")
                ColumnLayout {
                    anchors { fill: parent; margins: Theme.gap }
                    spacing: Theme.gap * 0.8
                    Labelled {
                        label: qsTr("folder: a stick, a shared folder (Enter exchanges through it: takes in theirs, leaves ours)")
                        TypeField { id: folder; width: parent.width; spoken: qsTr("Folder for exchange files"); onAccepted: if (root.idle) root.exchange.meet(text, key.text) }
                    }
                    Labelled {
                        label: qsTr("or one file of another station (Enter takes it in)")
                        TypeField { id: file; width: parent.width; spoken: qsTr("Exchange file to take in"); onAccepted: if (root.idle) root.exchange.take(text, key.text) }
                    }
                    Labelled {
                        label: qsTr("only for a new station: its key, typed as that station itself shows it (on this page there, or read out)")
                        TypeField { id: key; width: parent.width; spoken: qsTr("Key of a new station") }
                    }
                    ListView {
                        visible: root.exchange.report.length > 0
                        Layout.fillWidth: true
                        Layout.fillHeight: true
                        clip: true
                        model: root.exchange.report
                        Accessible.role: Accessible.List
                        Accessible.name: root.exchange.refused ? qsTr("What was done; something was refused") : qsTr("What was done")
                        delegate: Words {
                            required property string modelData
                            width: ListView.view.width
                            text: modelData
                            size: Theme.small
                            wrapMode: Text.WordWrap
                            elide: Text.ElideNone
                            color: modelData.startsWith("✗") ? Theme.bad : Theme.ink
                        }
                    }
                    Item { visible: root.exchange.report.length === 0; Layout.fillHeight: true }
                }
            }
        }
        AskLine {
            id: reason
            Layout.fillWidth: true
            trouble: root.desk.person === "" ? qsTr("Nobody is named: F9 first. A contradiction is settled by a person.") : ""
            onGiven: (purpose, text) => {
                if (root.desk.person === "")
                    return
                reason.done()
                root.exchange.settle(text)
            }
            onFinished: sides.forceActiveFocus(Qt.TabFocusReason)
        }
        RowLayout {
            Layout.fillWidth: true
            Layout.fillHeight: true
            Layout.preferredHeight: 50
            spacing: Theme.gap
            Panel {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 40
                title: qsTr("Contradictions between stations")
                aside: root.exchange.conflicts.length === 0 ? "" : qsTr("up and down choose, Enter goes to its sides")
                RowList {
                    id: conflicts
                    anchors.fill: parent
                    spoken: qsTr("Contradictions between stations")
                    rows: root.exchange.conflicts
                    current: root.exchange.conflict
                    empty: qsTr("None. What two stations say of the same thing without knowing of each other is listed here; nothing is chosen silently.")
                    onMoved: row => root.exchange.choose(row)
                    onTaken: sides.forceActiveFocus(Qt.TabFocusReason)
                }
            }
            Panel {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 60
                title: qsTr("Who says what, and what shall hold")
                aside: root.exchange.sides.length === 0 ? "" : qsTr("up and down choose a side, Enter settles, Left goes back")
                ColumnLayout {
                    anchors { fill: parent; leftMargin: Theme.gap; rightMargin: Theme.gap }
                    spacing: Theme.gap
                    RowList {
                        id: sides
                        Layout.fillWidth: true
                        Layout.fillHeight: true
                        spoken: qsTr("Sides of the contradiction")
                        wrapped: true
                        rows: root.exchange.sides
                        current: root.exchange.side
                        onMoved: row => root.exchange.chooseSide(row)
                        onTaken: if (root.idle) root.askReason()
                        Keys.onLeftPressed: conflicts.forceActiveFocus(Qt.TabFocusReason)
                    }
                    Words {
                        Layout.fillWidth: true
                        text: root.exchange.outcome === "" ? "" : (root.exchange.mayTake ? qsTr("→ %1") : qsTr("✕ %1")).arg(root.exchange.outcome)
                        color: root.exchange.mayTake ? Theme.ink : Theme.care
                        font.weight: Font.DemiBold
                        size: Theme.small
                        wrapMode: Text.WordWrap
                        elide: Text.ElideNone
                    }
                    Words { Layout.fillWidth: true; text: root.exchange.advice; color: Theme.soft; size: Theme.small; wrapMode: Text.WordWrap; elide: Text.ElideNone }
                }
            }
        }
    }
}
