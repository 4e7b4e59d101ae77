// SPDX-License-Identifier: GPL-3.0-or-later
// The dive in pictures: the track from above with the samples and their uncertainty, and the water along the way.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Holdfast.Ui

ColumnLayout {
    id: root
    required property PictureDesk pictures
    spacing: Theme.gap * 0.5

    component Picture: DivePicture {
        required property string spoken
        pictures: root.pictures
        Layout.fillWidth: true
        Layout.fillHeight: true
        Accessible.role: Accessible.Graphic
        Accessible.name: spoken
    }
    Picture { kind: DivePicture.TrackPlan; Layout.preferredHeight: 52; spoken: qsTr("Track of the dive from above, north up, with the samples") }
    Picture { kind: DivePicture.Temperature; Layout.preferredHeight: 16; spoken: qsTr("Temperature over time") }
    Picture { kind: DivePicture.Salinity; Layout.preferredHeight: 16; spoken: qsTr("Practical salinity over time") }
    Picture { kind: DivePicture.Oxygen; Layout.preferredHeight: 16; spoken: qsTr("Oxygen over time") }
    Words { visible: text !== ""; text: root.pictures.note; color: Theme.soft; size: Theme.tiny; Layout.fillWidth: true }
}
