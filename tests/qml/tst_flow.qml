// SPDX-License-Identifier: GPL-3.0-or-later
// A whole dive by keys: made ready, replayed at 100 times its speed, forty stamps, filled in, placed, moved, taken back,
// the watch changed. What was pressed is written down beside and compared with the ledger at the end.
import QtQuick
import QtTest
import Holdfast.Ui
import Holdfast.Tests

Item {
    id: root
    Component { id: windows; Main {} }

    TestCase {
        name: "AWholeDiveByKeys"
        when: windowShown
        property var view: null
        property var parts: null
        property var pressed: []  // the verbs that the keys should have written, in order
        property var samples: []  // "id slot kind count state"

        function init() {
            parts = Bench.begin(true)
            Bench.writeLogs()
            parts.places.showPlace("ready")
            view = windows.createObject(root, parts)
            verify(view)
            view.requestActivate()
            tryCompare(view, "active", true)
            view.focusPlace()
            tryVerify(() => view.activeFocusItem !== null)
            pressed = Bench.verbs()
            samples = []
        }
        function cleanup() {
            view.destroy()
            wait(0)
            Bench.end()
        }
        function press(key, modifiers) { Bench.key(view, key, modifiers ?? 0) }
        function type(text) { Bench.type(view, text) }
        function wrote(verb, times) {
            for (let i = 0; i < (times ?? 1); ++i)
                pressed.push(verb)
            tryVerify(() => Bench.verbs().length >= pressed.length, 5000, verb)
        }
        function atThePlan() { tryVerify(() => !Bench.holdsTypedText(view)) }

        function makeReady() {
            compare(parts.ready.answer, "12 points are left")
            for (let i = 0; i < 12; ++i)
                press(Qt.Key_Return)
            wrote("ready checked", 9) // seven boxes, feeds, clocks
            wrote("watch changed")    // confirming the watch names who logs
            wrote("ready checked", 3)
            tryCompare(parts.ready, "answer", "nothing: all is in order")
            for (const [key, line, verb] of [[Qt.Key_W, "pilot Tomas", "watch changed"],
                                             [Qt.Key_P, "stony 3 permit 26/17", "permit limited"],
                                             [Qt.Key_C, "coral 1-6", "item wanted"]]) {
                press(key)
                tryVerify(() => Bench.holdsTypedText(view))
                type(line)
                press(Qt.Key_Return)
                wrote(verb)
                atThePlan()
            }
        }
        function fill(line, id, slot, kind, count) {
            press(Qt.Key_1)
            tryVerify(() => Bench.holdsTypedText(view))
            type(line)
            tryVerify(() => parts.dive.ready, 5000, line + ": " + parts.dive.advice)
            press(Qt.Key_Return)
            samples.push("%1 %2 %3 %4 held".arg(id).arg(slot).arg(kind).arg(count))
            wrote("sample logged")
            atThePlan()
            tryVerify(() => parts.dive.samples.count >= samples.length)
        }
        function end(key, why, verb) {
            press(key)
            tryVerify(() => Bench.holdsTypedText(view))
            type(why)
            press(Qt.Key_Return)
            wrote(verb)
            atThePlan()
            tryCompare(parts.dive.stamps, "count", 0)
        }
        function stamp() {
            press(Qt.Key_Space)
            wrote("stamp taken")
            tryVerify(() => parts.dive.stamps.count > 0)
        }

        function test_theLedgerHoldsWhatWasPressed() {
            makeReady()
            press(Qt.Key_3, Qt.AltModifier)
            parts.feeds.replayDive(100, "")
            tryVerify(() => parts.feeds.depth.there)
            press(Qt.Key_F6)
            wrote("phase reached")
            tryCompare(parts.dive, "nextPhase", "on bottom")
            press(Qt.Key_F6)
            wrote("phase reached")

            // Three moments within two seconds; their details wait.
            const before = Date.now()
            for (let i = 0; i < 3; ++i)
                press(Qt.Key_Space)
            verify(Date.now() - before < 2000)
            wrote("stamp taken", 3)
            compare(parts.dive.stamps.count, 3)
            fill("b1 coral white fan p:stony", "TK26-01-001", "B1", "coral", 1)
            fill("b2 coral 2 p:stony @ana", "TK26-01-002", "B2", "coral", 2)
            fill("sponge b3", "TK26-01-003", "B3", "sponge", 1)

            // Thirty-seven more: 34 become samples, two fail, one was no attempt.
            const rows = []
            for (const slot of ["B4", "B5", "B6", "J1", "J2", "J3", "J4", "J5"])
                rows.push([slot, "shrimp", 3])
            for (let i = 1; i <= 8; ++i)
                rows.push(["C" + i, "mud", 1])
            for (let i = 1; i <= 4; ++i)
                rows.push(["N" + i, "water", 1])
            for (let i = 0; i < 14; ++i) // rocks lie together, with a warning that is kept
                rows.push(["R" + (1 + i % 4), "basalt", 1 + i % 3])
            compare(rows.length, 34)
            rows.forEach((row, i) => {
                stamp()
                fill("%1 %2 %3".arg(row[1]).arg(row[0].toLowerCase()).arg(row[2]),
                     "TK26-01-" + String(i + 4).padStart(3, "0"), row[0], row[1], row[2])
            })
            stamp()
            end(Qt.Key_F7, "lost at the box", "stamp failed")
            stamp()
            end(Qt.Key_F7, "slipped off the scoop", "stamp failed")
            stamp()
            end(Qt.Key_F8, "pressed by mistake", "stamp set aside")
            compare(Bench.verbs().filter(v => v === "stamp taken").length, 40)
            compare(Bench.samples(), samples)

            // From B1 to the jar that is free, back, and forth again.
            parts.dive.chooseSlot(parts.dive.slotPlan.rowOf("J5"))
            press(Qt.Key_M)
            press(Qt.Key_Right)
            tryCompare(parts.dive.hand, "ready", true)
            press(Qt.Key_Return)
            wrote("sample moved")
            tryVerify(() => parts.dive.undoText.startsWith("the move"))
            press(Qt.Key_Z, Qt.ControlModifier)
            wrote("sample moved")
            compare(Bench.samples(), samples)

            // The watch changes; what comes next carries the new name.
            press(Qt.Key_F9)
            tryVerify(() => Bench.holdsTypedText(view))
            type("Ana")
            press(Qt.Key_Return)
            wrote("watch changed")
            compare(parts.desk.person, "Ana")
            press(Qt.Key_L)
            wrote("lid moved")
            compare(Bench.actors().slice(-2), ["Mara", "Ana"])

            compare(Bench.verbs(), pressed)
            compare(Bench.bodies("stamp taken").every(b => b.seen.depth_m !== undefined), true)
            compare(Bench.bodies("stamp failed").map(b => b.reason), ["lost at the box", "slipped off the scoop"])
            compare(Bench.bodies("sample logged")[1].askedBy, "ana")
            const over = Bench.bodies("sample logged").filter(b => b.warnings.some(w => w.startsWith("over the permit")))
            compare(over.length, 0) // three of three
            compare(Bench.tablesFit(), "")
        }
    }
}
