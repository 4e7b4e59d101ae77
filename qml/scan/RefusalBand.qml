// SPDX-License-Identifier: GPL-3.0-or-later
// A refused code across the whole window for some seconds: a person with a gun in the hand looks at the label, and the
// system's bell may be silent.
import QtQuick
import Holdfast.Ui

Rectangle {
    id: root
    required property ScanDesk scan
    property string sentence: ""
    readonly property bool shown: rest.running

    visible: root.shown
    height: said.implicitHeight + Theme.gap * 4
    color: Theme.raised
    border.color: Theme.bad
    border.width: Theme.gap * 0.6
    Accessible.role: Accessible.AlertMessage
    Accessible.name: root.sentence

    Words {
        id: said
        anchors { left: parent.left; right: parent.right; verticalCenter: parent.verticalCenter; margins: Theme.gap * 2 }
        text: qsTr("✗ REFUSED   %1").arg(root.sentence)
        color: Theme.bad
        size: Theme.large
        font.weight: Font.Bold
        wrapMode: Text.WordWrap
        elide: Text.ElideNone
        Accessible.ignored: true
    }
    Timer { id: rest; interval: 4000 }
    Connections {
        target: root.scan
        function onRefused(sentence: string) {
            root.sentence = sentence
            rest.restart()
        }
        function onTaken() { rest.stop() }
    }
}
