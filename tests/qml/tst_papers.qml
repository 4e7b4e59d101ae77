// SPDX-License-Identifier: GPL-3.0-or-later
import QtQuick
import QtTest
import Holdfast.Ui
import Holdfast.Tests

Item {
    id: root
    Component { id: windows; Main {} }

    TestCase {
        name: "PapersByKeys"
        when: windowShown
        property var view: null
        property var parts: null

        function init() {
            parts = Bench.begin(true)
            Bench.logSample("B1", "coral")
            tryVerify(() => Bench.samples().length === 1)
            parts.places.showPlace("papers")
            view = windows.createObject(root, parts)
            verify(view)
            view.requestActivate()
            tryCompare(view, "active", true)
            view.focusPlace()
            tryVerify(() => view.activeFocusItem !== null)
        }
        function cleanup() {
            view.destroy()
            wait(0)
            Bench.end()
        }
        function press(key, modifiers) { Bench.key(view, key, modifiers ?? 0) }
        /// Goes down the list of papers by keys until `title` begins so.
        function choose(title) {
            for (let i = 0; i < 60 && !parts.papers.titles[parts.papers.chosen].startsWith(title); ++i)
                press(Qt.Key_Down)
            verify(parts.papers.titles[parts.papers.chosen].startsWith(title))
            tryVerify(() => !parts.papers.working)
        }
        /// The row of the field with this label.
        function fieldRow(label) {
            const fields = parts.papers.fields
            for (let i = 0; i < fields.rowCount(); ++i) {
                if (fields.data(fields.index(i, 0), 257) === label)
                    return i
            }
            fail("no field " + label)
        }

        function test_everyPaperIsLaidOut_data() {
            return [
                { tag: "custody", title: "Custody sheet" }, { tag: "report", title: "Dive report" },
                { tag: "hand-over", title: "Sheet of one hand-over" }, { tag: "history", title: "History of one" },
                { tag: "labels", title: "Labels: A4 sheet, 24" }, { tag: "tags", title: "Labels: Roll of tags, 36" }
            ]
        }
        function test_everyPaperIsLaidOut(data) {
            choose(data.title)
            tryVerify(() => parts.papers.pages > 0)
            compare(parts.papers.trouble, "")
            press(Qt.Key_E, Qt.ControlModifier)
            tryVerify(() => Bench.hasFile(parts.papers.exportPath()))
        }
        function test_aPackingListSaysWhatIsMissing() {
            choose("Packing list")
            tryVerify(() => parts.papers.trouble.includes("Nothing is stored"))
            compare(parts.papers.pages, 0)
        }
        function test_blankLabelsGetTheirNumbersWhenTheyAreExported() {
            choose("Labels: A4 sheet, 24")
            press(Qt.Key_F6)
            tryVerify(() => Bench.holdsTypedText(view))
            press(Qt.Key_A, Qt.ControlModifier)
            Bench.type(view, "blank")
            tryCompare(parts.papers, "answer", "20 labels on 1 page")
            compare(Bench.verbs().filter(v => v === "blank labels printed").length, 0)
            press(Qt.Key_E, Qt.ControlModifier)
            tryVerify(() => Bench.verbs().pop() === "blank labels printed")
            tryVerify(() => Bench.hasFile(parts.papers.exportPath()))
            // Bound by scanning: label, Enter, thing, Enter.
            press(Qt.Key_B, Qt.ControlModifier)
            tryVerify(() => Bench.holdsTypedText(view))
            Bench.type(view, "TK26-01-L003")
            press(Qt.Key_Return)
            Bench.type(view, "TK26-01-001")
            press(Qt.Key_Return)
            tryVerify(() => Bench.verbs().pop() === "label bound")
        }
        function test_aStockIsChangedWithThePageInSightAndKeptAsOnesOwn() {
            choose("Labels: Roll of tags, 36")
            const before = parts.papers.titles.length
            press(Qt.Key_T, Qt.ControlModifier)
            tryCompare(parts.papers, "editing", true)
            tryVerify(() => Bench.holdsTypedText(view)) // the name it will be kept as
            press(Qt.Key_Return)
            press(Qt.Key_A, Qt.ControlModifier)
            Bench.type(view, "our own tags")
            tryCompare(parts.papers, "trouble", "")
            // A number that can't be: the sentence says so, the last good page stays.
            const row = fieldRow("label width (mm)")
            parts.papers.setField(row, "3")
            tryVerify(() => parts.papers.trouble.includes("label_width_mm"))
            verify(parts.papers.pages > 0)
            press(Qt.Key_S, Qt.ControlModifier)
            tryVerify(() => parts.papers.trouble.includes("label_width_mm"))
            compare(parts.papers.editing, true)
            parts.papers.setField(row, "36")
            tryCompare(parts.papers, "trouble", "")
            press(Qt.Key_S, Qt.ControlModifier)
            tryCompare(parts.papers, "editing", false)
            compare(parts.papers.titles.length, before + 1)
            compare(parts.papers.titles[parts.papers.chosen], "Your labels: our own tags")
            tryVerify(() => parts.papers.pages > 0)
        }
        function test_escLeavesTheStockAsItWas() {
            choose("Labels: A4 sheet, 24")
            press(Qt.Key_T, Qt.ControlModifier)
            tryCompare(parts.papers, "editing", true)
            press(Qt.Key_Escape)
            compare(parts.papers.editing, false)
            tryVerify(() => parts.papers.pages > 0)
        }
        function test_whatTakesTheFocusHasAName() {
            choose("Labels: A4 sheet, 24")
            press(Qt.Key_T, Qt.ControlModifier)
            tryCompare(parts.papers, "editing", true)
            compare(Bench.unnamed(view), [])
        }
    }
}
