// SPDX-License-Identifier: GPL-3.0-or-later
// The Papers place: stocks and sheets on the left, the page itself in the middle, what goes on it on the right.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property PapersDesk papers
    property bool active: false
    readonly property bool ready: root.active && root.papers.pages > 0 && !root.papers.editing
    readonly property bool editing: root.active && root.papers.editing

    readonly property list<KeyAct> acts: [
        KeyAct { label: qsTr("print"); keyText: "Ctrl+P"; sequence: "Ctrl+P"; enabled: root.ready; onActivated: printing.open() },
        KeyAct { label: qsTr("export as PDF"); keyText: "Ctrl+E"; sequence: "Ctrl+E"; enabled: root.ready; onActivated: root.papers.exportPdf() },
        KeyAct { label: qsTr("as a web page"); keyText: "Ctrl+H"; sequence: "Ctrl+H"; enabled: root.ready && root.papers.isReport; listed: root.papers.isReport; onActivated: root.papers.exportHtml() },
        KeyAct { label: qsTr("what goes on it"); keyText: "F6"; sequence: "F6"; enabled: root.active; onActivated: fields.activeFocus ? list.forceActiveFocus(Qt.TabFocusReason) : fields.begin() },
        KeyAct { label: qsTr("change this stock"); keyText: "Ctrl+T"; sequence: "Ctrl+T"; enabled: root.active && root.papers.isLabels && !root.papers.editing; listed: !root.papers.editing; onActivated: root.papers.edit() },
        KeyAct { label: qsTr("keep it as yours"); keyText: "Ctrl+S"; sequence: "Ctrl+S"; enabled: root.editing; listed: root.papers.editing; onActivated: root.papers.keepStock() },
        KeyAct { label: qsTr("one more text"); keyText: "Ctrl+N"; sequence: "Ctrl+N"; enabled: root.editing; listed: root.papers.editing; onActivated: root.papers.addText() },
        KeyAct { label: qsTr("one more pencil line"); keyText: "Ctrl+L"; sequence: "Ctrl+L"; enabled: root.editing; listed: root.papers.editing; onActivated: root.papers.addLine() },
        KeyAct { label: qsTr("take this part away"); keyText: "Ctrl+D"; sequence: "Ctrl+D"; enabled: root.editing; listed: root.papers.editing; onActivated: root.papers.removePart() },
        KeyAct { label: qsTr("leave it as it was"); keyText: "Esc"; sequence: "Esc"; enabled: root.editing; listed: root.papers.editing; onActivated: { root.papers.leaveEditing(); list.forceActiveFocus() } },
        KeyAct { label: qsTr("bind a blank label"); keyText: "Ctrl+B"; sequence: "Ctrl+B"; enabled: root.active && !root.papers.editing; listed: !root.papers.editing; onActivated: binding.open() },
        KeyAct { label: qsTr("next page"); keyText: "PgDown"; sequence: "PgDown"; enabled: root.active; onActivated: root.papers.page += 1 },
        KeyAct { label: qsTr("page before"); keyText: "PgUp"; sequence: "PgUp"; enabled: root.active; onActivated: root.papers.page -= 1 },
        KeyAct { label: qsTr("first free label later"); keyText: "+"; sequence: "+"; enabled: root.active && root.papers.hasStart; listed: root.papers.hasStart; onActivated: root.papers.start += 1 },
        KeyAct { label: qsTr("earlier"); keyText: "-"; sequence: "-"; enabled: root.active && root.papers.hasStart; listed: root.papers.hasStart; onActivated: root.papers.start -= 1 }
    ]

    onActiveChanged: root.papers.setShown(root.active)

    ColumnLayout {
        anchors { fill: parent; margins: Theme.gap * 1.5 }
        spacing: Theme.gap

        PlaceHead {
            Layout.fillWidth: true
            Layout.margins: Theme.gap
            question: root.papers.editing ? qsTr("How should this stock be?") : qsTr("What goes on paper?")
            answer: root.papers.answer
            aside: root.papers.pages > 1 ? qsTr("page %1 of %2").arg(root.papers.page + 1).arg(root.papers.pages) : ""
        }
        RowLayout {
            Layout.fillWidth: true
            Layout.fillHeight: true
            spacing: Theme.gap
            Panel {
                Layout.fillHeight: true
                Layout.preferredWidth: Theme.body * 22
                title: qsTr("Sheets and label stocks")
                RowList {
                    id: list
                    anchors { left: parent.left; right: parent.right; top: parent.top; bottom: use.top; bottomMargin: Theme.gap }
                    focus: true
                    enabled: !root.papers.editing
                    opacity: enabled ? 1 : 0.5
                    spoken: qsTr("Sheets and label stocks")
                    rows: root.papers.titles
                    current: root.papers.chosen
                    onMoved: row => root.papers.chosen = row
                    onTaken: fields.begin()
                }
                Words {
                    id: use
                    anchors { left: parent.left; right: parent.right; bottom: parent.bottom }
                    text: root.papers.use
                    color: Theme.soft
                    size: Theme.small
                    wrapMode: Text.WordWrap
                }
            }
            Panel {
                Layout.fillWidth: true
                Layout.fillHeight: true
                PageView {
                    id: view
                    anchors { fill: parent; margins: Theme.gap }
                    papers: root.papers
                    paper: Theme.day ? Qt.rgba(1, 1, 1, 1) : Qt.rgba(0.8, 0.76, 0.7, 1)
                    Accessible.role: Accessible.Graphic
                    Accessible.name: qsTr("Page %1 of %2").arg(root.papers.page + 1).arg(root.papers.pages)
                }
                Words {
                    visible: root.papers.trouble !== "" && root.papers.pages === 0
                    anchors.centerIn: parent
                    width: parent.width * 0.7
                    horizontalAlignment: Text.AlignHCenter
                    text: root.papers.trouble
                    color: Theme.soft
                    wrapMode: Text.WordWrap
                }
            }
            Panel {
                visible: fields.count > 0 || root.papers.notes.length > 0 || root.papers.trouble !== ""
                Layout.fillHeight: true
                Layout.preferredWidth: Theme.body * 21
                title: root.papers.editing ? qsTr("The stock") : qsTr("What goes on it")
                PaperFields {
                    id: fields
                    anchors { left: parent.left; right: parent.right; top: parent.top; bottom: facts.top; bottomMargin: Theme.gap }
                    papers: root.papers
                }
                Column {
                    id: facts
                    anchors { left: parent.left; right: parent.right; bottom: parent.bottom }
                    spacing: Theme.gap * 0.6
                    Words {
                        visible: fields.hint !== ""
                        width: parent.width
                        text: fields.hint
                        color: Theme.soft
                        size: Theme.tiny
                        wrapMode: Text.WordWrap
                    }
                    Words {
                        visible: root.papers.trouble !== "" && root.papers.pages > 0
                        width: parent.width
                        text: "! " + root.papers.trouble
                        color: Theme.bad
                        size: Theme.small
                        wrapMode: Text.WordWrap
                    }
                    Repeater {
                        model: root.papers.notes
                        delegate: Words {
                            required property string modelData
                            width: facts.width
                            text: "! " + modelData
                            color: Theme.care
                            size: Theme.tiny
                            wrapMode: Text.WordWrap
                            maximumLineCount: 3
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
    Connections {
        target: root.papers
        function onEditBegan() { fields.begin() }
        function onStockKept() {
            list.currentIndex = root.papers.chosen // the list is a new one
            list.positionViewAtIndex(list.currentIndex, ListView.Contain)
            list.forceActiveFocus(Qt.TabFocusReason)
        }
    }
    BindSheet {
        id: binding
        papers: root.papers
        onClosed: list.forceActiveFocus()
    }
    Sheet {
        id: printing
        title: qsTr("Print %1").arg(root.papers.answer)
        hint: root.papers.printers.length > 0 ? qsTr("Up and down choose the printer, Enter prints.")
                                              : qsTr("This computer knows no printer. Ctrl+E writes a PDF instead.")
        onOpened: {
            root.papers.findPrinters()
            printers.forceActiveFocus()
        }
        onClosed: list.forceActiveFocus()
        RowList {
            id: printers
            Layout.fillWidth: true
            implicitHeight: Theme.body * 16
            spoken: qsTr("Printers")
            rows: root.papers.printers
            current: 0
            onTaken: row => {
                root.papers.print(row)
                printing.close()
            }
        }
    }
}
