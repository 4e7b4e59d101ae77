// SPDX-License-Identifier: GPL-3.0-or-later
// The feeds: what each says about itself, and the replay of the dive's logs.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

Sheet {
    id: root
    required property FeedDesk feeds
    title: qsTr("Feeds")
    hint: qsTr("A feed that is silent or wrong is told here and in a notice; it never holds up a stamp.")
    share: 0.44

    onOpened: replaySlow.forceActiveFocus(Qt.TabFocusReason)

    Repeater {
        model: root.feeds.feeds
        delegate: ColumnLayout {
            id: row
            required property string name
            required property string source
            required property string profile
            required property string stateWord
            required property string trouble
            required property string counts
            required property bool alive
            Layout.fillWidth: true
            spacing: 0
            RowLayout {
                spacing: Theme.gap
                Words { text: (row.alive ? "● " : "○ ") + row.name; font.weight: Font.DemiBold; Layout.fillWidth: true }
                Words { text: row.stateWord; color: row.alive ? Theme.good : Theme.care; size: Theme.small }
            }
            Words { text: row.source + "  ·  " + row.profile + "  ·  " + row.counts; color: Theme.soft; size: Theme.tiny; Layout.fillWidth: true }
            Words { visible: row.trouble !== ""; text: row.trouble; color: Theme.bad; size: Theme.small; wrapMode: Text.WordWrap; Layout.fillWidth: true }
        }
    }
    Words { visible: root.feeds.feedsLine === qsTr("no feeds"); text: qsTr("No feed is running."); color: Theme.soft }
    Words {
        text: qsTr("Replay the logs of this dive, from its launch, as if they came in now. The clock then shows the logs' time.")
        color: Theme.soft
        size: Theme.small
        wrapMode: Text.WordWrap
        Layout.fillWidth: true
        Layout.topMargin: Theme.gap * 2
    }
    RowLayout {
        spacing: Theme.gap
        ActKey { id: replaySlow; text: qsTr("1 ×"); keyText: "R"; onClicked: root.feeds.replayDive(1) }
        ActKey { text: qsTr("10 ×"); keyText: "T"; onClicked: root.feeds.replayDive(10) }
        ActKey { text: qsTr("100 ×"); keyText: "Y"; onClicked: root.feeds.replayDive(100) }
        ActKey { text: qsTr("stop all feeds"); keyText: "S"; onClicked: root.feeds.stopAll() }
    }
    readonly property list<KeyAct> acts: [
        KeyAct { label: "1 ×"; keyText: "R"; sequence: "R"; enabled: root.shown; onActivated: root.feeds.replayDive(1) },
        KeyAct { label: "10 ×"; keyText: "T"; sequence: "T"; enabled: root.shown; onActivated: root.feeds.replayDive(10) },
        KeyAct { label: "100 ×"; keyText: "Y"; sequence: "Y"; enabled: root.shown; onActivated: root.feeds.replayDive(100) },
        KeyAct { label: qsTr("stop"); keyText: "S"; sequence: "S"; enabled: root.shown; onActivated: root.feeds.stopAll() }
    ]
}
