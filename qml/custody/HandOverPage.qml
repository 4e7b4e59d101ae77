// SPDX-License-Identifier: GPL-3.0-or-later
// A hand-over in two steps: collect by scanning, then both sides confirm, each by their own PIN or signature.
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
            root.custody.complete(giver.pin, giver.strokes, receiver.pin, receiver.strokes, condition.text, temperature.text, basis.text, seals.text)
    }
    function offerOnly() { root.custody.offerOnly(giver.pin, giver.strokes) }
    function setPin() { pins.ask(receiver.inHand || root.waited) }
    function clearSignatures() {
        giver.clear()
        receiver.clear()
    }
    function confirmFirst() { (root.waited ? receiver : giver).begin() }

    // A gun that types slowly, or a person, may put an id where a name belongs.
    function tookId(field: TypeField): bool {
        if (!root.custody.isId(field.text))
            return false
        root.custody.takeTyped(field.text)
        field.text = ""
        return true
    }

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
                root.clearSignatures()
                pins.visible = false
                condition.text = ""
                temperature.text = ""
                basis.text = "held"
                seals.text = ""
                condition.forceActiveFocus()
            }
        }
    }

    // One side confirms: by PIN, or by signing in the field.
    component Side: ColumnLayout {
        id: side
        required property string name
        required property bool hasPin
        required property string spoken
        readonly property string pin: field.text
        readonly property var strokes: pad.strokes
        readonly property bool inHand: field.activeFocus
        signal done()
        signal cancelled()
        function begin() { field.forceActiveFocus() }
        function clear() {
            field.text = ""
            pad.clear()
        }
        Layout.fillWidth: true
        Layout.preferredWidth: 50
        spacing: Theme.gap * 0.3
        Words {
            Layout.fillWidth: true
            text: side.hasPin ? qsTr("%1 confirms: own PIN, or signs below").arg(side.name) : qsTr("%1 has no PIN here: Ctrl+P sets one, or sign below").arg(side.name)
            color: Theme.soft
            size: Theme.tiny
            wrapMode: Text.WordWrap
        }
        TypeField { id: field; Layout.fillWidth: true; echoMode: TextInput.Password; spoken: side.spoken; placeholderText: qsTr("PIN"); onAccepted: side.done(); Keys.onEscapePressed: side.cancelled() }
        Rectangle {
            Layout.fillWidth: true
            implicitHeight: width * 0.3
            color: Theme.sunken
            radius: Theme.gap * 0.6
            border.color: pad.blank ? Theme.edge : Theme.focus
            border.width: 1
            SignaturePad {
                id: pad
                anchors.fill: parent
                Accessible.role: Accessible.Graphic
                Accessible.name: pad.blank ? qsTr("Field for the signature of %1, empty").arg(side.name) : qsTr("Signature of %1, drawn").arg(side.name)
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
            anchors { left: parent.left; right: parent.right; top: parent.top; bottom: cautions.top }
            spoken: qsTr("What is handed over")
            rows: root.custody.items
            current: 0
            empty: qsTr("Scan each label, or type its id with the check character at the right.")
            Keys.onDeletePressed: {
                if (root.collecting)
                    root.custody.remove(handed.currentIndex)
                else
                    reason.forceActiveFocus()
            }
        }
        // Beside the list, so that the fields of both sides keep their room.
        Column {
            id: cautions
            anchors { left: parent.left; right: parent.right; bottom: parent.bottom; margins: root.custody.cautions.length > 0 ? Theme.gap : 0 }
            spacing: Theme.gap * 0.5
            Repeater {
                model: root.custody.cautions
                delegate: Words {
                    required property string modelData
                    width: cautions.width
                    text: qsTr("! Caution: %1").arg(modelData)
                    color: Theme.care
                    size: Theme.tiny
                    wrapMode: Text.WordWrap
                }
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
                TypeField { id: from; width: parent.width; spoken: qsTr("Relinquished by"); onTextChanged: if (root.collecting) root.custody.giver = text; onAccepted: if (!root.tookId(from)) to.forceActiveFocus(); Keys.onEscapePressed: root.custody.cancel() }
            }
            Labelled {
                visible: root.collecting
                label: qsTr("to be received by")
                TypeField { id: to; width: parent.width; spoken: qsTr("To be received by"); onTextChanged: if (root.collecting) root.custody.receiver = text; onAccepted: if (!root.tookId(to)) ids.forceActiveFocus(); Keys.onEscapePressed: root.custody.cancel() }
            }
            Labelled {
                visible: root.collecting
                label: qsTr("what is handed over: scan it, or type its id with the check character; Enter adds it")
                TypeField { id: ids; width: parent.width; spoken: qsTr("Id of what is handed over"); onAccepted: if (text === "") handed.forceActiveFocus(Qt.TabFocusReason); else if (root.custody.takeTyped(text)) text = ""; Keys.onEscapePressed: root.custody.cancel() }
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
                TypeField { id: basis; width: parent.width; spoken: qsTr("Basis of custody"); onAccepted: root.custody.seals !== "" ? seals.forceActiveFocus() : root.confirmFirst(); Keys.onEscapePressed: root.custody.cancel() }
            }
            Labelled {
                visible: !root.collecting && root.custody.seals !== ""
                label: qsTr("seals %1: look at each, then type intact or broken").arg(root.custody.seals)
                TypeField { id: seals; width: parent.width; spoken: qsTr("Seals, intact or broken"); onAccepted: root.confirmFirst(); Keys.onEscapePressed: root.custody.cancel() }
            }
            Labelled {
                visible: !root.collecting
                label: qsTr("why the chosen one is refused (empty takes it back)")
                TypeField { id: reason; width: parent.width; spoken: qsTr("Reason of refusing"); onAccepted: { root.custody.refuse(handed.currentIndex, text); text = ""; handed.forceActiveFocus(Qt.TabFocusReason) } Keys.onEscapePressed: root.custody.cancel() }
            }
            RowLayout {
                visible: !root.collecting
                Layout.fillWidth: true
                spacing: Theme.gap
                Side { id: giver; visible: !root.waited; name: root.custody.giver; hasPin: root.custody.giverHasPin; spoken: qsTr("PIN of who relinquishes"); onDone: receiver.begin(); onCancelled: root.custody.cancel() }
                Side { id: receiver; name: root.custody.receiver; hasPin: root.custody.receiverHasPin; spoken: qsTr("PIN of who receives"); onDone: root.go(); onCancelled: root.custody.cancel() }
            }
            PinSet {
                id: pins
                Layout.fillWidth: true
                custody: root.custody
                onFinished: (pins.ofReceiver ? receiver : giver).begin()
            }
            Connections {
                target: root.custody
                function onPinSet(ofReceiver: bool) { pins.done() }
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
                text: root.custody.confirming ? qsTr("looking at the PINs") : qsTr("A PIN or a drawn signature is an attestation, not a legal electronic signature.")
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
                ActKey { visible: !root.collecting; text: qsTr("Set a PIN"); keyText: "Ctrl+P"; onClicked: root.setPin() }
                ActKey { visible: !root.collecting; text: qsTr("Clear"); keyText: "Ctrl+Del"; onClicked: root.clearSignatures() }
                ActKey { text: qsTr("Back"); keyText: "Esc"; onClicked: root.custody.cancel() }
            }
        }
    }
}
