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

    readonly property bool telling: root.handoff.about.shown
    readonly property bool idle: root.active && !root.telling && !sheet.shown
    readonly property PackageChoices choices: root.handoff.choices

    readonly property list<KeyAct> acts: [
        KeyAct { label: qsTr("mend it"); keyText: "Enter"; sequences: ["Return", "Enter"]; enabled: root.idle && !report.inHand && root.handoff.mend !== ""; onActivated: root.handoff.goMend() },
        KeyAct { label: qsTr("next open point"); keyText: "N"; sequence: "N"; enabled: root.idle; onActivated: root.nextOpen() },
        KeyAct { label: root.handoff.onlyOpen ? qsTr("show all rows") : qsTr("only open rows"); keyText: "A"; sequence: "A"; enabled: root.idle; onActivated: root.handoff.onlyOpen = !root.handoff.onlyOpen },
        KeyAct { label: root.handoff.about.unsaved ? qsTr("about the data set (not saved yet)") : qsTr("about the data set"); keyText: "D"; sequence: "D"; enabled: root.idle; onActivated: root.handoff.about.open() },
        KeyAct { label: qsTr("where it appears, photographs"); keyText: "O"; sequence: "O"; enabled: root.idle && !root.handoff.making; onActivated: sheet.open() },
        KeyAct { label: root.choices.zip ? qsTr("a folder instead") : qsTr("a zip file instead"); keyText: "Z"; sequence: "Z"; enabled: root.idle && !root.handoff.making; onActivated: root.choices.zip = !root.choices.zip },
        KeyAct { label: root.choices.papers ? qsTr("without papers") : qsTr("with papers"); keyText: "P"; sequence: "P"; enabled: root.idle && !root.handoff.making; onActivated: root.choices.papers = !root.choices.papers },
        KeyAct { label: report.inHand ? qsTr("back to the grid") : qsTr("what the check found"); keyText: "F6"; sequence: "F6"; enabled: root.idle && report.visible; listed: report.visible; onActivated: report.inHand ? grid.forceActiveFocus() : report.begin() },
        KeyAct { label: root.handoff.making ? qsTr("stop") : qsTr("make the package"); keyText: "Ctrl+M"; sequence: "Ctrl+M"; enabled: root.idle; onActivated: root.handoff.makeOrStop() }
    ]
    readonly property var shownActs: root.telling ? page.acts : root.acts

    function nextOpen() {
        grid.forceActiveFocus()
        root.handoff.nextOpen()
    }
    onTellingChanged: if (root.active) (root.telling ? page : grid).forceActiveFocus()
    onActiveChanged: root.handoff.setShown(root.active)

    ColumnLayout {
        anchors { fill: parent; margins: Theme.gap * 1.5 }
        spacing: Theme.gap

        AboutPage {
            id: page
            visible: root.telling
            Layout.fillWidth: true
            Layout.fillHeight: true
            about: root.handoff.about
            active: root.active && root.telling
        }

        PlaceHead {
            visible: !root.telling
            Layout.fillWidth: true
            Layout.margins: Theme.gap
            question: qsTr("What would the archive refuse?")
            answer: root.handoff.answer
            aside: root.handoff.making ? qsTr("%1 %  %2").arg(Math.floor(root.handoff.progress * 100)).arg(root.handoff.doing)
                                       : root.handoff.judging ? qsTr("looking") : ""
        }
        Rectangle {
            visible: root.handoff.making && !root.telling
            Layout.fillWidth: true
            implicitHeight: Theme.gap
            radius: height / 2
            color: Theme.sunken
            Accessible.role: Accessible.ProgressBar
            Accessible.name: qsTr("The package: %1 percent").arg(Math.floor(root.handoff.progress * 100))
            Rectangle { width: parent.width * root.handoff.progress; height: parent.height; radius: height / 2; color: Theme.focus }
        }
        Panel {
            visible: !root.telling
            Layout.fillWidth: true
            Layout.fillHeight: true
            Layout.preferredHeight: 3
            CompletenessGridView {
                id: grid
                anchors.fill: parent
                focus: true
                handoff: root.handoff
            }
        }
        Words {
            visible: !root.telling
            Layout.fillWidth: true
            Layout.leftMargin: Theme.gap
            text: root.handoff.sentence + (root.handoff.mend === "" ? "" : qsTr("  Enter goes to: %1").arg(root.handoff.mend))
            wrapMode: Text.WordWrap
            maximumLineCount: 2
        }
        CheckReport {
            id: report
            visible: root.handoff.report.length > 0 && !root.telling
            Layout.fillWidth: true
            Layout.fillHeight: true
            Layout.preferredHeight: 1
            handoff: root.handoff
            onGone: grid.forceActiveFocus()
        }
        Words {
            visible: !root.telling && text !== ""
            Layout.fillWidth: true
            Layout.leftMargin: Theme.gap
            text: root.choices.trouble !== "" ? "✕ " + root.choices.trouble : root.choices.said === "" ? "" : qsTr("Ctrl+M: %1").arg(root.choices.said)
            color: root.choices.trouble !== "" ? Theme.bad : Theme.ink
            size: Theme.small
            wrapMode: Text.WordWrap
            maximumLineCount: 3
        }
        KeyBar {
            Layout.fillWidth: true
            Layout.leftMargin: Theme.gap
            acts: root.shownActs
        }
    }
    PackageSheet {
        id: sheet
        choices: root.choices
        onClosed: grid.forceActiveFocus()
    }
}
