// SPDX-License-Identifier: GPL-3.0-or-later
// The keys that work here, at the foot of a place.
pragma ComponentBehavior: Bound
import QtQuick
import Holdfast.Ui

Flow {
    id: root
    required property var acts // a list<KeyAct>; Qt 6.4 can not bind one list<T> to another

    spacing: Theme.gap * 1.6

    Repeater {
        model: root.acts
        delegate: Row {
            id: hint
            required property KeyAct modelData
            visible: hint.modelData.listed
            spacing: Theme.gap * 0.6
            opacity: hint.modelData.enabled ? 1 : 0.6
            KeyCap { text: hint.modelData.keyText }
            Words {
                text: hint.modelData.label
                color: Theme.soft
                size: Theme.tiny
                anchors.verticalCenter: parent.verticalCenter
            }
        }
    }
}
