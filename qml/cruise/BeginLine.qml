// SPDX-License-Identifier: GPL-3.0-or-later
// A key and what it begins.
import QtQuick
import Holdfast.Ui

Row {
    id: root
    required property string keyText
    required property string said
    spacing: Theme.gap * 1.5
    KeyCap { id: key; visible: root.keyText !== ""; text: root.keyText; ink: Theme.ink }
    Words { text: root.said; wrapMode: Text.WordWrap; width: root.width - (key.visible ? key.width + root.spacing : 0) }
}
