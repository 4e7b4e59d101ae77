// SPDX-License-Identifier: GPL-3.0-or-later
// The Ready place: "What is left to ready?"
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property Desk desk
    required property ReadyDesk ready
    property bool active: false
    signal feedsWanted()

    readonly property list<KeyAct> acts: [
        KeyAct { label: qsTr("choose a point"); keyText: "Up, Down"; sequence: ""; enabled: root.active },
        KeyAct { label: qsTr("in order"); keyText: "Enter"; sequence: ""; enabled: root.active },
        KeyAct { label: qsTr("not in order"); keyText: "N"; sequence: "N"; enabled: root.active && list.currentIndex >= 0; onActivated: line.ask(qsTr("What is not in order?"), qsTr("mud left in C3"), "refuse") },
        KeyAct { label: qsTr("watch"); keyText: "W"; sequence: "W"; enabled: root.active; onActivated: line.ask(qsTr("Who has which post? The post, then the name; \"off\" as name leaves it empty."), qsTr("pilot Tomas"), "watch") },
        KeyAct { label: qsTr("permit"); keyText: "P"; sequence: "P"; enabled: root.active; onActivated: line.ask(qsTr("What does a permit allow? The word typed behind p:, the number for this cruise, the permit's name; \"off\" as number takes it away."), qsTr("stony 10 permit 26/17"), "permit") },
        KeyAct { label: qsTr("collection plan"); keyText: "C"; sequence: "C"; enabled: root.active; onActivated: line.ask(qsTr("What is wanted of this dive? A kind or family, at least and at most; \"cruise\" behind it counts over the cruise, \"off\" takes it away."), qsTr("coral 2-6"), "plan") },
        KeyAct { label: qsTr("undo"); keyText: "Ctrl+Z"; sequence: "Ctrl+Z"; enabled: root.active; onActivated: root.ready.undo() },
        KeyAct { label: qsTr("feeds"); keyText: "F4"; sequence: "F4"; enabled: root.active; onActivated: root.feedsWanted() }
    ]

    function give(purpose: string, text: string) {
        let good = true
        if (purpose === "refuse")
            root.ready.refuse(list.currentIndex, text)
        else if (purpose === "watch")
            good = root.ready.addWatch(text)
        else if (purpose === "permit")
            good = root.ready.addPermit(text)
        else
            good = root.ready.addWanted(text)
        if (good)
            line.done()
    }
    function confirm() {
        root.ready.confirm(list.currentIndex)
        if (list.currentIndex < list.count - 1)
            ++list.currentIndex
    }

    component Rows: Column {
        id: rows
        required property var lines // a QStringList
        required property string keyText
        required property string empty
        anchors { left: parent.left; right: parent.right; top: parent.top; leftMargin: Theme.gap * 0.5; rightMargin: Theme.gap * 0.5 }
        spacing: Theme.gap * 0.5
        Repeater {
            model: rows.lines
            delegate: Words {
                required property string modelData
                width: rows.width
                text: modelData
                color: modelData.includes("!") ? Theme.care : Theme.ink
                size: Theme.small
            }
        }
        Words { visible: rows.lines.length === 0; width: rows.width; wrapMode: Text.WordWrap; text: rows.empty; color: Theme.soft; size: Theme.small }
        Row {
            spacing: Theme.gap * 0.6
            KeyCap { text: rows.keyText }
            Words { text: qsTr("adds or changes"); color: Theme.soft; size: Theme.tiny; anchors.verticalCenter: parent.verticalCenter }
        }
    }

    ColumnLayout {
        anchors { fill: parent; margins: Theme.gap * 1.5 }
        spacing: Theme.gap

        PlaceHead {
            Layout.fillWidth: true
            Layout.margins: Theme.gap
            question: qsTr("What is left to ready?")
            answer: root.ready.answer
            aside: root.desk.open ? root.desk.diveName : ""
        }
        RowLayout {
            Layout.fillWidth: true
            Layout.fillHeight: true
            spacing: Theme.gap
            Panel {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 58
                title: qsTr("Checklist")
                aside: qsTr("each point by the name of who looked")
                Words {
                    visible: list.count === 0
                    anchors { left: parent.left; right: parent.right; top: parent.top; margins: Theme.gap * 0.5 }
                    wrapMode: Text.WordWrap
                    text: qsTr("Here a dive is made ready: boxes empty and clean, feeds and clocks, people, permits, plan. Plan a dive first: Alt+1, then Ctrl+D.")
                    color: Theme.soft
                }
                ListView {
                    id: list
                    anchors.fill: parent
                    focus: true
                    clip: true
                    activeFocusOnTab: true
                    model: root.ready.lines
                    currentIndex: 0
                    highlightMoveDuration: 0
                    Accessible.role: Accessible.List
                    Accessible.name: qsTr("Checklist of the dive")
                    Keys.onReturnPressed: root.confirm()
                    Keys.onEnterPressed: root.confirm()
                    delegate: Rectangle {
                        id: row
                        required property int index
                        required property string title
                        required property string words
                        required property string sign
                        required property string stateWord
                        required property bool inOrder
                        required property bool doubt
                        readonly property bool chosen: row.index === list.currentIndex
                        readonly property color mark: row.inOrder ? Theme.good : row.doubt ? Theme.bad : Theme.soft
                        width: list.width
                        height: Math.max(Theme.body * 2.6, list.height / Math.max(1, list.count) - 1)
                        color: row.chosen ? Theme.chosen : "transparent"
                        radius: Theme.gap * 0.5
                        border.color: row.chosen && list.activeFocus ? Theme.focus : "transparent"
                        border.width: Theme.ring
                        Accessible.role: Accessible.ListItem
                        Accessible.name: row.title + ", " + row.stateWord + ", " + row.words
                        Accessible.selected: row.chosen

                        MouseArea { anchors.fill: parent; onClicked: list.currentIndex = row.index; onDoubleClicked: root.confirm() }
                        RowLayout {
                            anchors { fill: parent; leftMargin: Theme.gap * 1.5; rightMargin: Theme.gap * 1.5 }
                            spacing: Theme.gap * 1.5
                            Words { text: row.sign; color: row.mark; size: Theme.large; font.weight: Font.DemiBold; Layout.preferredWidth: Theme.large; horizontalAlignment: Text.AlignHCenter; Accessible.ignored: true }
                            ColumnLayout {
                                Layout.fillWidth: true
                                spacing: 0
                                Words { text: row.title; Layout.fillWidth: true; font.weight: Font.DemiBold; Accessible.ignored: true }
                                Words { text: row.words; Layout.fillWidth: true; color: Theme.soft; size: Theme.small; Accessible.ignored: true }
                            }
                            Words { text: row.stateWord; color: row.mark; size: Theme.small; Accessible.ignored: true }
                        }
                        Rectangle { width: parent.width; height: 1; anchors.bottom: parent.bottom; color: Theme.rule }
                    }
                }
            }
            ColumnLayout {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 42
                spacing: Theme.gap
                AskLine {
                    id: line
                    Layout.fillWidth: true
                    trouble: root.ready.trouble
                    onGiven: (purpose, text) => root.give(purpose, text)
                    onFinished: {
                        root.ready.forgetTrouble()
                        list.forceActiveFocus()
                    }
                }
                Panel {
                    Layout.fillWidth: true
                    implicitHeight: Theme.body * 6.6
                    title: qsTr("Now")
                    Column {
                        anchors { fill: parent; leftMargin: Theme.gap * 0.5; rightMargin: Theme.gap * 0.5 }
                        spacing: Theme.gap * 0.5
                        Words { width: parent.width; text: root.ready.feedsNow; size: Theme.small }
                        Words { width: parent.width; text: root.ready.clocksNow; size: Theme.small; wrapMode: Text.WordWrap; maximumLineCount: 2; color: text.includes("!") ? Theme.care : Theme.ink }
                    }
                }
                Panel {
                    Layout.fillWidth: true
                    Layout.fillHeight: true
                    title: qsTr("On watch")
                    aside: qsTr("F9 hands the log over from anywhere")
                    Rows { lines: root.ready.watch; keyText: "W"; empty: qsTr("Nobody is named yet.") }
                }
                Panel {
                    Layout.fillWidth: true
                    Layout.fillHeight: true
                    title: qsTr("Permits")
                    aside: qsTr("the permit's own text decides")
                    Rows { lines: root.ready.permits; keyText: "P"; empty: qsTr("No limit is set. Samples count against one by p: in the quick line.") }
                }
                Panel {
                    Layout.fillWidth: true
                    Layout.fillHeight: true
                    title: qsTr("Collection plan")
                    aside: qsTr("samples count by their kind or family")
                    Rows { lines: root.ready.wanted; keyText: "C"; empty: qsTr("Nothing is on it.") }
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
