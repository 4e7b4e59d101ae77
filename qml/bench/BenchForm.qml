// SPDX-License-Identifier: GPL-3.0-or-later
// The act in hand: its fields, what the holding table proposes, and the caution for what is chosen.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

ColumnLayout {
    id: root
    required property BenchDesk bench
    property bool active: false
    spacing: Theme.gap * 0.7

    function goTo(row: int) {
        const line = fields.itemAt(row)
        if (line)
            line.forceActiveFocus()
    }
    Words {
        visible: text !== ""
        text: root.bench.proposal
        color: Theme.soft
        size: Theme.small
        wrapMode: Text.WordWrap
        Layout.fillWidth: true
    }
    Repeater {
        id: fields
        model: root.bench.fieldNames
        onItemAdded: (index, item) => {
            if (index === 0 && root.active)
                item.forceActiveFocus()
        }
        delegate: FocusScope {
            id: line
            required property int index
            required property string modelData
            Layout.fillWidth: true
            implicitHeight: column.implicitHeight
            Column {
                id: column
                width: parent.width
                Words { text: line.modelData; color: Theme.soft; size: Theme.tiny }
                TypeField {
                    width: parent.width
                    focus: true
                    spoken: line.modelData
                    text: root.bench.fieldValues[line.index] ?? ""
                    onTextChanged: root.bench.typed(line.index, text)
                    onAccepted: line.index + 1 < fields.count ? root.goTo(line.index + 1) : root.bench.give()
                    Keys.onEscapePressed: root.bench.cancel()
                    Keys.onUpPressed: root.goTo(line.index - 1)
                    Keys.onDownPressed: root.goTo(line.index + 1)
                }
            }
        }
    }
    Repeater {
        model: root.bench.cautions
        delegate: Words {
            required property string modelData
            text: qsTr("! Caution: %1").arg(modelData)
            color: Theme.care
            size: Theme.small
            wrapMode: Text.WordWrap
            Layout.fillWidth: true
        }
    }
    Words {
        visible: text !== ""
        text: root.bench.trouble
        color: Theme.bad
        size: Theme.small
        wrapMode: Text.WordWrap
        Layout.fillWidth: true
    }
    Row {
        spacing: Theme.gap
        ActKey { text: root.bench.busy ? qsTr("Saving") : qsTr("Record it"); keyText: "Ctrl+Return"; enabled: !root.bench.busy; onClicked: root.bench.give() }
        ActKey { text: qsTr("Back"); keyText: "Esc"; onClicked: root.bench.cancel() }
    }
    Item { Layout.fillHeight: true }
    KeyAct { label: qsTr("record it"); keyText: "Ctrl+Return"; sequence: "Ctrl+Return"; enabled: root.active && root.bench.act !== "" && !root.bench.busy; onActivated: root.bench.give() }
}
