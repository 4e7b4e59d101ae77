// SPDX-License-Identifier: GPL-3.0-or-later
// The scientist's window: what we have, from where, what is left of permits and plan, which slots are free. It writes
// nothing and follows the file as it grows.
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

    width: 1440
    height: 900
    minimumWidth: 960
    minimumHeight: 600
    visible: true
    color: Theme.ground
    title: root.desk.open ? qsTr("%1, %2: Holdfast, reading only").arg(root.desk.cruiseCode).arg(root.desk.diveName) : qsTr("Holdfast, reading only")

    // The one window of its program sets the size of its words; beside the logging window that one does.
    property bool alone: true
    Binding { target: Theme; property: "fit"; value: Math.min(root.width / 1440, root.height / 900); when: root.alone }

    Shortcut { sequence: "Esc"; enabled: !root.alone; onActivated: root.close() }
    Shortcut { sequence: "F10"; onActivated: Theme.day = !Theme.day }
    Shortcut { sequence: "F11"; onActivated: root.visibility = root.visibility === Window.FullScreen ? Window.Windowed : Window.FullScreen }
    Shortcut { sequence: "Alt+PgDown"; enabled: root.alone; onActivated: root.desk.nextDive(1) }
    Shortcut { sequence: "Alt+PgUp"; enabled: root.alone; onActivated: root.desk.nextDive(-1) }

    component Rows: Column {
        id: rows
        required property var lines // a QStringList
        required property string empty
        anchors { left: parent.left; right: parent.right; top: parent.top; leftMargin: Theme.gap * 0.5; rightMargin: Theme.gap * 0.5 }
        spacing: Theme.gap * 0.4
        Repeater {
            model: rows.lines
            delegate: Words {
                required property string modelData
                width: rows.width
                text: modelData
                color: modelData.includes("!") ? Theme.care : Theme.ink
                size: Theme.small
            }
        }
        Words { visible: rows.lines.length === 0; width: rows.width; wrapMode: Text.WordWrap; text: rows.empty; color: Theme.soft; size: Theme.small }
    }

    ColumnLayout {
        anchors { fill: parent; margins: Theme.gap * 1.5 }
        spacing: Theme.gap
        RowLayout {
            Layout.fillWidth: true
            Layout.leftMargin: Theme.gap
            Layout.rightMargin: Theme.gap
            spacing: Theme.gap * 3
            Words { text: root.desk.open ? root.desk.cruiseCode + "  " + root.desk.diveName : qsTr("no cruise is open"); size: Theme.large; font.weight: Font.DemiBold }
            Words { text: root.dive.phaseText; size: Theme.large }
            Item { Layout.fillWidth: true }
            Words { text: root.feeds.clockText.slice(0, 8) + " UTC" + (root.units.localClock === "" ? "" : "  ·  " + root.units.localClock); size: Theme.body }
            Words { text: qsTr("reading only"); color: Theme.care; size: Theme.small }
        }
        PlaceHead {
            Layout.fillWidth: true
            Layout.leftMargin: Theme.gap
            Layout.rightMargin: Theme.gap
            question: qsTr("What have we got?")
            answer: root.found.answer
            aside: root.dive.slotPlan.counts
        }
        RowLayout {
            Layout.fillWidth: true
            Layout.fillHeight: true
            spacing: Theme.gap
            ColumnLayout {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 55
                spacing: Theme.gap
                Panel {
                    Layout.fillWidth: true
                    Layout.fillHeight: true
                    Layout.preferredHeight: 60
                    title: qsTr("Taken")
                    aside: qsTr("newest first, with the provisional fix")
                    ListView {
                        id: list
                        anchors.fill: parent
                        clip: true
                        focus: true
                        activeFocusOnTab: true
                        model: root.found.lines
                        Accessible.role: Accessible.List
                        Accessible.name: qsTr("Samples of this dive with their positions")
                        delegate: Words {
                            required property string modelData
                            width: list.width
                            height: Theme.body * 1.6
                            leftPadding: Theme.gap * 0.5
                            text: modelData
                            color: modelData.includes("✕") ? Theme.soft : Theme.ink
                            size: Theme.small
                        }
                    }
                }
                RowLayout {
                    Layout.fillWidth: true
                    Layout.fillHeight: true
                    Layout.preferredHeight: 26
                    spacing: Theme.gap
                    Panel {
                        Layout.fillWidth: true
                        Layout.fillHeight: true
                        title: qsTr("Permits")
                        Rows { lines: root.ready.permits; empty: qsTr("No limit is set.") }
                    }
                    Panel {
                        Layout.fillWidth: true
                        Layout.fillHeight: true
                        title: qsTr("Collection plan")
                        Rows { lines: root.ready.wanted; empty: qsTr("Nothing is on it.") }
                    }
                }
            }
            ColumnLayout {
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 45
                spacing: Theme.gap
                Panel {
                    Layout.fillWidth: true
                    Layout.fillHeight: true
                    title: qsTr("Slots")
                    SlotPlan { anchors.fill: parent; dive: root.dive; active: false }
                }
                Panel {
                    Layout.fillWidth: true
                    Layout.fillHeight: true
                    DivePicture {
                        anchors.fill: parent
                        pictures: root.pictures
                        kind: DivePicture.TrackPlan
                        Accessible.role: Accessible.Graphic
                        Accessible.name: qsTr("Track of the dive from above, north up, with the samples")
                    }
                }
            }
        }
        Panel {
            Layout.fillWidth: true
            implicitHeight: Theme.body * 6.4
            DivePicture {
                anchors.fill: parent
                pictures: root.pictures
                kind: DivePicture.Depth
                Accessible.role: Accessible.Graphic
                Accessible.name: qsTr("Depth over time, with the samples")
            }
        }
    }
}
