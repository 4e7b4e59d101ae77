// SPDX-License-Identifier: GPL-3.0-or-later
// The feeds: what each says about itself, how they are set, their recorded lines, and the replay of the dive's logs.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

Sheet {
    id: root
    required property FeedDesk feeds
    property int chosen: 0
    property string trouble: ""
    readonly property bool typing: line.activeFocus
    readonly property bool keysLive: root.shown && !root.typing
    readonly property string takeInWord: root.feeds.takingIn === "" ? qsTr("take in the recorded lines") : qsTr("stop taking in: %1").arg(root.feeds.takingIn)
    title: qsTr("Feeds")
    hint: qsTr("A feed that is silent or wrong is told here and in a notice; it never holds up a stamp.")
    share: 0.5

    function setFeed() {
        root.trouble = root.feeds.setFeedLine(line.text)
        if (root.trouble !== "")
            return
        line.text = ""
        list.forceActiveFocus(Qt.TabFocusReason)
    }
    onOpened: list.forceActiveFocus(Qt.TabFocusReason)

    ListView {
        id: list
        Layout.fillWidth: true
        Layout.preferredHeight: Math.min(contentHeight, Theme.body * 20)
        clip: true
        spacing: Theme.gap
        model: root.feeds.feeds
        currentIndex: root.chosen
        activeFocusOnTab: true
        Accessible.role: Accessible.List
        Accessible.name: qsTr("Feeds")
        Keys.onUpPressed: root.chosen = Math.max(0, root.chosen - 1)
        Keys.onDownPressed: root.chosen = Math.min(list.count - 1, root.chosen + 1)
        delegate: Rectangle {
            id: row
            required property int index
            required property string name
            required property string source
            required property string profile
            required property string stateWord
            required property string trouble
            required property string counts
            required property string clock
            required property bool alive
            readonly property bool isChosen: row.index === root.chosen
            width: list.width
            height: words.implicitHeight + Theme.gap
            radius: Theme.gap * 0.5
            color: row.isChosen && list.activeFocus ? Theme.chosen : "transparent"
            border.color: row.isChosen && list.activeFocus ? Theme.focus : "transparent"
            border.width: Theme.ring
            Accessible.role: Accessible.ListItem
            Accessible.name: row.name + ", " + row.stateWord + ", " + row.counts
            Accessible.selected: row.isChosen
            ColumnLayout {
                id: words
                anchors { left: parent.left; right: parent.right; verticalCenter: parent.verticalCenter; margins: Theme.gap }
                spacing: 0
                RowLayout {
                    spacing: Theme.gap
                    Words { text: (row.alive ? "● " : "○ ") + row.name; font.weight: Font.DemiBold; Layout.fillWidth: true }
                    Words { text: row.stateWord; color: row.alive ? Theme.good : Theme.care; size: Theme.small }
                }
                Words { text: row.source + "  ·  " + row.profile + "  ·  " + row.counts; color: Theme.soft; size: Theme.tiny; Layout.fillWidth: true }
                Words { visible: row.clock !== ""; text: row.clock; color: Theme.soft; size: Theme.tiny; Layout.fillWidth: true }
                Words { visible: row.trouble !== ""; text: row.trouble; color: Theme.bad; size: Theme.small; wrapMode: Text.WordWrap; Layout.fillWidth: true }
            }
        }
    }
    Words { visible: list.count === 0; text: qsTr("No feed is running."); color: Theme.soft }
    Words { visible: text !== ""; text: root.feeds.recordLine; color: Theme.soft; size: Theme.small; wrapMode: Text.WordWrap; Layout.fillWidth: true }
    Words { text: root.feeds.clocksLine; color: Theme.soft; size: Theme.small; wrapMode: Text.WordWrap; Layout.fillWidth: true }
    TypeField {
        id: line
        Layout.fillWidth: true
        spoken: qsTr("A feed: name, address, profile")
        placeholderText: qsTr("CTD udp://0.0.0.0:47002 ctd-csv")
        onAccepted: root.setFeed()
        Keys.onEscapePressed: list.forceActiveFocus(Qt.TabFocusReason)
    }
    Words { visible: root.trouble !== ""; text: root.trouble; color: Theme.bad; size: Theme.small; wrapMode: Text.WordWrap; Layout.fillWidth: true }
    Flow {
        Layout.fillWidth: true
        spacing: Theme.gap
        ActKey { text: qsTr("set a feed"); keyText: "A"; onClicked: line.forceActiveFocus(Qt.TabFocusReason) }
        ActKey { text: qsTr("remove the chosen"); keyText: "Del"; enabled: list.count > 0; onClicked: root.feeds.removeFeed(root.feeds.feeds.nameAt(root.chosen)) }
        ActKey { text: qsTr("open the live feeds"); keyText: "O"; onClicked: root.feeds.openLive() }
        ActKey { text: root.takeInWord; keyText: "I"; onClicked: root.feeds.takeInLines() }
        ActKey { text: qsTr("stop all feeds"); keyText: "S"; onClicked: root.feeds.stopAll() }
    }
    Words {
        text: qsTr("Replay the logs of this dive, from its launch, as if they came in now. The clock then shows the logs' time.")
        color: Theme.soft
        size: Theme.small
        wrapMode: Text.WordWrap
        Layout.fillWidth: true
        Layout.topMargin: Theme.gap
    }
    Flow {
        Layout.fillWidth: true
        spacing: Theme.gap
        ActKey { text: qsTr("1 ×"); keyText: "R"; onClicked: root.feeds.replayDive(1) }
        ActKey { text: qsTr("10 ×"); keyText: "T"; onClicked: root.feeds.replayDive(10) }
        ActKey { text: qsTr("100 ×"); keyText: "Y"; onClicked: root.feeds.replayDive(100) }
    }
    readonly property list<KeyAct> acts: [
        KeyAct { label: qsTr("set a feed"); keyText: "A"; sequence: "A"; enabled: root.keysLive; onActivated: line.forceActiveFocus(Qt.TabFocusReason) },
        KeyAct { label: qsTr("remove the chosen feed"); keyText: "Del"; sequence: "Del"; enabled: root.keysLive && list.count > 0; onActivated: root.feeds.removeFeed(root.feeds.feeds.nameAt(root.chosen)) },
        KeyAct { label: qsTr("open the live feeds"); keyText: "O"; sequence: "O"; enabled: root.keysLive; onActivated: root.feeds.openLive() },
        KeyAct { label: root.takeInWord; keyText: "I"; sequence: "I"; enabled: root.keysLive; onActivated: root.feeds.takeInLines() },
        KeyAct { label: qsTr("stop"); keyText: "S"; sequence: "S"; enabled: root.keysLive; onActivated: root.feeds.stopAll() },
        KeyAct { label: "1 ×"; keyText: "R"; sequence: "R"; enabled: root.keysLive; onActivated: root.feeds.replayDive(1) },
        KeyAct { label: "10 ×"; keyText: "T"; sequence: "T"; enabled: root.keysLive; onActivated: root.feeds.replayDive(10) },
        KeyAct { label: "100 ×"; keyText: "Y"; sequence: "Y"; enabled: root.keysLive; onActivated: root.feeds.replayDive(100) }
    ]
}
