// SPDX-License-Identifier: GPL-3.0-or-later
// The exchange with another station by keys, on real cruise files of two stations.
import QtQuick
import QtTest
import Holdfast.Ui
import Holdfast.Tests

Item {
    id: root
    Component { id: windows; Main {} }

    TestCase {
        name: "ExchangeByKeys"
        when: windowShown
        property var view: null
        property var parts: null

        function init() {
            parts = Bench.begin(true)
            Bench.collect()
            parts.desk.showDive(1)
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
        function count(verb) { return Bench.verbs().filter(v => v === verb).length }
        function said(words) { return parts.exchange.report.some(line => line.includes(words)) }
        function openPage() {
            press(Qt.Key_F5)
            tryCompare(parts.exchange, "shown", true)
            compare(parts.places.title, "Cruise")
            tryVerify(() => parts.exchange.stations.length > 0)
        }
        function clearField() {
            press(Qt.Key_A, Qt.ControlModifier)
            press(Qt.Key_Delete)
        }

        function test_aNewStationIsTakenInOnceItsKeyIsTyped() {
            const deck = Bench.deckGives("red fan", false)
            openPage()
            tryVerify(() => Bench.holdsTypedText(view))
            press(Qt.Key_Tab) // the file
            type(deck.file)
            wait(60) // a person, not a gun
            press(Qt.Key_Return)
            tryCompare(parts.exchange, "doing", "")
            verify(parts.exchange.refused)
            verify(said("Compare it"), parts.exchange.report[0])
            compare(count("sample amended"), 0)
            press(Qt.Key_Tab) // the key
            type(deck.key)
            press(Qt.Key_T, Qt.ControlModifier)
            tryCompare(parts.exchange, "doing", "")
            tryVerify(() => said("were new here"))
            verify(!parts.exchange.refused)
            compare(count("sample amended"), 1)
            tryVerify(() => parts.exchange.stations.length === 2)
            compare(Bench.tablesFit(), "")
            press(Qt.Key_T, Qt.ControlModifier)
            tryVerify(() => said("nothing new"))
        }
        function test_aChangedFileIsRefusedWithTheEntryNamed() {
            const deck = Bench.deckGives("red fan", true)
            const before = Bench.verbs().length
            openPage()
            parts.exchange.take(deck.file, deck.key)
            tryCompare(parts.exchange, "doing", "")
            verify(parts.exchange.refused)
            verify(said("of station deck was changed"), parts.exchange.report[0])
            compare(Bench.verbs().length, before)
        }
        function test_throughAFolderAndSettledByAPersonWithAReason() {
            const deck = Bench.deckGives("red fan", false)
            Bench.vanSays("white fan")
            openPage()
            tryVerify(() => Bench.holdsTypedText(view))
            clearField()
            type(deck.folder)
            press(Qt.Key_Tab)
            press(Qt.Key_Tab)
            type(deck.key)
            press(Qt.Key_Return, Qt.ControlModifier)
            tryVerify(() => said("Written: "))
            verify(Bench.hasFile(deck.folder + "/TK26-van.hfx"))
            tryVerify(() => parts.exchange.conflicts.length === 1)
            verify(parts.exchange.conflicts[0].includes("TK26-01-001: description"))
            compare(parts.exchange.sides.length, 2)
            compare(parts.exchange.folder, deck.folder)
            press(Qt.Key_S, Qt.ControlModifier)
            tryVerify(() => Bench.holdsTypedText(view))
            press(Qt.Key_Return) // no reason, nothing settled
            compare(count("conflict settled"), 0)
            type("looked again")
            press(Qt.Key_Return)
            tryVerify(() => count("conflict settled") === 1)
            compare(Bench.bodies("conflict settled")[0].reason, "looked again")
            compare(Bench.actors().slice(-1)[0], "Mara")
            tryVerify(() => parts.exchange.conflicts.length === 0)
            verify(said("Settled by Mara"))
            press(Qt.Key_Escape)
            tryCompare(parts.exchange, "shown", false)
        }
        function test_whatIsNoKeyIsToldBeforeAnythingIsRead() {
            const deck = Bench.deckGives("red fan", false)
            openPage()
            for (const typed of ["deck", "3f9a 12bc"]) {
                parts.exchange.take(deck.file, typed)
                tryCompare(parts.exchange, "doing", "")
                verify(parts.exchange.refused)
                verify(said("four groups of four"), parts.exchange.report[0])
            }
            parts.exchange.meet(deck.folder, "deck")
            tryCompare(parts.exchange, "doing", "")
            verify(said("four groups of four"))
            compare(count("sample amended"), 0)
        }
        function test_aSideThatIsNotShownIsCorrectedNotSettled() {
            const deck = Bench.deckGives("red fan", false)
            Bench.vanSays("white fan")
            openPage()
            parts.exchange.take(deck.file, deck.key)
            tryVerify(() => parts.exchange.conflicts.length === 1)
            compare(parts.exchange.side, 1) // what is shown now: the later one
            verify(parts.exchange.mayTake)
            verify(parts.exchange.outcome.includes("stays as it is shown now"), parts.exchange.outcome)
            verify(parts.exchange.sides[1].startsWith("shown now"))
            goToSides()
            press(Qt.Key_Up)
            compare(parts.exchange.side, 0)
            verify(!parts.exchange.mayTake)
            verify(parts.exchange.outcome.includes("correct it"), parts.exchange.outcome)
            press(Qt.Key_Return)
            verify(!Bench.holdsTypedText(view))
            compare(count("conflict settled"), 0)
        }
        /// Opened again the page begins with the contradictions; Enter goes on to the sides of the one in hand.
        function goToSides() {
            press(Qt.Key_Escape)
            openPage()
            tryVerify(() => view.activeFocusItem.Accessible.name === parts.exchange.conflicts[0])
            press(Qt.Key_Return)
            compare(view.activeFocusItem.Accessible.name, parts.exchange.sides[parts.exchange.side])
        }
        function test_ofTwoPlansEitherIsTakenByKeys() {
            const deck = Bench.bothPlan()
            openPage()
            parts.exchange.take(deck.file, deck.key)
            tryVerify(() => parts.exchange.conflicts.length === 1)
            const other = 1 - parts.exchange.side
            const shownNow = parts.exchange.outcome
            goToSides()
            press(other === 0 ? Qt.Key_Up : Qt.Key_Down)
            compare(parts.exchange.side, other)
            verify(parts.exchange.mayTake)
            verify(parts.exchange.outcome !== shownNow)
            const vehicle = parts.exchange.outcome.includes("Small vehicle") ? "Small vehicle" : "Deep vehicle"
            press(Qt.Key_Return)
            tryVerify(() => Bench.holdsTypedText(view))
            type("asked the pilots")
            press(Qt.Key_Return)
            tryVerify(() => count("dive planned again") === 1)
            compare(Bench.bodies("dive planned again")[0].vehicle, vehicle)
            compare(Bench.bodies("dive planned again")[0].reason, "asked the pilots")
            tryVerify(() => parts.exchange.conflicts.length === 0)
            compare(Bench.tablesFit(), "")
        }
        function test_aFolderThatIsNotThereIsTold() {
            openPage()
            parts.exchange.give("/no/such/folder", -1)
            verify(said("no folder"))
            parts.exchange.meet("", "")
            tryCompare(parts.exchange, "doing", "")
            verify(said("which folder"))
            verify(parts.exchange.refused)
        }
        function test_anOpenContradictionIsANoticeWithItsKey() {
            const deck = Bench.deckGives("red fan", false)
            Bench.vanSays("white fan")
            press(Qt.Key_1, Qt.AltModifier)
            parts.exchange.take(deck.file, deck.key)
            tryVerify(() => parts.exchange.conflicts.length === 1)
            tryVerify(() => parts.notices.total > 0)
            openPage()
            tryVerify(() => parts.notices.total === 0)
        }
        function test_namesForAScreenReader() {
            openPage()
            compare(Bench.unnamed(view), [])
        }
    }
}
