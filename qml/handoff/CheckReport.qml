// SPDX-License-Identifier: GPL-3.0-or-later
// What the package's own check found: up and down choose a line, Enter shows the sample it names.
pragma ComponentBehavior: Bound
import QtQuick
import Holdfast.Ui

Panel {
    id: root
    required property HandoffDesk handoff
    readonly property bool inHand: list.activeFocus
    signal gone()

    title: root.handoff.reportGood ? qsTr("✓ The package's own check: no error") : qsTr("! The package's own check found errors")
    aside: qsTr("%1 of %2").arg(root.handoff.finding + 1).arg(root.handoff.report.length)

    function begin() { list.forceActiveFocus(Qt.TabFocusReason) }

    RowList {
        id: list
        anchors { left: parent.left; right: parent.right; top: parent.top; bottom: more.top }
        spoken: qsTr("Findings of the package's own check")
        wrapped: true
        rows: root.handoff.report
        current: root.handoff.finding
        onMoved: row => root.handoff.finding = row
        onTaken: root.handoff.showFinding()
        Keys.onEscapePressed: root.gone()
        Keys.onPressed: event => {
            const page = event.key === Qt.Key_PageDown ? 5 : event.key === Qt.Key_PageUp ? -5 : 0
            if (page !== 0 && event.modifiers === Qt.NoModifier) {
                list.step(page)
                event.accepted = true
            }
        }
    }
    Words {
        id: more
        height: Theme.body * 1.4
        anchors { left: parent.left; right: parent.right; bottom: parent.bottom }
        text: !root.inHand || root.handoff.findingItem === "" ? "" : qsTr("Enter shows the record of %1.").arg(root.handoff.findingItem)
        color: Theme.soft
        size: Theme.small
    }
}
