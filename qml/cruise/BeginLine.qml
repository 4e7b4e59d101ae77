// SPDX-License-Identifier: GPL-3.0-or-later
// A key and what it begins.
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

RowLayout {
    id: root
    required property string keyText
    required property string said
    spacing: Theme.gap * 1.5
    KeyCap { visible: root.keyText !== ""; text: root.keyText; ink: Theme.ink }
    Words { text: root.said; wrapMode: Text.WordWrap; Layout.fillWidth: true }
}
