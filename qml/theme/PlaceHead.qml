// SPDX-License-Identifier: GPL-3.0-or-later
// The question a place answers, and the answer.
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

RowLayout {
    id: root
    required property string question
    required property string answer
    property string aside: ""

    spacing: Theme.gap * 1.5
    Words {
        text: root.question
        color: Theme.soft
        size: Theme.body
        Layout.alignment: Qt.AlignBaseline
    }
    Words {
        text: root.answer
        size: Theme.large
        font.weight: Font.DemiBold
        Layout.alignment: Qt.AlignBaseline
        Layout.fillWidth: true
    }
    Words {
        visible: root.aside !== ""
        text: root.aside
        color: Theme.soft
        size: Theme.small
        Layout.alignment: Qt.AlignBaseline
    }
}
