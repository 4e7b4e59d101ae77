// SPDX-License-Identifier: GPL-3.0-or-later
// The loadout editor: the plan at the left, the chosen box's fields at the right, what is left to mend below.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property LoadoutDesk loadout
    readonly property bool shown: visible
    signal closed()

    function open(templateName: string) {
        root.loadout.begin(templateName)
        visible = true
        plan.forceActiveFocus()
    }
    function close() {
        visible = false
        closed()
    }

    readonly property list<KeyAct> acts: [
        KeyAct { label: qsTr("move 20 mm"); keyText: "Arrows"; sequence: "" },
        KeyAct { label: qsTr("stretch"); keyText: "Shift+Arrows"; sequence: "" },
        KeyAct { label: qsTr("next box"); keyText: "PgDown"; sequence: "PgDown"; enabled: root.shown; onActivated: root.loadout.step(1) },
        KeyAct { label: qsTr("earlier box"); keyText: "PgUp"; sequence: "PgUp"; listed: false; enabled: root.shown; onActivated: root.loadout.step(-1) },
        KeyAct { label: qsTr("add a box"); keyText: "Ctrl+B"; sequence: "Ctrl+B"; enabled: root.shown; onActivated: root.loadout.addBox() },
        KeyAct { label: qsTr("remove it"); keyText: "Ctrl+Del"; sequence: "Ctrl+Del"; enabled: root.shown; onActivated: root.loadout.removeBox() },
        KeyAct { label: qsTr("fields"); keyText: "Tab"; sequence: "" },
        KeyAct { label: qsTr("undo"); keyText: "Ctrl+Z"; sequence: "Ctrl+Z"; enabled: root.shown; onActivated: root.loadout.undo() },
        KeyAct { label: qsTr("save"); keyText: "Ctrl+S"; sequence: "Ctrl+S"; enabled: root.shown; onActivated: { plan.forceActiveFocus(); root.loadout.save() } },
        KeyAct { label: qsTr("back"); keyText: "Esc"; sequence: "" }
    ]

    component Field: ColumnLayout {
        id: field
        required property string label
        required property string value
        property string example: ""
        signal given(text: string)
        Layout.fillWidth: true
        spacing: Theme.gap * 0.2
        Words { text: field.label; color: Theme.soft; size: Theme.tiny }
        TypeField {
            Layout.fillWidth: true
            spoken: field.label
            placeholderText: field.example
            text: field.value
            font.pixelSize: Theme.small
            onAccepted: field.given(text)
            onActiveFocusChanged: if (!activeFocus && text !== field.value) field.given(text)
            Keys.onEscapePressed: plan.forceActiveFocus()
        }
    }

    visible: false
    anchors.fill: parent
    Accessible.role: Accessible.Dialog
    Accessible.name: qsTr("Loadout editor")
    Keys.onEscapePressed: root.close()

    Rectangle { anchors.fill: parent; color: Theme.ground }
    MouseArea { anchors.fill: parent }
    ColumnLayout {
        anchors { fill: parent; margins: Theme.gap * 1.5 }
        spacing: Theme.gap
        PlaceHead {
            Layout.fillWidth: true
            Layout.margins: Theme.gap
            question: qsTr("What is mounted where?")
            answer: root.loadout.faults.length === 0 ? qsTr("this loadout can be used") : root.loadout.faults.length === 1 ? qsTr("1 thing to mend") : qsTr("%1 things to mend").arg(root.loadout.faults.length)
            aside: root.loadout.measures
        }
        RowLayout {
            Layout.fillWidth: true
            Layout.fillHeight: true
            spacing: Theme.gap
            Panel {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 62
                title: qsTr("Seen from above, bow up")
                FocusScope {
                    id: plan
                    anchors.fill: parent
                    focus: true
                    activeFocusOnTab: true
                    Accessible.role: Accessible.Graphic
                    Accessible.name: qsTr("Plan of the loadout; arrows move the chosen box")
                    Keys.onPressed: event => {
                        const stretch = event.modifiers & Qt.ShiftModifier
                        const x = event.key === Qt.Key_Left ? -20 : event.key === Qt.Key_Right ? 20 : 0
                        const y = event.key === Qt.Key_Up ? -20 : event.key === Qt.Key_Down ? 20 : 0
                        if (x === 0 && y === 0)
                            return
                        if (stretch)
                            root.loadout.stretch(x, y)
                        else
                            root.loadout.move(x, y)
                        event.accepted = true
                    }
                    Rectangle {
                        id: deck
                        readonly property real aspect: root.loadout.aspect
                        width: Math.min(parent.width, parent.height * aspect)
                        height: width / aspect
                        anchors.centerIn: parent
                        color: Theme.ground
                        border.color: plan.activeFocus ? Theme.focus : Theme.rule
                        border.width: plan.activeFocus ? Theme.ring : 1
                        Repeater {
                            model: root.loadout.boxes
                            delegate: Rectangle {
                                id: box
                                required property var modelData
                                x: box.modelData.x * deck.width
                                y: box.modelData.y * deck.height
                                width: box.modelData.width * deck.width
                                height: box.modelData.height * deck.height
                                color: box.modelData.chosen ? Theme.chosen : Theme.raised
                                border.color: box.modelData.chosen ? Theme.focus : Theme.edge
                                border.width: box.modelData.chosen ? Theme.ring : 1
                                Repeater {
                                    model: box.modelData.slots
                                    delegate: Rectangle {
                                        id: slot
                                        required property var modelData
                                        x: slot.modelData.x * deck.width - box.x
                                        y: slot.modelData.y * deck.height - box.y
                                        width: slot.modelData.width * deck.width
                                        height: slot.modelData.height * deck.height
                                        radius: box.modelData.round ? width / 2 : Theme.gap * 0.4
                                        color: "transparent"
                                        border.color: Theme.edge
                                        border.width: 1
                                        Words { anchors.centerIn: parent; text: slot.modelData.code; size: Theme.tiny; color: box.modelData.chosen ? Theme.ink : Theme.soft }
                                    }
                                }
                                Words { x: Theme.gap * 0.3; y: -height * 0.1; width: parent.width; text: box.modelData.title; size: Theme.tiny * 0.85; color: Theme.soft }
                            }
                        }
                    }
                }
            }
            ColumnLayout {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 38
                spacing: Theme.gap
                Panel {
                    Layout.fillWidth: true
                    implicitHeight: all.implicitHeight + Theme.gap * 2 + Theme.small * 2
                    title: qsTr("The loadout")
                    RowLayout {
                        id: all
                        anchors { left: parent.left; right: parent.right; top: parent.top }
                        spacing: Theme.gap
                        Field { label: qsTr("name, for planning a dive"); value: root.loadout.name; example: "port-heavy"; onGiven: text => root.loadout.name = text }
                        Field { label: qsTr("a line for people"); value: root.loadout.title; onGiven: text => root.loadout.title = text }
                    }
                }
                Panel {
                    Layout.fillWidth: true
                    implicitHeight: fields.implicitHeight + Theme.gap * 2 + Theme.small * 2
                    title: qsTr("The chosen box")
                    GridLayout {
                        id: fields
                        readonly property var box: root.loadout.fields
                        anchors { left: parent.left; right: parent.right; top: parent.top }
                        columns: 2
                        columnSpacing: Theme.gap
                        rowSpacing: Theme.gap * 0.6
                        enabled: root.loadout.current >= 0
                        Field { label: qsTr("title"); value: fields.box.title ?? ""; onGiven: text => root.loadout.setField("title", text) }
                        Field { label: qsTr("a slot of it is a"); value: fields.box.container ?? ""; example: "biobox"; onGiven: text => root.loadout.setField("container", text) }
                        Field { label: qsTr("where (its tray)"); value: fields.box.where ?? ""; example: "port tray"; onGiven: text => root.loadout.setField("where", text) }
                        Field { label: qsTr("for: rock biology sediment water"); value: fields.box.accepts ?? ""; onGiven: text => root.loadout.setField("accepts", text) }
                        Field { label: qsTr("slots; new ones as B 3x1"); value: fields.box.slots ?? ""; example: "B 3x1"; onGiven: text => root.loadout.setField("slots", text) }
                        Field { label: qsTr("order of unloading, lowest first"); value: fields.box.unload ?? ""; onGiven: text => root.loadout.setField("unload", text) }
                        Field { label: qsTr("marks: lid mixing round"); value: fields.box.marks ?? ""; Layout.columnSpan: 2; onGiven: text => root.loadout.setField("marks", text) }
                    }
                }
                Panel {
                    Layout.fillWidth: true
                    Layout.fillHeight: true
                    title: qsTr("To mend")
                    Column {
                        anchors.fill: parent
                        spacing: Theme.gap * 0.6
                        Words { visible: text !== ""; width: parent.width; wrapMode: Text.WordWrap; text: root.loadout.said; size: Theme.small }
                        Repeater {
                            model: root.loadout.faults
                            delegate: Words {
                                required property string modelData
                                required property int index
                                visible: index < 5
                                width: parent.width
                                wrapMode: Text.WordWrap
                                text: "! " + modelData
                                color: Theme.care
                                size: Theme.small
                            }
                        }
                    }
                }
            }
        }
        KeyBar { Layout.fillWidth: true; Layout.leftMargin: Theme.gap; acts: root.acts }
    }
}
