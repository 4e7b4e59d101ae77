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
        function type(text) { Bench.type(view, text) }
        function about() { return JSON.parse(Bench.readFile(parts.handoff.about.path) || "{}") }
        function openAbout() {
            press(Qt.Key_D)
            tryCompare(parts.handoff.about, "ready", true)
            tryVerify(() => Bench.holdsTypedText(view))
        }
        /// The cell of the row "TK26" under that title.
        function goTo(title) {
            parts.handoff.choose(0, parts.handoff.titles.indexOf(title))
            tryVerify(() => parts.handoff.mend !== "")
        }
        function test_enterOnALicenceGoesToItsFieldAndAKeyPutsOneIn() {
            goTo("licence")
            press(Qt.Key_Return)
            tryCompare(parts.handoff.about, "ready", true)
            tryVerify(() => Bench.holdsTypedText(view))
            const field = view.activeFocusItem
            verify(field.Accessible.name.startsWith("licence"))
            tryVerify(() => field.mapToItem(null, 0, 0).y > 50, 2000, "the field in hand is in sight")
            press(Qt.Key_2, Qt.ControlModifier)
            compare(view.activeFocusItem.text, "https://creativecommons.org/licenses/by/4.0/")
            press(Qt.Key_S, Qt.ControlModifier)
            tryCompare(parts.handoff.about, "shown", false)
            compare(about().licence, "https://creativecommons.org/licenses/by/4.0/")
            tryVerify(() => !parts.handoff.judging)
            parts.handoff.choose(0, parts.handoff.titles.indexOf("licence"))
            tryCompare(parts.handoff, "mend", "")
        }
        function test_enterOnTheContactGoesToItsField() {
            goTo("contact")
            press(Qt.Key_Return)
            tryVerify(() => Bench.holdsTypedText(view) && view.activeFocusItem.Accessible.name.startsWith("contact,"))
            type("Ana Invented")
            press(Qt.Key_Down)
            press(Qt.Key_Down)
            type("ana")
            press(Qt.Key_S, Qt.ControlModifier)
            verify(parts.handoff.about.shown, "what is wrong is not saved")
            verify(parts.handoff.about.answer.startsWith("Not saved"))
            verify(view.activeFocusItem.Accessible.name.includes("no e-mail address"), view.activeFocusItem.Accessible.name)
            compare(about(), {})
            press(Qt.Key_End)
            type("@example.org")
            press(Qt.Key_S, Qt.ControlModifier)
            tryCompare(parts.handoff.about, "shown", false)
            compare(about().contact, { name: "Ana Invented", email: "ana@example.org" })
        }
        function test_severalLinesAreTypedAndTabGoesOn() {
            openAbout()
            while (!view.activeFocusItem.Accessible.name.startsWith("creators"))
                press(Qt.Key_Tab)
            type("Mara; Institute")
            press(Qt.Key_Return)
            type("Bo")
            press(Qt.Key_Tab)
            verify(view.activeFocusItem.Accessible.name.startsWith("rights holder"))
            press(Qt.Key_S, Qt.ControlModifier)
            tryCompare(parts.handoff.about, "shown", false)
            compare(about().creators, [{ name: "Mara", organisation: "Institute" }, { name: "Bo" }])
        }
        function test_whatWasTypedStaysUntilItIsSaved() {
            openAbout()
            type("CC0")
            press(Qt.Key_Escape)
            compare(parts.handoff.about.shown, false)
            compare(about(), {})
            press(Qt.Key_M, Qt.ControlModifier)
            compare(parts.handoff.making, false)
            tryVerify(() => parts.notices.total > 0)
            view.close()
            verify(view.visible, "told once before it is lost")
            press(Qt.Key_D)
            tryVerify(() => Bench.holdsTypedText(view))
            compare(view.activeFocusItem.text, "CC0")
            press(Qt.Key_S, Qt.ControlModifier)
            tryCompare(parts.handoff.about, "unsaved", false)
            compare(about().licence, "CC0")
        }
        function test_aFileThatIsNotUnderstoodIsLeftAsItIs() {
            Bench.writeFile(parts.handoff.about.path, '{"license": "CC0"}')
            press(Qt.Key_D)
            tryVerify(() => parts.handoff.about.trouble.includes("license"))
            compare(parts.handoff.about.ready, false)
            press(Qt.Key_S, Qt.ControlModifier)
            compare(Bench.readFile(parts.handoff.about.path), '{"license": "CC0"}')
            press(Qt.Key_Escape)
            compare(parts.handoff.about.shown, false)
        }
        function test_whatOthersWroteMeanwhileIsNotReplaced() {
            openAbout()
            type("CC0")
            Bench.writeFile(parts.handoff.about.path, '{"title": "of somebody else"}')
            press(Qt.Key_S, Qt.ControlModifier)
            tryVerify(() => parts.handoff.about.trouble.includes("changed by another program"))
            compare(about().title, "of somebody else")
        }
        function test_whereItAppearsIsChosenAndSaidBefore() {
            const choices = parts.handoff.choices
            const folder = Bench.folderBeside(parts.desk.path, "archive")
            tryVerify(() => choices.said.includes("TK26-v1 will appear in"))
            press(Qt.Key_O)
            tryVerify(() => Bench.holdsTypedText(view))
            press(Qt.Key_A, Qt.ControlModifier)
            type(folder + "x")
            wait(60)
            press(Qt.Key_Return)
            tryVerify(() => choices.trouble.includes("There is no folder"))
            press(Qt.Key_Up)
            press(Qt.Key_End)
            press(Qt.Key_Backspace)
            press(Qt.Key_Escape)
            tryVerify(() => choices.said.includes("TK26-v1 will appear in " + folder))
            press(Qt.Key_Z)
            press(Qt.Key_P)
            tryVerify(() => choices.said.includes("TK26-v1.zip will appear in") && choices.said.includes("without papers"))
            press(Qt.Key_M, Qt.ControlModifier)
            tryCompare(parts.handoff, "making", false, 20000)
            verify(Bench.hasFile(folder + "/TK26-v1.zip"))
            tryVerify(() => choices.said.includes("TK26-v2.zip will appear in") && choices.said.includes("follows TK26-v1"))
        }
        function test_aFolderThatTakesNoFileIsToldAndNothingIsMade() {
            parts.handoff.choices.folder = "/proc"
            tryVerify(() => parts.handoff.choices.trouble.includes("No file can be made in /proc"))
            press(Qt.Key_M, Qt.ControlModifier)
            tryCompare(parts.handoff, "making", false, 20000)
            compare(parts.handoff.report.length, 0)
            tryVerify(() => parts.notices.total > 0)
        }
        function test_aFolderOfPicturesThatIsNotThereIsTold() {
            parts.handoff.choices.pictures = "/no/such/folder"
            tryVerify(() => parts.handoff.choices.picturesTrouble.includes("/no/such/folder"))
            parts.handoff.choices.pictures = "card/7"
            compare(parts.handoff.choices.pictures, parts.handoff.choices.folder + "/card/7") // from the cruise file's folder on
            parts.handoff.choices.pictures = ""
            tryCompare(parts.handoff.choices, "trouble", "")
        }
        function test_aFindingThatNamesASampleOpensItsRecord() {
            collected()
            parts.handoff.choices.papers = false
            press(Qt.Key_M, Qt.ControlModifier)
            tryCompare(parts.handoff, "making", false, 20000)
            tryVerify(() => parts.handoff.report.length > 1)
            tryVerify(() => parts.handoff.grid.rowCount() > 0)
            press(Qt.Key_F6)
            compare(parts.handoff.finding, 0)
            for (let i = 0; i < 40 && parts.handoff.findingItem === ""; ++i)
                press(Qt.Key_Down)
            const id = parts.handoff.findingItem
            verify(sampleIds().includes(id), parts.handoff.report.join(" | "))
            press(Qt.Key_Return)
            tryCompare(parts.scan, "recordId", id)
            compare(parts.places.title, "Hand-off")
        }
        function test_namesForAScreenReader() {
            compare(Bench.unnamed(view), [])
            openAbout()
            compare(Bench.unnamed(view), [])
        }
    }
}
