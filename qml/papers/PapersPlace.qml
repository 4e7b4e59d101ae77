// SPDX-License-Identifier: GPL-3.0-or-later
// The Papers place: stocks and sheets on the left, the page itself in the middle.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

FocusScope {
    id: root
    required property PapersDesk papers
    property bool active: false

    readonly property list<KeyAct> acts: [
        KeyAct { label: qsTr("print"); keyText: "Ctrl+P"; sequence: "Ctrl+P"; enabled: root.active && root.papers.pages > 0; onActivated: printing.open() },
        KeyAct { label: qsTr("export as PDF"); keyText: "Ctrl+E"; sequence: "Ctrl+E"; enabled: root.active && root.papers.pages > 0; onActivated: root.papers.exportPdf() },
        KeyAct { label: qsTr("next page"); keyText: "PgDown"; sequence: "PgDown"; enabled: root.active; onActivated: root.papers.page += 1 },
        KeyAct { label: qsTr("page before"); keyText: "PgUp"; sequence: "PgUp"; enabled: root.active; onActivated: root.papers.page -= 1 },
        KeyAct { label: qsTr("first free label later"); keyText: "+"; sequence: "+"; enabled: root.active && root.papers.hasStart; onActivated: root.papers.start += 1 },
        KeyAct { label: qsTr("earlier"); keyText: "-"; sequence: "-"; enabled: root.active && root.papers.hasStart; onActivated: root.papers.start -= 1 }
    ]

    onActiveChanged: root.papers.setShown(root.active)

    ColumnLayout {
        anchors { fill: parent; margins: Theme.gap * 1.5 }
        spacing: Theme.gap

        PlaceHead {
            Layout.fillWidth: true
            Layout.margins: Theme.gap
            question: qsTr("What goes on paper?")
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
                    anchors { left: parent.left; right: parent.right; top: parent.top; bottom: facts.top; bottomMargin: Theme.gap }
                    focus: true
                    spoken: qsTr("Sheets and label stocks")
                    rows: root.papers.titles
                    current: root.papers.chosen
                    onMoved: row => root.papers.chosen = row
                }
                Column {
                    id: facts
                    anchors { left: parent.left; right: parent.right; bottom: parent.bottom }
                    spacing: Theme.gap * 0.6
                    Words { width: parent.width; text: root.papers.use; color: Theme.soft; size: Theme.small; wrapMode: Text.WordWrap }
                    Words { visible: root.papers.hasStart; width: parent.width; text: qsTr("first free label: %1").arg(root.papers.start); color: Theme.soft; size: Theme.small }
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
                    visible: root.papers.trouble !== ""
                    anchors.centerIn: parent
                    width: parent.width * 0.7
                    horizontalAlignment: Text.AlignHCenter
                    text: root.papers.trouble
                    color: Theme.soft
                    wrapMode: Text.WordWrap
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
