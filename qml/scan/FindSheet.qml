// SPDX-License-Identifier: GPL-3.0-or-later
// Finds a sample or specimen by any word; an id typed in full opens its record at once.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

Sheet {
    id: root
    required property ScanDesk scan
    share: 0.55
    title: qsTr("Find")
    hint: qsTr("Words of an id, kind, name, slot, place or holder, each from its beginning, in any order. Enter opens the chosen one.")

    onOpened: {
        words.text = ""
        root.scan.find("")
        words.forceActiveFocus()
    }
    function take(row: int) {
        root.close()
        root.scan.openFound(row)
    }

    TypeField {
        id: words
        Layout.fillWidth: true
        spoken: qsTr("Words to find")
        placeholderText: qsTr("coral freezer ana")
        onTextChanged: root.scan.find(text)
        onAccepted: root.take(Math.max(0, hits.currentIndex))
        Keys.onDownPressed: hits.step(1)
        Keys.onUpPressed: hits.step(-1)
    }
    Words { text: root.scan.foundWords; color: Theme.soft; size: Theme.small }
    RowList {
        id: hits
        Layout.fillWidth: true
        Layout.preferredHeight: root.height - Theme.body * 16
        spoken: qsTr("What was found")
        rows: root.scan.found
        current: 0
        onTaken: row => root.take(row)
    }
}
