// SPDX-License-Identifier: GPL-3.0-or-later
// The window: the rail of places, the place that is shown, notices at its foot, sheets over all of it.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Controls.Basic
import QtQuick.Layouts
import Holdfast.Ui

ApplicationWindow {
    id: root
    required property Desk desk
    required property DiveDesk dive
    required property FeedDesk feeds
    required property ReadyDesk ready
    required property PictureDesk pictures
    required property ShownUnits units
    required property WatchList found
    required property LoadoutDesk loadout
    property WatchWindow watching: null
    required property RecoveryDesk recovery
    required property CruiseDesk cruise
    required property ExchangeDesk exchange
    required property PapersDesk papers
    required property HandoffDesk handoff
    required property BenchDesk bench
    required property CustodyDesk custody
    required property ScanDesk scan
    required property Notices notices
    required property Places places
    readonly property bool sheetShown: person.shown || keys.shown || feedsSheet.shown || form.shown || unitsSheet.shown || loadoutSheet.shown || record.shown || finder.shown
    readonly property int place: places.current
    readonly property bool choosingFile: cruisePlace.choosing

    width: 1440
    height: 900
    minimumWidth: 960
    minimumHeight: 600
    visible: true
    color: Theme.ground
    title: root.desk.open ? qsTr("%1, %2: Holdfast").arg(root.desk.cruiseCode).arg(root.desk.diveName) : "Holdfast"

    Binding { target: Theme; property: "fit"; value: Math.min(root.width / 1440, root.height / 900) }

    readonly property list<KeyAct> everywhere: [
        KeyAct { label: qsTr("Cruise"); keyText: "Alt+1"; sequence: "Alt+1"; enabled: !root.sheetShown; onActivated: root.go(Places.Cruise) },
        KeyAct { label: qsTr("Ready"); keyText: "Alt+2"; sequence: "Alt+2"; enabled: !root.sheetShown; onActivated: root.go(Places.Ready) },
        KeyAct { label: qsTr("Dive"); keyText: "Alt+3"; sequence: "Alt+3"; enabled: !root.sheetShown; onActivated: root.go(Places.Dive) },
        KeyAct { label: qsTr("Recovery"); keyText: "Alt+4"; sequence: "Alt+4"; enabled: !root.sheetShown; onActivated: root.go(Places.Recovery) },
        KeyAct { label: qsTr("Bench"); keyText: "Alt+5"; sequence: "Alt+5"; enabled: !root.sheetShown; onActivated: root.go(Places.Bench) },
        KeyAct { label: qsTr("Custody"); keyText: "Alt+6"; sequence: "Alt+6"; enabled: !root.sheetShown; onActivated: root.go(Places.Custody) },
        KeyAct { label: qsTr("Hand-off"); keyText: "Alt+7"; sequence: "Alt+7"; enabled: !root.sheetShown; onActivated: root.go(Places.HandOff) },
        KeyAct { label: qsTr("Papers"); keyText: "Alt+8"; sequence: "Alt+8"; enabled: !root.sheetShown; onActivated: root.go(Places.Papers) },
        KeyAct { label: qsTr("find anything"); keyText: "Ctrl+F"; sequence: "Ctrl+F"; enabled: root.desk.open && !root.sheetShown; onActivated: finder.open() },
        KeyAct { label: qsTr("exchange with other stations"); keyText: "F5"; sequence: "F5"; enabled: root.desk.open && !root.sheetShown; onActivated: root.meet() },
        KeyAct { label: qsTr("who is logging"); keyText: "F9"; sequence: "F9"; onActivated: person.open() },
        KeyAct { label: qsTr("earlier or later dive"); keyText: "Alt+PgUp, Alt+PgDown"; sequence: "Alt+PgDown"; enabled: root.desk.open; onActivated: root.desk.nextDive(1) },
        KeyAct { label: qsTr("earlier dive"); keyText: "Alt+PgUp"; listed: false; sequence: "Alt+PgUp"; enabled: root.desk.open; onActivated: root.desk.nextDive(-1) },
        KeyAct { label: qsTr("night or day"); keyText: "F10"; sequence: "F10"; onActivated: Theme.day = !Theme.day },
        KeyAct { label: qsTr("positions and local time"); keyText: "F3"; sequence: "F3"; onActivated: unitsSheet.open() },
        KeyAct { label: qsTr("second window, reading only"); keyText: "F12"; sequence: "F12"; onActivated: root.watch() },
        KeyAct { label: qsTr("larger text"); keyText: "Ctrl++"; sequences: ["Ctrl++", "Ctrl+="]; onActivated: Theme.textScale *= 1.1 },
        KeyAct { label: qsTr("smaller text"); keyText: "Ctrl+-"; sequence: "Ctrl+-"; onActivated: Theme.textScale /= 1.1 },
        KeyAct { label: qsTr("whole screen"); keyText: "F11"; sequence: "F11"; onActivated: root.visibility = root.visibility === Window.FullScreen ? Window.Windowed : Window.FullScreen },
        KeyAct { label: qsTr("these keys"); keyText: "F1"; sequence: "F1"; onActivated: keys.open() },
        KeyAct { label: qsTr("put a notice away"); keyText: "Esc"; listed: false; sequence: "" }
    ]

    function go(place: int) {
        root.places.current = place
        root.focusPlace()
    }
    function meet() {
        root.exchange.shown = true
        root.go(Places.Cruise)
    }
    function watch() {
        if (!root.watching)
            root.watching = watchWindows.createObject(null) as WatchWindow
        root.watching.show()
        root.watching.requestActivate()
    }
    function focusPlace() {
        const shown = stack.children[stack.currentIndex] as FocusScope
        if (shown)
            shown.forceActiveFocus()
    }

    Component {
        id: watchWindows
        WatchWindow {
            alone: false
            desk: root.desk
            dive: root.dive
            feeds: root.feeds
            ready: root.ready
            pictures: root.pictures
            units: root.units
            found: root.found
        }
    }
    onClosing: close => {
        close.accepted = root.desk.mayClose() && root.handoff.about.mayClose()
        if (close.accepted && root.watching)
            root.watching.close()
    }
    Component.onDestruction: if (root.watching) root.watching.destroy()

    Connections {
        target: root.desk
        function onPlaceWanted(word: string) {
            root.places.showPlace(word)
            root.focusPlace()
        }
    }

    RowLayout {
        anchors.fill: parent
        spacing: 0
        // No shortcut: Esc belongs to what is being typed or carried first, and to a notice only when nobody takes it.
        Keys.onEscapePressed: root.notices.putAway()
        PlaceRail {
            Layout.fillHeight: true
            places: root.places
            desk: root.desk
            onPersonWanted: person.open()
        }
        ColumnLayout {
            Layout.fillWidth: true
            Layout.fillHeight: true
            spacing: 0
            StackLayout {
                id: stack
                Layout.fillWidth: true
                Layout.fillHeight: true
                currentIndex: root.places.page
                CruisePlace {
                    id: cruisePlace
                    focus: true
                    desk: root.desk
                    cruise: root.cruise
                    exchange: root.exchange
                    active: root.place === Places.Cruise && !root.sheetShown
                    onFormWanted: asDive => form.ask(asDive)
                    onLoadoutWanted: templateName => loadoutSheet.open(templateName)
                }
                DivePlace {
                    id: divePlace
                    desk: root.desk
                    dive: root.dive
                    feeds: root.feeds
                    pictures: root.pictures
                    units: root.units
                    active: root.place === Places.Dive && !root.sheetShown
                    onFeedsWanted: feedsSheet.open()
                }
                RecoveryPlace {
                    id: recoveryPlace
                    recovery: root.recovery
                    dive: root.dive
                    active: root.place === Places.Recovery && !root.sheetShown
                }
                PapersPlace {
                    id: papersPlace
                    papers: root.papers
                    active: root.place === Places.Papers && !root.sheetShown
                }
                HandoffPlace {
                    id: handoffPlace
                    handoff: root.handoff
                    active: root.place === Places.HandOff && !root.sheetShown
                }
                ReadyPlace {
                    id: readyPlace
                    desk: root.desk
                    ready: root.ready
                    active: root.place === Places.Ready && !root.sheetShown
                    onFeedsWanted: feedsSheet.open()
                }
                BenchPlace {
                    id: benchPlace
                    bench: root.bench
                    active: root.place === Places.Bench && !root.sheetShown
                }
                CustodyPlace {
                    id: custodyPlace
                    custody: root.custody
                    active: root.place === Places.Custody && !root.sheetShown
                }
            }
            NoticeStack {
                Layout.fillWidth: true
                notices: root.notices
            }
        }
    }
    PersonSheet {
        id: person
        desk: root.desk
        onClosed: root.focusPlace()
    }
    FeedsSheet {
        id: feedsSheet
        feeds: root.feeds
        onClosed: root.focusPlace()
    }
    LoadoutSheet {
        id: loadoutSheet
        loadout: root.loadout
        onClosed: root.focusPlace()
    }
    UnitsSheet {
        id: unitsSheet
        units: root.units
        onClosed: root.focusPlace()
    }
    FormSheet {
        id: form
        cruise: root.cruise
        onClosed: root.focusPlace()
    }
    FindSheet {
        id: finder
        scan: root.scan
        onClosed: root.focusPlace()
    }
    RecordSheet {
        id: record
        scan: root.scan
        onClosed: root.focusPlace()
    }
    RefusalBand {
        id: refusal
        anchors { left: parent.left; right: parent.right; top: parent.top }
        scan: root.scan
    }
    KeysSheet {
        id: keys
        here: root.place === Places.Dive ? divePlace.acts : root.place === Places.Recovery ? recoveryPlace.acts : root.place === Places.Cruise ? cruisePlace.shownActs : root.place === Places.Papers ? papersPlace.acts : root.place === Places.Ready ? readyPlace.acts : root.place === Places.Bench ? benchPlace.acts : root.place === Places.Custody ? custodyPlace.acts : root.place === Places.HandOff ? handoffPlace.shownActs : []
        everywhere: root.everywhere
        onClosed: root.focusPlace()
    }
    Component.onCompleted: {
        root.scan.watch(root)
        root.focusPlace()
        if (root.desk.person === "")
            person.open()
    }
}
