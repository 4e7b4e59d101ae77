// SPDX-License-Identifier: GPL-3.0-or-later
// A record by its id: who has it now and its whole story. Slides in from the right.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

Sheet {
    id: root
    required property ScanDesk scan
    share: 0.62
    title: root.scan.recordId
    hint: root.scan.recordHolder

    Connections {
        target: root.scan
        function onRecordChanged() {
            if (root.scan.recordId !== "" && !root.shown)
                root.open()
            else if (root.scan.recordId === "" && root.shown)
                root.close()
        }
    }
    onOpened: story.forceActiveFocus()
    onClosed: if (root.scan.recordId !== "") root.scan.closeRecord()

    Repeater {
        model: root.scan.recordBreaks
        delegate: Words {
            required property string modelData
            text: "! " + modelData
            color: Theme.bad
            font.weight: Font.DemiBold
            wrapMode: Text.WordWrap
            Layout.fillWidth: true
        }
    }
    ListView {
        id: story
        Layout.fillWidth: true
        Layout.preferredHeight: root.height - Theme.body * 12
        clip: true
        model: root.scan.recordStory
        activeFocusOnTab: true
        Accessible.role: Accessible.List
        Accessible.name: qsTr("Story of %1").arg(root.scan.recordId)
        Keys.onDownPressed: story.contentY = Math.min(story.contentY + Theme.body * 3, Math.max(0, story.contentHeight - story.height))
        Keys.onUpPressed: story.contentY = Math.max(story.contentY - Theme.body * 3, 0)
        delegate: Words {
            required property string modelData
            width: story.width
            text: modelData
            size: Theme.small
            wrapMode: Text.WordWrap
            bottomPadding: Theme.gap * 0.6
            color: modelData.startsWith(" ") ? Theme.care : Theme.ink
        }
    }
}
