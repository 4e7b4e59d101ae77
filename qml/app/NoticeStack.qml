// SPDX-License-Identifier: GPL-3.0-or-later
// What must not be missed: at most three sentences, each with its key.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

Column {
    id: root
    required property Notices notices
    spacing: 1

    Repeater {
        model: root.notices
        delegate: Rectangle {
            id: row
            required property int index
            required property string sentence
            required property string key
            required property string weightWord
            required property int weightNumber
            readonly property color mark: weightNumber === 2 ? Theme.bad : weightNumber === 1 ? Theme.care : Theme.soft

            width: root.width
            height: line.implicitHeight + Theme.gap * 1.2
            color: Theme.raised
            Accessible.role: Accessible.AlertMessage
            Accessible.name: row.weightWord + ": " + row.sentence

            Rectangle { width: Theme.gap * 0.5 * (1 + row.weightNumber); height: parent.height; color: row.mark }
            RowLayout {
                id: line
                // not its height: that is what the row takes its own from
                anchors { left: parent.left; right: parent.right; verticalCenter: parent.verticalCenter; leftMargin: Theme.gap * 2.5; rightMargin: Theme.gap * 2 }
                spacing: Theme.gap * 1.5
                Words {
                    text: row.weightWord
                    color: row.mark
                    size: Theme.small
                    font.weight: Font.Bold
                }
                Words {
                    id: said
                    Layout.fillWidth: true
                    text: row.sentence
                    size: Theme.small
                    wrapMode: Text.WordWrap
                    maximumLineCount: 3
                }
                KeyCap { visible: row.key !== ""; text: row.key; ink: Theme.ink }
                KeyCap { visible: row.index === 0; text: qsTr("Esc put away") }
                Words {
                    visible: row.index === 0 && root.notices.more > 0
                    text: qsTr("and %1 more").arg(root.notices.more)
                    color: Theme.soft
                    size: Theme.tiny
                }
            }
        }
    }
}
