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
        function rowId() {
            const grid = parts.handoff.grid
            return grid.data(grid.index(parts.handoff.row, 0), Qt.UserRole + 1)
        }
        /// Walks by N to an open cell of that row that is mended at that place.
        function walkTo(id, place) {
            const desk = parts.handoff
            for (let i = 0; i < 200; ++i) {
                press(Qt.Key_N)
                if (rowId() === id && desk.mend === place)
                    return true
            }
            return false
        }
        function sampleIds() { return Bench.samples().map(words => words.split(" ")[0]) }
        function collected() {
            Bench.collect()
            tryVerify(() => parts.desk.open && Bench.samples().length === 2)
            tryVerify(() => walkTo(sampleIds()[1], "bench"), 10000)
        }
        function test_enterOpensTheItemAtTheBench() {
            collected()
            const id = sampleIds()[1]
            press(Qt.Key_Return)
            tryCompare(parts.places, "title", "Bench")
            tryCompare(parts.bench, "sample", id)
            tryVerify(() => parts.bench.chosen.length === 1 && parts.bench.chosen[0] === id)
        }
        function test_enterChoosesTheSampleInTheDive() {
            collected()
            for (const id of sampleIds()) {
                verify(walkTo(id, "dive"))
                press(Qt.Key_Return)
                tryCompare(parts.places, "title", "Dive")
                tryCompare(parts.dive.hand, "number", id.slice(-3))
                press(Qt.Key_7, Qt.AltModifier)
                tryCompare(parts.places, "title", "Hand-off")
            }
        }
        function test_enterSlidesTheRecordInAtCustody() {
            collected()
            const id = sampleIds()[0]
            verify(walkTo(id, "custody"))
            press(Qt.Key_Return)
            tryCompare(parts.places, "title", "Custody")
            tryCompare(parts.scan, "recordId", id)
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
