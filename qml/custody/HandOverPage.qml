// SPDX-License-Identifier: GPL-3.0-or-later
// A hand-over in two steps: collect by scanning, then both sides confirm, each by their own name.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

RowLayout {
    id: root
    required property CustodyDesk custody
    property bool active: false
    readonly property bool collecting: root.custody.step === 1
    readonly property bool waited: root.custody.code !== ""
    spacing: Theme.gap

    function go() {
        if (root.collecting)
            root.custody.next()
        else
            root.custody.complete(giverName.text, receiverName.text, condition.text, temperature.text, basis.text, seals.text)
    }
    function offerOnly() { root.custody.offerOnly(giverName.text) }

    property int shownStep: 0
    Connections {
        target: root.custody
        function onStepChanged() {
            if (root.custody.step === root.shownStep)
                return
            root.shownStep = root.custody.step
            if (root.shownStep === 1) {
                from.text = root.custody.giver
                to.text = ""
                to.forceActiveFocus()
            } else if (root.shownStep === 2) {
                // Nothing that a person must look at is filled in for them.
                giverName.text = ""
                receiverName.text = ""
                condition.text = ""
                temperature.text = ""
                basis.text = "held"
                seals.text = ""
                condition.forceActiveFocus()
            }
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

    Panel {
        Layout.fillWidth: true
        Layout.fillHeight: true
        Layout.preferredWidth: 50
        title: root.collecting ? qsTr("1  Collect: scan what is handed over") : qsTr("What is handed over")
        aside: root.collecting ? qsTr("Del takes one out") : qsTr("Del refuses one, with a reason")
        RowList {
            id: handed
            anchors.fill: parent
            spoken: qsTr("What is handed over")
            rows: root.custody.items
            current: 0
            empty: qsTr("Scan each label, or type its id with the check character and press Enter.")
            Keys.onDeletePressed: {
                if (root.collecting)
                    root.custody.remove(handed.currentIndex)
                else
                    reason.forceActiveFocus()
            }
        }
    }
    Panel {
        Layout.fillWidth: true
        Layout.fillHeight: true
        Layout.preferredWidth: 50
        title: root.collecting ? qsTr("Between whom") : qsTr("2  Both look, then both confirm")
        aside: root.custody.code
        ColumnLayout {
            anchors { fill: parent; margins: Theme.gap }
            spacing: Theme.gap
            Labelled {
                visible: root.collecting
                label: qsTr("relinquished by")
                TypeField { id: from; width: parent.width; spoken: qsTr("Relinquished by"); onTextChanged: if (root.collecting) root.custody.giver = text; onAccepted: to.forceActiveFocus(); Keys.onEscapePressed: root.custody.cancel() }
            }
            Labelled {
                visible: root.collecting
                label: qsTr("to be received by")
                TypeField { id: to; width: parent.width; spoken: qsTr("To be received by"); onTextChanged: if (root.collecting) root.custody.receiver = text; onAccepted: handed.forceActiveFocus(Qt.TabFocusReason); Keys.onEscapePressed: root.custody.cancel() }
            }
            Words {
                visible: !root.collecting
                text: qsTr("%1 relinquishes to %2").arg(root.custody.giver).arg(root.custody.receiver)
                size: Theme.large
                font.weight: Font.DemiBold
                wrapMode: Text.WordWrap
                Layout.fillWidth: true
            }
            Labelled {
                visible: !root.collecting
                label: qsTr("condition on receipt: %1").arg(root.custody.conditionWords)
                TypeField { id: condition; width: parent.width; spoken: qsTr("Condition on receipt"); onAccepted: temperature.forceActiveFocus(); Keys.onEscapePressed: root.custody.cancel() }
            }
            Labelled {
                visible: !root.collecting
                label: qsTr("temperature read, C (may be empty)")
                TypeField { id: temperature; width: parent.width; spoken: qsTr("Temperature read"); onAccepted: basis.forceActiveFocus(); Keys.onEscapePressed: root.custody.cancel() }
            }
            Labelled {
                visible: !root.collecting
                label: qsTr("kept from then on: %1").arg(root.custody.basisWords)
                TypeField { id: basis; width: parent.width; spoken: qsTr("Basis of custody"); onAccepted: root.custody.seals !== "" ? seals.forceActiveFocus() : root.waited ? receiverName.forceActiveFocus() : giverName.forceActiveFocus(); Keys.onEscapePressed: root.custody.cancel() }
            }
            Labelled {
                visible: !root.collecting && root.custody.seals !== ""
                label: qsTr("seals %1: look at each, then type intact or broken").arg(root.custody.seals)
                TypeField { id: seals; width: parent.width; spoken: qsTr("Seals, intact or broken"); onAccepted: root.waited ? receiverName.forceActiveFocus() : giverName.forceActiveFocus(); Keys.onEscapePressed: root.custody.cancel() }
            }
            Labelled {
                visible: !root.collecting
                label: qsTr("why the chosen one is refused (empty takes it back)")
                TypeField { id: reason; width: parent.width; spoken: qsTr("Reason of refusing"); onAccepted: { root.custody.refuse(handed.currentIndex, text); text = ""; handed.forceActiveFocus(Qt.TabFocusReason) } Keys.onEscapePressed: root.custody.cancel() }
            }
            Labelled {
                visible: !root.collecting && !root.waited
                label: qsTr("%1 confirms by typing the name").arg(root.custody.giver)
                TypeField { id: giverName; width: parent.width; spoken: qsTr("Who relinquishes confirms"); onAccepted: receiverName.forceActiveFocus(); Keys.onEscapePressed: root.custody.cancel() }
            }
            Labelled {
                visible: !root.collecting
                label: qsTr("%1 confirms by typing the name").arg(root.custody.receiver)
                TypeField { id: receiverName; width: parent.width; spoken: qsTr("Who receives confirms"); onAccepted: root.go(); Keys.onEscapePressed: root.custody.cancel() }
            }
            Words {
                visible: text !== ""
                text: root.custody.trouble
                color: Theme.bad
                wrapMode: Text.WordWrap
                Layout.fillWidth: true
            }
            Words {
                visible: !root.collecting
                text: qsTr("A typed name is an attestation, not a legal electronic signature.")
                color: Theme.soft
                size: Theme.tiny
                wrapMode: Text.WordWrap
                Layout.fillWidth: true
            }
            Item { Layout.fillHeight: true }
            Flow {
                Layout.fillWidth: true
                spacing: Theme.gap
                ActKey { text: root.collecting ? qsTr("Next") : root.waited ? qsTr("Received") : qsTr("Both confirm"); keyText: "Ctrl+Return"; onClicked: root.go() }
                ActKey { visible: !root.collecting && !root.waited; text: qsTr("Relinquish only"); keyText: "Ctrl+O"; onClicked: root.offerOnly() }
                ActKey { text: qsTr("Back"); keyText: "Esc"; onClicked: root.custody.cancel() }
            }
        }
    }
}
