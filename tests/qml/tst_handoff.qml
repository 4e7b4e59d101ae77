// SPDX-License-Identifier: GPL-3.0-or-later
import QtQuick
import QtTest
import Holdfast.Ui
import Holdfast.Tests

Item {
    id: root
    Component { id: windows; Main {} }

    TestCase {
        name: "HandoffByKeys"
        when: windowShown
        property var view: null
        property var parts: null

        function init() {
            parts = Bench.begin(true)
            parts.places.showPlace("hand-off")
            view = windows.createObject(root, parts)
            verify(view)
            view.requestActivate()
            tryCompare(view, "active", true)
            view.focusPlace()
            tryVerify(() => view.activeFocusItem !== null)
            tryVerify(() => parts.handoff.grid.rowCount() > 0)
        }
        function cleanup() {
            view.destroy()
            wait(0)
            Bench.end()
        }
        function press(key, modifiers) { Bench.key(view, key, modifiers ?? 0) }

        function test_arrowsMoveTheCellInHandAndStayInside() {
            const desk = parts.handoff
            press(Qt.Key_Right)
            compare(desk.column, 1)
            press(Qt.Key_Left)
            press(Qt.Key_Left)
            compare(desk.column, 0)
            press(Qt.Key_Up)
            compare(desk.row, 0)
            verify(desk.sentence !== "")
        }
        function test_enterGoesToThePlaceThatMendsIt() {
            const desk = parts.handoff
            press(Qt.Key_N)
            for (let i = 0; i < 40 && desk.mend !== "recovery"; ++i)
                press(Qt.Key_N)
            compare(desk.mend, "recovery")
            press(Qt.Key_Return)
            tryCompare(parts.places, "title", "Recovery")
        }
        function test_allRowsCanBeShown() {
            const desk = parts.handoff
            const open = desk.grid.rowCount()
            press(Qt.Key_A)
            verify(desk.grid.rowCount() >= open)
            press(Qt.Key_A)
            compare(desk.grid.rowCount(), open)
        }
        function test_oneKeyMakesThePackageAndItsReport() {
            const desk = parts.handoff
            press(Qt.Key_M, Qt.ControlModifier)
            tryCompare(desk, "making", false, 20000)
            tryVerify(() => desk.report.length > 0)
            compare(desk.reportGood, true)
        }
    }
}
