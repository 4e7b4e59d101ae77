// SPDX-License-Identifier: GPL-3.0-or-later
// The Hand-off place: the grid of what an archive would ask for, the package and its own check.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property HandoffDesk handoff
    property bool active: false

    readonly property list<KeyAct> acts: [
        KeyAct { label: qsTr("mend it"); keyText: "Enter"; sequences: ["Return", "Enter"]; enabled: root.active && root.handoff.mend !== ""; onActivated: root.handoff.goMend() },
        KeyAct { label: qsTr("next open point"); keyText: "N"; sequence: "N"; enabled: root.active; onActivated: root.handoff.nextOpen() },
        KeyAct { label: root.handoff.onlyOpen ? qsTr("show all rows") : qsTr("only open rows"); keyText: "A"; sequence: "A"; enabled: root.active; onActivated: root.handoff.onlyOpen = !root.handoff.onlyOpen },
        KeyAct { label: root.handoff.making ? qsTr("stop") : qsTr("make the package"); keyText: "Ctrl+M"; sequence: "Ctrl+M"; enabled: root.active; onActivated: root.handoff.makeOrStop() }
    ]

    onActiveChanged: root.handoff.setShown(root.active)

    ColumnLayout {
        anchors { fill: parent; margins: Theme.gap * 1.5 }
        spacing: Theme.gap

        PlaceHead {
            Layout.fillWidth: true
            Layout.margins: Theme.gap
            question: qsTr("What would the archive refuse?")
            answer: root.handoff.answer
            aside: root.handoff.making ? qsTr("%1 %  %2").arg(Math.floor(root.handoff.progress * 100)).arg(root.handoff.doing)
                                       : root.handoff.judging ? qsTr("looking") : ""
        }
        Rectangle {
            visible: root.handoff.making
            Layout.fillWidth: true
            implicitHeight: Theme.gap
            radius: height / 2
            color: Theme.sunken
            Accessible.role: Accessible.ProgressBar
            Accessible.name: qsTr("The package: %1 percent").arg(Math.floor(root.handoff.progress * 100))
            Rectangle { width: parent.width * root.handoff.progress; height: parent.height; radius: height / 2; color: Theme.focus }
        }
        Panel {
            Layout.fillWidth: true
            Layout.fillHeight: true
            Layout.preferredHeight: 3
            CompletenessGridView {
                anchors.fill: parent
                focus: true
                handoff: root.handoff
            }
        }
        Words {
            Layout.fillWidth: true
            Layout.leftMargin: Theme.gap
            text: root.handoff.sentence + (root.handoff.mend === "" ? "" : qsTr("  Enter goes to: %1").arg(root.handoff.mend))
            wrapMode: Text.WordWrap
            maximumLineCount: 2
        }
        Panel {
            visible: root.handoff.report.length > 0
            Layout.fillWidth: true
            Layout.fillHeight: true
            Layout.preferredHeight: 1
            title: root.handoff.reportGood ? qsTr("✓ The package's own check: no error") : qsTr("! The package's own check found errors")
            ListView {
                anchors.fill: parent
                clip: true
                model: root.handoff.report
                Accessible.role: Accessible.List
                Accessible.name: qsTr("Findings of the package's own check")
                delegate: Words {
                    required property string modelData
                    width: ListView.view.width
                    text: modelData
                    size: Theme.small
                    color: modelData.startsWith("error") ? Theme.bad : Theme.ink
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
