// SPDX-License-Identifier: GPL-3.0-or-later
// Tally, bench and hand-over by keys and by a gun that types, on a real cruise file.
import QtQuick
import QtTest
import Holdfast.Ui
import Holdfast.Tests

Item {
    id: root
    Component { id: windows; Main {} }

    TestCase {
        name: "BenchAndCustodyByKeys"
        when: windowShown
        property var view: null
        property var parts: null

        function init() {
            parts = Bench.begin(true)
            Bench.collect()
            parts.desk.showDive(1)
            parts.places.showPlace("bench")
            view = windows.createObject(root, parts)
            verify(view)
            view.requestActivate()
            tryCompare(view, "active", true)
            view.focusPlace()
            tryVerify(() => view.activeFocusItem !== null)
            tryVerify(() => parts.bench.tree.rowCount() === 1)
        }
        function cleanup() {
            view.destroy()
            wait(0)
            Bench.end()
        }
        function press(key, modifiers) { Bench.key(view, key, modifiers ?? 0) }
        function type(text) { Bench.type(view, text) }
        function count(verb) { return Bench.verbs().filter(v => v === verb).length }
        function scan(id) { Bench.scan(view, id) }

        function test_splitPreserveAndStoreByKeys() {
            press(Qt.Key_S)
            compare(parts.bench.act, "split")
            tryVerify(() => Bench.holdsTypedText(view))
            compare(parts.bench.fieldValues[0], "coral")
            press(Qt.Key_Return)
            type("DNA")
            press(Qt.Key_Return, Qt.ControlModifier)
            tryVerify(() => count("specimen split") === 1)
            tryCompare(parts.bench, "act", "")
            tryVerify(() => parts.bench.tree.rowCount() === 2)
            press(Qt.Key_Down)
            tryCompare(parts.bench, "row", 1)
            press(Qt.Key_P)
            compare(parts.bench.act, "preserve")
            verify(parts.bench.fieldValues[0].includes("ethanol"), parts.bench.fieldValues[0])
            verify(parts.bench.cautions[0].includes("Ethanol"))
            verify(parts.bench.proposal.includes("usual"))
            press(Qt.Key_Return, Qt.ControlModifier)
            tryVerify(() => count("item preserved") === 1)
            tryCompare(parts.bench, "act", "")
            press(Qt.Key_L)
            tryVerify(() => Bench.holdsTypedText(view))
            type("ship/lab 2")
            press(Qt.Key_Return, Qt.ControlModifier)
            tryVerify(() => count("item stored") === 1)
        }
        function test_oneActIsRecordedOnceHoweverOftenItsKeyIsPressed() {
            press(Qt.Key_S)
            tryVerify(() => Bench.holdsTypedText(view))
            for (let i = 0; i < 3; ++i)
                parts.bench.give()
            compare(parts.bench.busy, true)
            tryCompare(parts.bench, "busy", false)
            tryVerify(() => parts.bench.tree.rowCount() === 2)
            compare(count("specimen split"), 1)
            press(Qt.Key_Down)
            tryCompare(parts.bench, "row", 1)
            press(Qt.Key_V)
            compare(parts.bench.act, "void")
            tryVerify(() => Bench.holdsTypedText(view))
            type("pressed by mistake")
            press(Qt.Key_Return)
            tryVerify(() => count("specimen voided") === 1)
        }
        function test_whatMayBeProtectedIsToldBeforeItIsSplit() {
            press(Qt.Key_S)
            tryVerify(() => parts.bench.cautions.some(c => c.includes("permit authorities")))
        }
        function test_aWrongValueIsToldAndEscLeaves() {
            press(Qt.Key_C)
            tryVerify(() => Bench.holdsTypedText(view))
            type("colour")
            press(Qt.Key_Return, Qt.ControlModifier)
            tryVerify(() => parts.bench.trouble !== "")
            compare(count("sample amended"), 0)
            tryVerify(() => parts.notices.total > 0)
            press(Qt.Key_Escape) // what is being typed comes first, the notice stays to be read
            compare(parts.bench.act, "")
            verify(parts.notices.total > 0)
            press(Qt.Key_Escape)
            compare(parts.notices.total, 0)
        }
        function test_marksAndScansMakeAList() {
            press(Qt.Key_L)
            tryVerify(() => Bench.holdsTypedText(view))
            scan("TK26-01-002")
            tryVerify(() => parts.bench.chosen.length === 2)
            type("ship/hold")
            press(Qt.Key_Return, Qt.ControlModifier)
            tryVerify(() => count("item stored") === 2)
        }
        function test_theFileDialogOpensAndCloses() {
            press(Qt.Key_1, Qt.AltModifier)
            press(Qt.Key_O, Qt.ControlModifier)
            tryVerify(() => view.choosingFile)
            press(Qt.Key_Escape)
            tryVerify(() => !view.choosingFile)
        }
        function test_aScanOpensTheRecordElsewhere() {
            press(Qt.Key_1, Qt.AltModifier)
            scan("TK26-01-002")
            tryCompare(parts.scan, "recordId", "TK26-01-002")
            tryVerify(() => view.sheetShown)
            press(Qt.Key_Escape)
            tryVerify(() => !view.sheetShown)
            compare(parts.scan.recordId, "")
        }
        function test_badCodesAreRefusedWithASentence_data() {
            return [
                { tag: "unknown", code: "TK26-01-099", says: "No sample, specimen or bound label" },
                { tag: "wrong cruise", code: "ZZ99-01-001", says: "not of cruise TK26" }
            ]
        }
        function test_badCodesAreRefusedWithASentence(data) {
            scan(data.code)
            tryCompare(parts.scan, "refusals", 1)
            verify(parts.notices.total > 0)
            compare(parts.scan.recordId, "")
            const band = Array.from(view.contentItem.children).find(item => item.sentence !== undefined && item.scan !== undefined)
            verify(band && band.visible)
            verify(band.sentence.includes(data.says))
        }
        function test_aMistypedIdIsCaughtByItsCheckCharacter() {
            parts.scan.take("TK26-01-002*" + (Bench.printed("TK26-01-002").slice(-1) === "A" ? "B" : "A"))
            compare(parts.scan.refusals, 1)
            parts.scan.take(Bench.printed("TK26-01-002"))
            tryCompare(parts.bench, "sample", "TK26-01-002")
        }
        function test_tallyByScanning() {
            press(Qt.Key_4, Qt.AltModifier)
            const recovery = parts.recovery
            tryVerify(() => recovery.row >= 0)
            scan("TK26-01-002")
            tryCompare(recovery, "code", "R1")
            scan("TK26-01-002")
            tryVerify(() => count("slot tallied") === 1)
        }
        function setPin(pin) {
            press(Qt.Key_P, Qt.ControlModifier)
            type(pin)
            press(Qt.Key_Return)
            type(pin)
            press(Qt.Key_Return)
        }
        function test_handOverSignedOnTheScreenByBoth() {
            press(Qt.Key_6, Qt.AltModifier)
            press(Qt.Key_H)
            tryVerify(() => Bench.holdsTypedText(view))
            type("Ana")
            scan("TK26-01-001")
            tryVerify(() => parts.custody.items.length === 1)
            press(Qt.Key_Return, Qt.ControlModifier)
            tryVerify(() => Bench.holdsTypedText(view))
            type("intact")
            Bench.sign(view, 0)
            press(Qt.Key_Return, Qt.ControlModifier)
            verify(parts.custody.trouble.includes("Ana must confirm"), parts.custody.trouble)
            Bench.sign(view, 1)
            press(Qt.Key_Return, Qt.ControlModifier)
            tryCompare(parts.custody, "step", 0)
            const given = Bench.bodies("hand-over offered")[0].confirmation
            compare(given.means, "drawn")
            compare(given.by, "Mara")
            compare(given.data.sha256.length, 64)
            verify(given.data.strokes[0].length >= 16)
            compare(Bench.bodies("hand-over answered")[0].confirmation.means, "drawn")
            compare(Bench.tablesFit(), "")
        }
        function test_handOverCollectedByScanningAndConfirmedByBoth() {
            press(Qt.Key_6, Qt.AltModifier)
            press(Qt.Key_H)
            compare(parts.custody.step, 1)
            tryVerify(() => Bench.holdsTypedText(view))
            type("Ana")
            compare(parts.custody.receiver, "Ana")
            scan("TK26-01-001")
            tryVerify(() => parts.custody.items.length === 1)
            compare(parts.custody.receiver, "Ana") // the gun's keys are not in the name
            scan("TK26-01-001")
            tryCompare(parts.scan, "refusals", 1) // twice
            scan("TK26-01-002")
            tryVerify(() => parts.custody.items.length === 2)
            press(Qt.Key_Return, Qt.ControlModifier)
            compare(parts.custody.step, 2)
            tryVerify(() => Bench.holdsTypedText(view))
            type("intact")
            press(Qt.Key_Return, Qt.ControlModifier)
            verify(parts.custody.trouble.includes("confirm")) // nobody has yet
            compare(count("hand-over offered"), 0)
            press(Qt.Key_Return) // temperature
            press(Qt.Key_Return) // basis
            setPin("4711")
            tryCompare(parts.custody, "giverHasPin", true, 10000)
            type("4711")
            press(Qt.Key_Return)
            setPin("2580")
            tryCompare(parts.custody, "receiverHasPin", true, 10000)
            compare(count("pin set"), 2)
            type("9988")
            press(Qt.Key_Return)
            tryVerify(() => parts.custody.trouble.includes("not the PIN of Ana"), 10000)
            compare(count("hand-over offered"), 0)
            press(Qt.Key_A, Qt.ControlModifier)
            type("2580")
            press(Qt.Key_Return)
            tryCompare(parts.custody, "step", 0, 10000)
            compare(Bench.bodies("hand-over offered")[0].confirmation.means, "pin")
            compare(Bench.bodies("hand-over answered")[0].confirmation.by, "Ana")
            compare(Bench.tablesFit(), "")
            compare(count("hand-over offered"), 1)
            compare(count("hand-over answered"), 1)
            tryVerify(() => parts.custody.holders.includes("Ana: 2"))
        }
        function test_idsAreTypedInAHandOverAndNeverBecomeAName() {
            press(Qt.Key_6, Qt.AltModifier)
            press(Qt.Key_H)
            tryVerify(() => Bench.holdsTypedText(view))
            type(Bench.printed("TK26-01-001")) // a gun that types as slowly as a person
            wait(60)
            press(Qt.Key_Return)
            tryVerify(() => parts.custody.items.length === 1)
            compare(parts.custody.receiver, "")
            tryVerify(() => parts.custody.cautions.some(c => c.includes("permit authorities")))
            type("Ana")
            press(Qt.Key_Return)
            type("TK26-01-002")
            wait(60)
            press(Qt.Key_Return)
            verify(parts.custody.trouble.includes("check character"), parts.custody.trouble)
            compare(parts.custody.items.length, 1)
            type(Bench.printed("TK26-01-002").slice(-2))
            wait(60)
            press(Qt.Key_Return)
            tryVerify(() => parts.custody.items.length === 2)
            compare(parts.custody.receiver, "Ana")
        }
        function test_handOverRefusedAndReceivedLater() {
            press(Qt.Key_6, Qt.AltModifier)
            press(Qt.Key_H)
            tryVerify(() => Bench.holdsTypedText(view))
            type("Mara")
            press(Qt.Key_Return, Qt.ControlModifier)
            verify(parts.custody.trouble !== "") // nothing scanned
            scan("TK26-01-001")
            tryVerify(() => parts.custody.items.length === 1)
            press(Qt.Key_Return, Qt.ControlModifier)
            verify(parts.custody.trouble.includes("themselves"))
            parts.custody.receiver = "Ben"
            press(Qt.Key_Return, Qt.ControlModifier)
            compare(parts.custody.step, 2)
            parts.custody.offerOnly("", [])
            verify(parts.custody.trouble.includes("Mara must confirm"))
            const drawn = [[100, 100, 200, 40, 300, 80, 350, 160, 400, 90, 450, 140, 500, 80, 560, 160]]
            parts.custody.offerOnly("", drawn)
            tryCompare(parts.custody, "step", 0)
            tryVerify(() => parts.custody.waiting.length === 1)
            press(Qt.Key_R)
            compare(parts.custody.step, 2)
            parts.custody.refuse(0, "no label")
            tryVerify(() => parts.custody.items[0].includes("no label"))
            parts.custody.complete("", [], "", drawn, "intact", "", "held", "")
            tryCompare(parts.custody, "step", 0)
            tryVerify(() => parts.custody.waiting.length === 0)
        }
        function test_findByWords() {
            press(Qt.Key_F, Qt.ControlModifier)
            tryVerify(() => Bench.holdsTypedText(view))
            tryVerify(() => parts.scan.found.length === 2)
            type("basalt")
            tryVerify(() => parts.scan.found.length === 1)
            press(Qt.Key_Return)
            tryCompare(parts.scan, "recordId", "TK26-01-002")
        }
        function test_namesForAScreenReader() {
            compare(Bench.unnamed(view), [])
            press(Qt.Key_6, Qt.AltModifier)
            compare(Bench.unnamed(view), [])
        }
    }
}
