// SPDX-License-Identifier: GPL-3.0-or-later
// The feeds page by keys: a feed is added with a wrong profile, its bad lines are seen, the profile is put right, the
// lines are taken in, and the feed is removed.
import QtQuick
import QtTest
import Holdfast.Ui
import Holdfast.Tests

Item {
    id: root
    Component { id: windows; Main {} }

    TestCase {
        name: "FeedsByKeys"
        when: windowShown
        property var view: null
        property var parts: null
        property int port: 0

        function init() {
            parts = Bench.begin(true)
            parts.places.showPlace("dive")
            view = windows.createObject(root, parts)
            view.requestActivate()
            tryCompare(view, "active", true)
            view.focusPlace()
            tryVerify(() => view.activeFocusItem !== null)
            port = Bench.freePort()
        }
        function cleanup() {
            view.destroy()
            wait(0)
            Bench.end()
        }
        function press(key, modifiers) { Bench.key(view, key, modifiers ?? 0) }
        function feed(role) {
            const list = parts.feeds.feeds
            return list.rowCount() === 0 ? undefined : list.data(list.index(0, 0), role)
        }
        function scan(n) { return new Date().toISOString() + ",32.101,3.40" + n % 10 + ",1000.0,180.2" }
        function setFeed(line) {
            press(Qt.Key_A)
            tryVerify(() => Bench.holdsTypedText(view))
            Bench.type(view, line)
            press(Qt.Key_Return)
        }

        function test_aFeedIsSetPutRightTakenInAndRemoved() {
            press(Qt.Key_F4)
            tryVerify(() => view.activeFocusItem !== null && view.activeFocusItem.Accessible.name === "Feeds")
            compare(Bench.unnamed(view), [])

            setFeed("CTD udp://nowhere ctd-csv")
            tryVerify(() => Bench.holdsTypedText(view)) // what is wrong is said, and the line is still there
            compare(Bench.verbs().filter(v => v === "feed set").length, 0)
            press(Qt.Key_A, Qt.ControlModifier)
            press(Qt.Key_Delete)
            Bench.type(view, "CTD udp://127.0.0.1:" + port + " position-csv")
            press(Qt.Key_Return)
            tryVerify(() => feed(FeedList.Name) === "CTD", 5000)
            compare(feed(FeedList.Profile), "position-csv")

            // It speaks as a CTD: no line of it is a position.
            Bench.say(port, "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg")
            // For a while that may be a feed heard from its middle, waiting for its header; then it is told.
            for (let i = 0; i < 150 && feed(FeedList.Trouble) === ""; ++i) {
                Bench.say(port, scan(i))
                wait(100)
            }
            verify(feed(FeedList.Trouble).includes("recorded all the same"), feed(FeedList.Trouble))
            verify(!feed(FeedList.Alive))
            verify(feed(FeedList.Counts).includes("bad"), feed(FeedList.Counts))

            tryVerify(() => !Bench.holdsTypedText(view))
            setFeed("CTD udp://127.0.0.1:" + port + " ctd-csv")
            tryVerify(() => feed(FeedList.Profile) === "ctd-csv", 5000)
            Bench.say(port, "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg")
            for (let i = 0; i < 8; ++i) {
                Bench.say(port, scan(i))
                wait(30)
            }
            tryVerify(() => feed(FeedList.Alive) === true, 5000)
            tryVerify(() => feed(FeedList.Clock).includes("±"), 5000)

            // Alive, and its lines are on disk: those before, too, are scans now.
            wait(2500)
            tryVerify(() => !Bench.holdsTypedText(view))
            press(Qt.Key_I)
            tryVerify(() => Bench.verbs().includes("log taken in"), 8000)
            const log = Bench.bodies("log taken in")[0]
            compare(log.profile, "ctd-csv")
            tryCompare(parts.feeds, "takingIn", "")

            press(Qt.Key_Delete)
            tryVerify(() => parts.feeds.feeds.rowCount() === 0, 5000)
            compare(Bench.verbs().filter(v => v === "feed removed").length, 1)
            compare(Bench.tablesFit(), "")
            press(Qt.Key_Escape)
            press(Qt.Key_Space) // and the stamp goes on as ever
            tryVerify(() => Bench.verbs().includes("stamp taken"))
        }
    }
}
