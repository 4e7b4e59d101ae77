// SPDX-License-Identifier: GPL-3.0-or-later
import QtQuick
import QtTest
import Holdfast.Ui
import Holdfast.Tests

Item {
    id: root
    Component { id: windows; Main {} }

    TestCase {
        name: "DiveByKeys"
        when: windowShown
        property var view: null
        property var parts: null

        function init() {
            parts = Bench.begin(true)
            parts.places.showPlace("dive")
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
        function type(text) { Bench.type(view, text) }

        function test_stampPlaceUndo() {
            const dive = parts.dive
            press(Qt.Key_Space)
            compare(dive.stamps.count, 1)
            tryVerify(() => Bench.verbs().filter(v => v === "stamp taken").length === 1)
            press(Qt.Key_1)
            tryVerify(() => Bench.holdsTypedText(view))
            type("white b2 coral 2 @ana")
            tryCompare(dive, "ready", true)
            press(Qt.Key_Return)
            tryCompare(dive.samples, "count", 1)
            compare(Bench.samples(), ["TK26-01-001 B2 coral 2 held"])
            compare(parts.notices.total, 0) // Enter placed it once, not twice
            tryVerify(() => !Bench.holdsTypedText(view))
            press(Qt.Key_Z, Qt.ControlModifier)
            tryCompare(dive.stamps, "count", 1)
            compare(Bench.samples(), ["TK26-01-001 B2 coral 2 void"])
        }
        function test_threeStampsWithinAMoment() {
            for (let i = 0; i < 3; ++i)
                press(Qt.Key_Space)
            compare(parts.dive.stamps.count, 3)
            tryVerify(() => Bench.verbs().filter(v => v === "stamp taken").length === 3)
        }
        function test_spaceTypesInTheLineAndEscLeavesIt() {
            press(Qt.Key_Space)
            tryVerify(() => Bench.verbs().includes("stamp taken"))
            press(Qt.Key_1)
            type("coral b2")
            press(Qt.Key_Space)
            compare(parts.dive.stamps.count, 1)
            compare(parts.dive.line, "coral b2 ")
            press(Qt.Key_Escape)
            press(Qt.Key_Space)
            compare(parts.dive.stamps.count, 2)
        }
        function test_arrowsAndEnterPlaceFromThePlan() {
            press(Qt.Key_Space)
            tryVerify(() => Bench.verbs().includes("stamp taken"))
            press(Qt.Key_1)
            type("coral b1")
            for (let i = 0; i < 3; ++i)
                press(Qt.Key_Backspace)
            press(Qt.Key_Escape)
            press(Qt.Key_Down)
            tryCompare(parts.dive, "ready", true)
            press(Qt.Key_Return)
            tryCompare(parts.dive.samples, "count", 1)
            compare(Bench.samples(), ["TK26-01-001 B2 coral 1 held"])
        }
        function test_aFailedAttemptNeedsItsReason() {
            press(Qt.Key_Space)
            tryVerify(() => Bench.verbs().includes("stamp taken"))
            press(Qt.Key_F7)
            tryVerify(() => Bench.holdsTypedText(view))
            press(Qt.Key_Return)
            compare(Bench.verbs().includes("stamp failed"), false)
            type("lost at the box")
            press(Qt.Key_Return)
            tryVerify(() => Bench.verbs().includes("stamp failed"))
            tryCompare(parts.dive.stamps, "count", 0)
        }
        function log(line) {
            const before = parts.dive.samples.count
            press(Qt.Key_Space)
            tryVerify(() => Bench.verbs().filter(v => v === "stamp taken").length > before)
            press(Qt.Key_1)
            tryVerify(() => Bench.holdsTypedText(view))
            type(line)
            tryCompare(parts.dive, "ready", true)
            press(Qt.Key_Return)
            tryCompare(parts.dive.samples, "count", before + 1)
            tryVerify(() => !Bench.holdsTypedText(view))
        }
        function becomes(row, text) { tryVerify(() => Bench.samples()[row] === text, 5000, text) }
        function test_moveExchangeAmendAndLoseByKeys() {
            log("coral b1")
            log("sponge b2")
            press(Qt.Key_Up) // from nothing to the first slot, B1
            tryCompare(parts.dive.hand, "number", "001")
            press(Qt.Key_M)
            press(Qt.Key_Down)
            press(Qt.Key_Return) // taken: Enter does nothing
            compare(parts.dive.hand.carrying, true)
            press(Qt.Key_E)
            becomes(0, "TK26-01-001 B2 coral 1 held")
            becomes(1, "TK26-01-002 B1 sponge 1 held")
            tryVerify(() => parts.dive.undoText.includes("exchange"))
            press(Qt.Key_Z, Qt.ControlModifier)
            becomes(0, "TK26-01-001 B1 coral 1 held")
            becomes(1, "TK26-01-002 B2 sponge 1 held")
            tryVerify(() => parts.dive.hand.words.includes("held in B1")) // the window has read it too
            press(Qt.Key_PageUp) // the list: the newer one
            tryCompare(parts.dive.hand, "number", "002")
            tryVerify(() => parts.dive.slotText.startsWith("B2"))
            press(Qt.Key_M)
            press(Qt.Key_Down)
            tryCompare(parts.dive.hand, "ready", true)
            press(Qt.Key_Return)
            becomes(1, "TK26-01-002 B3 sponge 1 held")
            tryCompare(parts.dive.hand, "carrying", false)
            press(Qt.Key_A)
            tryVerify(() => Bench.holdsTypedText(view))
            type(" 4")
            press(Qt.Key_Return)
            type("counted again")
            press(Qt.Key_Return)
            becomes(1, "TK26-01-002 B3 sponge 4 held")
            tryVerify(() => !Bench.holdsTypedText(view))
            press(Qt.Key_X)
            tryVerify(() => Bench.holdsTypedText(view))
            type("spilled")
            press(Qt.Key_Return)
            becomes(1, "TK26-01-002 B3 sponge 4 lost")
            compare(parts.notices.total <= 1, true) // the word about what was taken back
        }
        function test_escLeavesASampleThatIsBeingMoved() {
            log("coral b1")
            press(Qt.Key_Up)
            press(Qt.Key_M)
            compare(parts.dive.hand.carrying, true)
            press(Qt.Key_Down)
            press(Qt.Key_Escape)
            compare(parts.dive.hand.carrying, false)
            compare(Bench.samples(), ["TK26-01-001 B1 coral 1 held"])
        }
        function test_placesByAltDigits() {
            press(Qt.Key_4, Qt.AltModifier)
            compare(parts.places.title, "Recovery")
            press(Qt.Key_Space)
            compare(parts.dive.stamps.count, 0)
            press(Qt.Key_3, Qt.AltModifier)
            compare(parts.places.title, "Dive")
        }
        function test_everyStopOfTheTabKeyHasAName() {
            for (let place = 0; place < 8; ++place) {
                parts.places.current = place
                compare(Bench.unnamed(view), [])
            }
        }
    }
}
