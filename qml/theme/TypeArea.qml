// SPDX-License-Identifier: GPL-3.0-or-later
// A place to type several lines in, with the focus ring; Tab goes on, Enter begins a line.
import QtQuick
import QtQuick.Controls.Basic
import Holdfast.Ui

TextArea {
    id: root
    required property string spoken // what it is for, for a screen reader

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
    wrapMode: TextEdit.Wrap
    textFormat: TextEdit.PlainText
    activeFocusOnTab: true
    Accessible.name: root.spoken
    Accessible.role: Accessible.EditableText
    Keys.onTabPressed: root.nextItemInFocusChain(true).forceActiveFocus(Qt.TabFocusReason)
    Keys.onBacktabPressed: root.nextItemInFocusChain(false).forceActiveFocus(Qt.BacktabFocusReason)
    background: Rectangle {
        color: Theme.sunken
        radius: Theme.gap * 0.6
        border.color: root.activeFocus ? Theme.focus : Theme.edge
        border.width: root.activeFocus ? Theme.ring : 1
    }
}
