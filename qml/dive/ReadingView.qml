// SPDX-License-Identifier: GPL-3.0-or-later
// One live value: what it is, the number with its unit, where it comes from and how old it is.
import QtQuick
import Holdfast.Ui

Column {
    id: root
    required property string label
    required property reading reading
    property real size: Theme.large

    spacing: 0
    Accessible.role: Accessible.StaticText
    Accessible.name: root.label + " " + root.reading.value + " " + root.reading.unit + " " + root.reading.note

    Row {
        spacing: Theme.gap * 0.7
        Words { text: root.label; color: Theme.soft; size: Theme.tiny; Accessible.ignored: true }
        Words {
            text: root.reading.note
            color: root.reading.old ? Theme.care : Theme.soft
            size: Theme.tiny
            font.weight: root.reading.old ? Font.DemiBold : Font.Normal
            Accessible.ignored: true
        }
    }
    Row {
        spacing: Theme.gap * 0.6
        Words {
            id: number
            text: root.reading.value
            color: root.reading.there && !root.reading.old ? Theme.ink : Theme.soft
            size: root.size
            font.weight: Font.DemiBold
            font.strikeout: false
            Accessible.ignored: true
        }
        Words {
            anchors.baseline: number.baseline
            text: root.reading.there || root.reading.unit.length < 9 ? root.reading.unit : ""
            color: Theme.soft
            size: Theme.small
            Accessible.ignored: true
        }
    }
}
