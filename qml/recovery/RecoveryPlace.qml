// SPDX-License-Identifier: GPL-3.0-or-later
// The Recovery screen: "What is still untallied?" One slot at a time, large enough for a wet deck.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property RecoveryDesk recovery
    required property DiveDesk dive
    property bool active: false
    readonly property bool mayAnswer: root.active && root.recovery.row >= 0 && !root.recovery.closed && root.recovery.wantsNote === 0

    readonly property list<KeyAct> acts: [
        KeyAct { label: qsTr("as logged"); keyText: "1"; sequence: "1"; enabled: root.mayAnswer; onActivated: root.recovery.say(1) },
        KeyAct { label: qsTr("empty"); keyText: "2"; sequence: "2"; enabled: root.mayAnswer; onActivated: root.recovery.say(2) },
        KeyAct { label: qsTr("different"); keyText: "3"; sequence: "3"; enabled: root.mayAnswer; onActivated: root.recovery.say(3) },
        KeyAct { label: qsTr("broken"); keyText: "4"; sequence: "4"; enabled: root.mayAnswer; onActivated: root.recovery.say(4) },
        KeyAct { label: qsTr("extra"); keyText: "5"; sequence: "5"; enabled: root.mayAnswer; onActivated: root.recovery.say(5) },
        KeyAct { label: qsTr("rider or associate"); keyText: "6"; sequence: "6"; enabled: root.mayAnswer && root.recovery.held > 0; onActivated: root.recovery.say(6) },
        KeyAct { label: qsTr("loose find"); keyText: "7"; sequence: "7"; enabled: root.mayAnswer; onActivated: root.recovery.say(7) },
        KeyAct { label: qsTr("can't be told apart"); keyText: "8"; sequence: "8"; enabled: root.mayAnswer && root.recovery.held > 1; onActivated: root.recovery.say(8) },
        KeyAct { label: qsTr("print its label"); keyText: "Ctrl+P"; sequence: "Ctrl+P"; enabled: root.active && root.recovery.holdsSomething; onActivated: root.recovery.printLabel() },
        KeyAct { label: root.recovery.labelFollows ? qsTr("no label when answered") : qsTr("label when answered"); keyText: "Ctrl+L"; sequence: "Ctrl+L"; enabled: root.active && root.recovery.row >= 0; onActivated: root.recovery.toggleLabelFollows() },
        KeyAct { label: qsTr("close the dive"); keyText: "Ctrl+Return"; sequence: "Ctrl+Return"; enabled: root.active && root.recovery.mayClose; onActivated: closing.open() }
    ]

    Keys.onUpPressed: root.recovery.row -= 1
    Keys.onDownPressed: root.recovery.row += 1

    Connections {
        target: root.recovery
        function onChanged() {
            if (root.active && root.recovery.wantsNote !== 0)
                note.forceActiveFocus()
            else if (root.active && !closing.shown)
                hand.forceActiveFocus()
        }
    }

    ColumnLayout {
        anchors { fill: parent; margins: Theme.gap * 1.5 }
        spacing: Theme.gap

        PlaceHead {
            Layout.fillWidth: true
            Layout.margins: Theme.gap
            question: qsTr("What is still untallied?")
            answer: root.recovery.answer
        }
        Rectangle {
            Layout.fillWidth: true
            implicitHeight: Theme.gap * 0.7
            radius: height / 2
            color: Theme.raised
            Accessible.role: Accessible.ProgressBar
            Accessible.name: root.recovery.answer
            Rectangle {
                width: parent.width * root.recovery.progress
                height: parent.height
                radius: height / 2
                color: Theme.good
            }
        }
        RowLayout {
            Layout.fillWidth: true
            Layout.fillHeight: true
            spacing: Theme.gap

            Panel {
                id: hand
                focus: true
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 64
                title: root.recovery.row < 0 ? "" : qsTr("In hand")
                aside: root.recovery.where

                Words {
                    visible: root.recovery.row < 0
                    anchors.fill: parent
                    horizontalAlignment: Text.AlignHCenter
                    wrapMode: Text.WordWrap
                    text: qsTr("When the vehicle is on deck, this place asks slot by slot what is really there. Open a cruise with a dive first: Alt+1.")
                    color: Theme.soft
                }
                ColumnLayout {
                    visible: root.recovery.row >= 0
                    anchors { fill: parent; margins: Theme.gap * 2 }
                    spacing: Theme.gap * 1.5
                    RowLayout {
                        Layout.fillWidth: true
                        Layout.fillHeight: true
                        spacing: Theme.gap * 2
                        ColumnLayout {
                            Layout.fillWidth: true
                            Layout.preferredWidth: 50
                            Layout.alignment: Qt.AlignTop
                            spacing: Theme.gap * 1.5
                            RowLayout {
                                spacing: Theme.gap * 2
                                Words { text: root.recovery.code; size: Theme.huge * 2; font.weight: Font.Bold }
                                Column {
                                    Words { text: root.recovery.container; size: Theme.large }
                                    Words { text: root.recovery.where; size: Theme.body; color: Theme.soft }
                                }
                            }
                            Words { text: root.recovery.expected.length === 0 ? qsTr("It should be empty.") : qsTr("It should hold:"); color: Theme.soft }
                            Repeater {
                                model: root.recovery.expected
                                delegate: Words {
                                    required property string modelData
                                    text: modelData
                                    size: Theme.large
                                    font.weight: Font.DemiBold
                                    wrapMode: Text.WordWrap
                                    Layout.fillWidth: true
                                }
                            }
                            Words {
                                visible: root.recovery.given !== ""
                                text: qsTr("Answered: %1. Another answer corrects it.").arg(root.recovery.given)
                                color: Theme.good
                                wrapMode: Text.WordWrap
                                Layout.fillWidth: true
                            }
                            Words {
                                visible: root.recovery.labelFollows
                                text: qsTr("The label prints when answered.")
                                color: Theme.soft
                                size: Theme.small
                                wrapMode: Text.WordWrap
                                Layout.fillWidth: true
                            }
                        }
                        SlotPlan {
                            Layout.fillWidth: true
                            Layout.fillHeight: true
                            Layout.preferredWidth: 50
                            dive: root.dive
                            active: false
                            small: true
                            lifted: root.recovery.code
                        }
                    }
                    Words {
                        visible: root.recovery.wantsNote !== 0
                        text: root.recovery.wantsPrompt
                        color: Theme.care
                        wrapMode: Text.WordWrap
                        Layout.fillWidth: true
                    }
                    TypeField {
                        id: note
                        visible: root.recovery.wantsNote !== 0
                        Layout.fillWidth: true
                        spoken: qsTr("What was found")
                        font.pixelSize: Theme.large
                        onVisibleChanged: text = ""
                        onAccepted: root.recovery.sayWith(text)
                        Keys.onEscapePressed: root.recovery.cancelNote()
                    }
                    Flow {
                        Layout.fillWidth: true
                        spacing: Theme.gap * 1.2
                        Repeater {
                            model: 5
                            delegate: ActKey {
                                id: answerKey
                                required property int index
                                readonly property KeyAct modelData: root.acts[answerKey.index]
                                text: answerKey.modelData.label
                                keyText: answerKey.modelData.keyText
                                enabled: answerKey.modelData.enabled
                                padding: Theme.gap * 1.6
                                onClicked: answerKey.modelData.activated()
                            }
                        }
                    }
                }
            }
            Panel {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 36
                title: qsTr("Order of unloading")
                aside: qsTr("up and down go through it")
                ColumnLayout {
                    anchors.fill: parent
                    spacing: Theme.gap * 0.5
                    Words {
                        visible: text !== ""
                        text: root.recovery.sinceBottom
                        font.weight: Font.DemiBold
                        wrapMode: Text.WordWrap
                        Layout.fillWidth: true
                        Layout.leftMargin: Theme.gap
                    }
                    TallyList {
                        Layout.fillWidth: true
                        Layout.fillHeight: true
                        recovery: root.recovery
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
    Sheet {
        id: closing
        title: qsTr("Close the dive?")
        hint: qsTr("Closing can't be taken back: no stamp, sample or answer can be added to it afterwards. Corrections stay possible as amendments.")
        onClosed: hand.forceActiveFocus()
        onOpened: yes.forceActiveFocus(Qt.TabFocusReason)
        ActKey {
            id: yes
            text: qsTr("Close it")
            keyText: "Enter"
            Keys.onReturnPressed: clicked()
            Keys.onEnterPressed: clicked()
            onClicked: {
                root.recovery.closeDive()
                closing.close()
            }
        }
    }
}
