// SPDX-License-Identifier: GPL-3.0-or-later
// The Bench screen: "What is due next?" What is due at the left, the sample in hand as a tree, what can be done to it
// at the right.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property BenchDesk bench
    property bool active: false
    readonly property bool mayAct: root.active && root.bench.act === "" && root.bench.row >= 0

    readonly property list<KeyAct> acts: [
        KeyAct { label: qsTr("split off"); keyText: "S"; sequence: "S"; enabled: root.mayAct; onActivated: root.bench.begin("split") },
        KeyAct { label: qsTr("preserve"); keyText: "P"; sequence: "P"; enabled: root.mayAct; onActivated: root.bench.begin("preserve") },
        KeyAct { label: qsTr("store"); keyText: "L"; sequence: "L"; enabled: root.mayAct; onActivated: root.bench.begin("store") },
        KeyAct { label: qsTr("identify"); keyText: "I"; sequence: "I"; enabled: root.mayAct; onActivated: root.bench.begin("identify") },
        KeyAct { label: qsTr("photograph"); keyText: "G"; sequence: "G"; enabled: root.mayAct; onActivated: root.bench.begin("photograph") },
        KeyAct { label: qsTr("correct"); keyText: "C"; sequence: "C"; enabled: root.mayAct; onActivated: root.bench.begin("correct") },
        KeyAct { label: qsTr("void a split"); keyText: "V"; sequence: "V"; enabled: root.mayAct; onActivated: root.bench.begin("void") },
        KeyAct { label: qsTr("mark for a list"); keyText: "Space"; sequence: "Space"; enabled: root.mayAct; onActivated: root.bench.mark() },
        KeyAct { label: qsTr("other sample"); keyText: "PgUp, PgDown"; sequence: "PgDown"; enabled: root.mayAct; onActivated: root.bench.nextSample(1) },
        KeyAct { label: qsTr("earlier sample"); keyText: "PgUp"; listed: false; sequence: "PgUp"; enabled: root.mayAct; onActivated: root.bench.nextSample(-1) },
        KeyAct { label: qsTr("what is due"); keyText: "D"; sequence: "D"; enabled: root.mayAct; onActivated: dueList.forceActiveFocus(Qt.TabFocusReason) }
    ]

    Connections {
        target: root.bench
        function onActChanged() {
            if (root.active && root.bench.act === "")
                tree.forceActiveFocus()
        }
    }

    ColumnLayout {
        anchors { fill: parent; margins: Theme.gap * 1.5 }
        spacing: Theme.gap

        PlaceHead {
            Layout.fillWidth: true
            Layout.margins: Theme.gap
            question: qsTr("What is due next?")
            answer: root.bench.answer
        }
        RowLayout {
            Layout.fillWidth: true
            Layout.fillHeight: true
            spacing: Theme.gap

            Panel {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 30
                title: qsTr("Due, by time left")
                aside: qsTr("Enter opens it")
                RowList {
                    id: dueList
                    anchors.fill: parent
                    spoken: qsTr("What is due, by time left")
                    rows: root.bench.due
                    current: 0
                    empty: qsTr("Nothing is due. The cold clock begins when the vehicle leaves the bottom (on deck where that is not recorded), against the limits for each material and purpose.")
                    onTaken: row => { root.bench.openDue(row); tree.forceActiveFocus() }
                    Keys.onEscapePressed: tree.forceActiveFocus()
                }
            }
            Panel {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 44
                title: root.bench.sample === "" ? "" : qsTr("In hand")
                aside: root.bench.sample
                BenchTree {
                    id: tree
                    focus: true
                    anchors.fill: parent
                    bench: root.bench
                }
            }
            Panel {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 34
                title: root.bench.act === "" ? qsTr("What can be done") : root.bench.actTitle
                BenchForm {
                    visible: root.bench.act !== ""
                    anchors.fill: parent
                    bench: root.bench
                    active: root.active
                }
                Column {
                    visible: root.bench.act === ""
                    anchors { fill: parent; margins: Theme.gap }
                    spacing: Theme.gap
                    Words {
                        width: parent.width
                        text: root.bench.chosenWords
                        wrapMode: Text.WordWrap
                        font.weight: Font.DemiBold
                        size: Theme.large
                    }
                    Repeater {
                        model: 7
                        delegate: ActKey {
                            id: actKey
                            required property int index
                            readonly property KeyAct modelData: root.acts[actKey.index]
                            text: actKey.modelData.label
                            keyText: actKey.modelData.keyText
                            enabled: actKey.modelData.enabled
                            onClicked: actKey.modelData.activated()
                        }
                    }
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
