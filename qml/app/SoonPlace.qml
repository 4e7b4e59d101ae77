// SPDX-License-Identifier: GPL-3.0-or-later
// A place that this version does not work in yet, said honestly.
import QtQuick
import Holdfast.Ui

FocusScope {
    id: root
    required property Places places

    Column {
        anchors.centerIn: parent
        width: Math.min(parent.width * 0.7, Theme.body * 34)
        spacing: Theme.gap * 1.5
        Words { text: root.places.title; size: Theme.huge; font.weight: Font.DemiBold; width: parent.width; horizontalAlignment: Text.AlignHCenter }
        Words { text: root.places.purpose; width: parent.width; wrapMode: Text.WordWrap; horizontalAlignment: Text.AlignHCenter }
        Words { text: qsTr("This version of Holdfast does not do that yet."); color: Theme.soft; width: parent.width; wrapMode: Text.WordWrap; horizontalAlignment: Text.AlignHCenter }
    }
}
