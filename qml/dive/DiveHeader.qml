// SPDX-License-Identifier: GPL-3.0-or-later
// The clock, the dive and the live values.
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

Rectangle {
    id: root
    required property FeedDesk feeds
    required property DiveDesk dive
    required property Desk desk
    required property ShownUnits units

    implicitHeight: rows.implicitHeight + Theme.gap * 2
    color: Theme.raised
    radius: Theme.gap

    ColumnLayout {
        id: rows
        anchors { left: parent.left; right: parent.right; top: parent.top; margins: Theme.gap; leftMargin: Theme.gap * 2; rightMargin: Theme.gap * 2 }
        spacing: Theme.gap * 0.6

        RowLayout {
            Layout.fillWidth: true
            spacing: Theme.gap * 4
            Column {
                Layout.alignment: Qt.AlignBottom
                Accessible.role: Accessible.Clock
                Accessible.name: qsTr("UTC %1").arg(root.feeds.clockText) + " " + root.units.localClock
                Words {
                    text: root.feeds.dateText + "  UTC" + (root.feeds.replaying ? "  ·  " + root.feeds.replayText : "") + (root.units.localClock === "" ? "" : "  ·  " + root.units.localClock)
                    color: root.feeds.replaying ? Theme.care : Theme.soft
                    size: Theme.tiny
                    Accessible.ignored: true
                }
                Words {
                    text: root.feeds.clockText
                    size: Theme.huge * 0.8
                    font.weight: Font.DemiBold
                    Accessible.ignored: true
                }
            }
            Column {
                Layout.alignment: Qt.AlignBottom
                Words { text: root.desk.diveName; color: Theme.soft; size: Theme.tiny }
                Words { text: root.dive.phaseText; size: Theme.large; font.weight: Font.DemiBold }
            }
            Item { Layout.fillWidth: true }
            ReadingView { Layout.alignment: Qt.AlignBottom; label: qsTr("depth"); reading: root.feeds.depth; size: Theme.huge * 0.8 }
            ReadingView { Layout.alignment: Qt.AlignBottom; label: qsTr("heading"); reading: root.feeds.heading }
            ReadingView { Layout.alignment: Qt.AlignBottom; label: qsTr("altitude"); reading: root.feeds.altitude }
        }
        Rectangle { Layout.fillWidth: true; implicitHeight: 1; color: Theme.rule }
        RowLayout {
            Layout.fillWidth: true
            spacing: Theme.gap * 4
            ReadingView { Layout.alignment: Qt.AlignBottom; label: qsTr("position"); reading: root.feeds.position; size: Theme.body * 1.15 }
            Item { Layout.fillWidth: true }
            ReadingView { Layout.alignment: Qt.AlignBottom; label: qsTr("temperature"); reading: root.feeds.temperature; size: Theme.body * 1.15 }
            ReadingView { Layout.alignment: Qt.AlignBottom; label: qsTr("salinity"); reading: root.feeds.salinity; size: Theme.body * 1.15 }
            ReadingView { Layout.alignment: Qt.AlignBottom; label: qsTr("oxygen"); reading: root.feeds.oxygen; size: Theme.body * 1.15 }
        }
    }
}
