// SPDX-License-Identifier: GPL-3.0-or-later
import QtQuick
import QtTest
import Holdfast.Ui
import Holdfast.Tests

Item {
    id: root
    Component { id: windows; Main {} }

    TestCase {
        name: "RecoveryByKeys"
        when: windowShown
        property var view: null
        property var parts: null

        function init() {
            parts = Bench.begin(true)
            parts.places.showPlace("recovery")
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
        function tallied() { return Bench.verbs().filter(v => v === "slot tallied").length }

        function test_answersGoSlotBySlotUntilTheDiveCanBeClosed() {
            const recovery = parts.recovery
            const slots = recovery.tally.rowCount()
            for (let i = 0; i < slots; ++i) {
                compare(recovery.mayClose, false)
                const code = recovery.code
                press(Qt.Key_1)
                tryVerify(() => tallied() === i + 1)
                if (i + 1 < slots)
                    tryVerify(() => recovery.code !== code)
            }
            tryCompare(recovery, "mayClose", true)
            press(Qt.Key_Return, Qt.ControlModifier)
            press(Qt.Key_Return)
            tryCompare(recovery, "closed", true)
            compare(Bench.verbs().pop(), "dive closed")
        }
        function test_extraAsksForWordsFirst() {
            press(Qt.Key_5)
            compare(parts.recovery.wantsNote, 5)
            tryVerify(() => Bench.holdsTypedText(view))
            compare(tallied(), 0)
            Bench.type(view, "a brittle star 1")
            press(Qt.Key_Return)
            tryVerify(() => tallied() === 1)
            tryCompare(parts.recovery, "wantsNote", 0)
        }
        function test_escTakesTheQuestionBack() {
            press(Qt.Key_3)
            press(Qt.Key_Escape)
            compare(parts.recovery.wantsNote, 0)
            compare(tallied(), 0)
        }
        function test_emptyIsRefusedWhereTheLedgerHasNothing() {
            press(Qt.Key_2)
            tryVerify(() => parts.notices.total > 0)
            compare(tallied(), 0)
        }
    }
}
