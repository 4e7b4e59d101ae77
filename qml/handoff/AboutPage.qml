// SPDX-License-Identifier: GPL-3.0-or-later
// About the data set: who stands for it and under which terms, field by field; what is wrong stands under its field.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property AboutDesk about
    property bool active: false
    property bool atLicence: false
    property FieldRow lineInHand: null
    signal closed()
    signal fieldTaken(row: int)

    readonly property list<KeyAct> acts: [
        KeyAct { label: qsTr("save"); keyText: "Ctrl+S"; sequence: "Ctrl+S"; enabled: root.active && root.about.ready; onActivated: root.about.save() },
        KeyAct { label: qsTr("licence %1").arg(root.about.licences[0]); keyText: "Ctrl+1"; sequence: "Ctrl+1"; enabled: root.active && root.atLicence; listed: root.atLicence; onActivated: root.about.takeLicence(0) },
        KeyAct { label: qsTr("licence %1").arg(root.about.licences[1]); keyText: "Ctrl+2"; sequence: "Ctrl+2"; enabled: root.active && root.atLicence; listed: root.atLicence; onActivated: root.about.takeLicence(1) },
        KeyAct { label: qsTr("licence %1").arg(root.about.licences[2]); keyText: "Ctrl+3"; sequence: "Ctrl+3"; enabled: root.active && root.atLicence; listed: root.atLicence; onActivated: root.about.takeLicence(2) },
        KeyAct { label: qsTr("next field"); keyText: "Tab"; sequence: ""; enabled: root.active },
        KeyAct { label: root.about.unsaved ? qsTr("back; what was typed stays here") : qsTr("back"); keyText: "Esc"; sequence: "" }
    ]

    function leave() {
        root.about.close()
        root.closed()
    }
    Keys.onEscapePressed: root.leave()

    Connections {
        target: root.about
        function onFieldWanted(row: int) { root.fieldTaken(row) }
        function onSaved() { if (!root.about.shown) root.closed() }
    }

    // The page may get its size after its first field has the focus.
    function keepInSight() {
        if (root.lineInHand === null || flick.height <= 0)
            return
        const top = root.lineInHand.y
        const bottom = top + root.lineInHand.height
        if (top < flick.contentY)
            flick.contentY = top
        else if (bottom > flick.contentY + flick.height)
            flick.contentY = bottom - flick.height
    }

    component FieldRow: Item {
        id: line
        required property int index
        required property string title
        required property string hint
        required property bool lines
        required property string value
        required property string trouble
        required property bool isLicence
        readonly property Item field: line.lines ? area : one
        readonly property string spoken: line.trouble === "" ? line.title + ", " + line.hint : line.title + ", " + line.trouble
        width: column.width
        height: words.implicitHeight

        Connections {
            target: root
            function onFieldTaken(row: int) { if (row === line.index) line.field.forceActiveFocus(Qt.TabFocusReason) }
        }
        function step(forward: bool) {
            const row = line.index + (forward ? 1 : -1)
            if (row >= 0 && row < fields.count)
                root.fieldTaken(row)
        }
        function inHand() {
            if (!line.field.activeFocus)
                return
            root.atLicence = line.isLicence
            root.lineInHand = line
            root.keepInSight()
        }

        Words {
            id: title
            width: Theme.body * 13
            height: line.field.height
            text: line.title
            font.weight: Font.DemiBold
            Accessible.ignored: true
        }
        Column {
            id: words
            anchors { left: title.right; right: parent.right; leftMargin: Theme.gap }
            spacing: Theme.gap * 0.3
            TypeField {
                id: one
                visible: !line.lines
                width: parent.width
                enabled: root.about.ready
                spoken: line.spoken
                text: line.lines ? "" : line.value
                onTextEdited: root.about.setValue(line.index, text)
                onAccepted: line.step(true)
                onActiveFocusChanged: line.inHand()
                Keys.onDownPressed: line.step(true)
                Keys.onUpPressed: line.step(false)
            }
            TypeArea {
                id: area
                visible: line.lines
                width: parent.width
                height: Math.max(implicitHeight, Theme.body * 4.2)
                enabled: root.about.ready
                spoken: line.spoken
                text: line.lines ? line.value : ""
                onTextChanged: if (area.activeFocus) root.about.setValue(line.index, text)
                onActiveFocusChanged: line.inHand()
            }
            Words {
                width: parent.width
                text: line.trouble === "" ? line.hint : "✕ " + line.trouble
                color: line.trouble === "" ? Theme.soft : Theme.bad
                size: Theme.small
                wrapMode: Text.WordWrap
            }
            Flow {
                visible: line.isLicence
                width: parent.width
                spacing: Theme.gap
                Repeater {
                    model: line.isLicence ? root.about.licences : []
                    delegate: ActKey {
                        required property int index
                        required property string modelData
                        text: modelData
                        keyText: qsTr("Ctrl+%1").arg(index + 1)
                        focusPolicy: Qt.NoFocus
                        enabled: root.about.ready
                        onClicked: root.about.takeLicence(index)
                    }
                }
            }
        }
    }

    ColumnLayout {
        anchors.fill: parent
        spacing: Theme.gap
        PlaceHead {
            Layout.fillWidth: true
            Layout.margins: Theme.gap
            question: qsTr("Who stands for the data, and under which terms?")
            answer: root.about.answer
        }
        Panel {
            Layout.fillWidth: true
            Layout.fillHeight: true
            title: qsTr("About the data set")
            aside: root.about.path
            Flickable {
                id: flick
                anchors { fill: parent; leftMargin: Theme.gap; rightMargin: Theme.gap }
                clip: true
                contentHeight: column.height
                boundsBehavior: Flickable.StopAtBounds
                onHeightChanged: root.keepInSight()
                onContentHeightChanged: root.keepInSight()
                Column {
                    id: column
                    width: flick.width
                    spacing: Theme.gap * 1.2
                    Repeater {
                        id: fields
                        model: root.about
                        delegate: FieldRow {}
                    }
                }
            }
        }
    }
}
