// SPDX-License-Identifier: GPL-3.0-or-later
// A place to type in, with the focus ring.
import QtQuick
import QtQuick.Controls.Basic
import Holdfast.Ui

TextField {
    id: root
    required property string spoken // what it is for, for a screen reader
    property bool takesScans: false // an id from a gun belongs in here, not to the step that runs

    color: Theme.ink
    placeholderTextColor: Theme.soft
    selectionColor: Theme.focus
    selectedTextColor: Theme.ground
    font.family: Theme.family
    font.pixelSize: Theme.body
    leftPadding: Theme.gap * 1.2
    rightPadding: Theme.gap * 1.2
    topPadding: Theme.gap * 0.8
    bottomPadding: Theme.gap * 0.8
    Accessible.name: root.spoken
    Accessible.role: Accessible.EditableText
    // Taken here: a text field lets Enter through to the screen behind it, which has a use for it too.
    Keys.onReturnPressed: root.accepted()
    Keys.onEnterPressed: root.accepted()
    background: Rectangle {
        color: Theme.sunken
        radius: Theme.gap * 0.6
        border.color: root.activeFocus ? Theme.focus : Theme.edge
        border.width: root.activeFocus ? Theme.ring : 1
    }
}
