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
        function test_aRiderBecomesASpecimenWithItsLink() {
            collect()
            Bench.onDeck()
            goTo("B2")
            press(Qt.Key_6)
            tryVerify(() => Bench.holdsTypedText(view))
            Bench.type(view, "brittle star")
            wait(60)
            press(Qt.Key_Return)
            tryVerify(() => Bench.verbs().includes("specimen split"))
            const split = Bench.bodies("specimen split")[0]
            compare(split.foundOn, "TK26-01-001")
            compare(split.material, "brittle star")
            verify(split.toUs > split.fromUs)
            tryCompare(parts.recovery, "wantsNote", 0)
            compare(Bench.tablesFit(), "")
        }
        function test_aLooseFindBecomesASampleOfTheDive() {
            collect()
            Bench.onDeck()
            goTo("B1")
            press(Qt.Key_7)
            tryVerify(() => Bench.holdsTypedText(view))
            Bench.type(view, "coral")
            wait(60)
            press(Qt.Key_Return)
            tryVerify(() => Bench.verbs().filter(v => v === "sample logged").length === 3)
            compare(tallied(), 1)
            compare(Bench.bodies("slot tallied")[0].answer, "extra")
            verify(JSON.stringify(Bench.bodies("stamp taken")[2]).includes("collected from"))
            compare(Bench.tablesFit(), "")
        }
        function test_twoThatCantBeToldApartSaySoOfEachOther() {
            collect()
            Bench.logSample("R1", "basalt")
            tryVerify(() => Bench.samples().length === 3)
            goTo("R1")
            tryCompare(parts.recovery, "held", 2)
            press(Qt.Key_8)
            tryVerify(() => Bench.holdsTypedText(view))
            Bench.type(view, "both grey")
            wait(60)
            press(Qt.Key_Return)
            tryVerify(() => tallied() === 1)
            const said = Bench.bodies("sample amended").map(b => JSON.stringify(b))
            compare(said.length, 2)
            verify(said[0].includes("told apart from TK26-01-003"), said[0])
            verify(said[1].includes("told apart from TK26-01-002"), said[1])
            compare(Bench.tablesFit(), "")
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
        function test_emptyAsksWhatBecameOfWhatWasLogged() {
            collect()
            goTo("B2")
            press(Qt.Key_2)
            compare(parts.recovery.wantsNote, 2)
            verify(parts.recovery.wantsPrompt.includes("lost"))
            tryVerify(() => Bench.holdsTypedText(view))
            compare(tallied(), 0)
            Bench.type(view, "lost")
            press(Qt.Key_Return)
            tryVerify(() => tallied() === 1)
            tryVerify(() => Bench.verbs().includes("sample state"))
        }
        function findItem(item, matches) {
            if (matches(item))
                return item
            for (let i = 0; i < item.children.length; ++i) {
                const found = findItem(item.children[i], matches)
                if (found)
                    return found
            }
            return null
        }
        function goTo(code) {
            while (parts.recovery.row > 0)
                press(Qt.Key_Up)
            for (let i = 0; i < 60 && parts.recovery.code !== code; ++i)
                press(Qt.Key_Down)
            compare(parts.recovery.code, code)
        }
        function clockOf(row) {
            const tally = parts.recovery.tally
            return tally.data(tally.index(row, 0), TallyModel.Clock)
        }
        function labelFile(id) { return parts.desk.path.replace(".hfc", "-label-" + id + ".pdf") }
        function collect() {
            Bench.collect()
            tryVerify(() => parts.recovery.sinceBottom.startsWith("off bottom 5"))
        }

        function test_theSlotInHandIsLiftedOnThePlan() {
            const lifted = () => findItem(view.contentItem, i => i.visible && i.small === true && i.chosen === true)
            while (parts.recovery.row > 0)
                press(Qt.Key_Up)
            verify(lifted() !== null)
            compare(lifted().code, parts.recovery.code)
            const before = parts.recovery.code
            press(Qt.Key_Down)
            verify(parts.recovery.code !== before)
            compare(lifted().code, parts.recovery.code)
            const chosen = parts.dive.chosenSlot
            lifted().clicked() // only looked at: the choice of the Dive place stays
            compare(parts.dive.chosenSlot, chosen)
        }
        /// Collected an hour ago, off bottom two minutes later. Fresh coral is to be in the cold or preserved within
        /// the minutes of the holding table; basalt has a limit of its own or none.
        function test_theListShowsTheTimeSinceOffBottomAndTheColdClock() {
            verify(parts.recovery.sinceBottom.includes("not recorded"))
            collect()
            verify(/^off bottom 5[78] min ago$/.test(parts.recovery.sinceBottom), parts.recovery.sinceBottom)
            goTo("B2")
            const coral = parts.recovery.row
            tryVerify(() => /(left|over by)/.test(clockOf(coral)))
            verify(clockOf(coral).includes("into"), clockOf(coral))
            goTo("B1")
            compare(clockOf(parts.recovery.row), "")
        }
        function test_theLabelOfTheSampleInHandIsPrintedByOneKey() {
            collect()
            const id = Bench.samples()[0].split(" ")[0]
            goTo("B2")
            verify(!Bench.hasFile(labelFile(id)))
            press(Qt.Key_P, Qt.ControlModifier)
            tryVerify(() => Bench.hasFile(labelFile(id)))
            compare(tallied(), 0)
        }
        function test_anEmptySlotHasNoLabel() {
            collect()
            goTo("B1")
            compare(parts.recovery.holdsSomething, false)
            press(Qt.Key_P, Qt.ControlModifier)
            wait(50)
            verify(!Bench.hasFile(labelFile("")))
        }
        function test_theLabelPrintsWhenAnsweredOnceThatIsWanted() {
            collect()
            const ids = Bench.samples().map(s => s.split(" ")[0])
            goTo("B2")
            press(Qt.Key_1)
            tryVerify(() => tallied() === 1)
            press(Qt.Key_L, Qt.ControlModifier)
            compare(parts.recovery.labelFollows, true)
            goTo("R1")
            press(Qt.Key_1)
            tryVerify(() => tallied() === 2)
            tryVerify(() => Bench.hasFile(labelFile(ids[1])))
            verify(!Bench.hasFile(labelFile(ids[0])))
            press(Qt.Key_L, Qt.ControlModifier)
            compare(parts.recovery.labelFollows, false)
        }
    }
}
