// SPDX-License-Identifier: GPL-3.0-or-later
// One thing a key does: the shortcut itself, and the words for the key bar and the page of keys.
import QtQuick

Shortcut {
    required property string label
    required property string keyText
    property bool listed: true // false: known to the hands only, shown on the page of keys

    autoRepeat: false
    context: Qt.WindowShortcut
}
