// SPDX-License-Identifier: GPL-3.0-or-later
// One thing the quick line understood.
import QtQuick
import Holdfast.Ui

Rectangle {
    id: root
    required property string word
    required property string words

    implicitWidth: inside.implicitWidth + Theme.gap * 1.6
    implicitHeight: inside.implicitHeight + Theme.gap * 0.5
    radius: height / 2
    color: Theme.held
    Accessible.role: Accessible.StaticText
    Accessible.name: root.word + " " + root.words
    Row {
        id: inside
        anchors.centerIn: parent
        spacing: Theme.gap * 0.6
        Words { text: root.word; color: Theme.soft; size: Theme.tiny; Accessible.ignored: true; anchors.verticalCenter: parent.verticalCenter }
        Words { text: root.words; size: Theme.small; font.weight: Font.DemiBold; Accessible.ignored: true; anchors.verticalCenter: parent.verticalCenter }
    }
}
