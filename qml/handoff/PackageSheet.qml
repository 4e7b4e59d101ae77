// SPDX-License-Identifier: GPL-3.0-or-later
// Where the package shall appear, and where photographs are looked for.
pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Dialogs
import QtQuick.Layouts
import Holdfast.Ui

Sheet {
    id: root
    required property PackageChoices choices
    title: qsTr("Where the package appears")
    hint: qsTr("It holds for this cruise file until it is closed. An empty field: beside the cruise file.")
    share: 0.5

    onOpened: {
        folder.text = root.choices.folder
        pictures.text = root.choices.pictures
        root.choices.look()
        folder.forceActiveFocus(Qt.TabFocusReason)
        folder.selectAll()
    }
    onClosed: root.keep()

    function keep() {
        if (folder.text !== root.choices.folder)
            root.choices.folder = folder.text
        if (pictures.text !== root.choices.pictures)
            root.choices.pictures = pictures.text
    }

    FolderDialog {
        id: folders
        title: qsTr("The folder in which the package appears")
        currentFolder: root.choices.urlOf(root.choices.folder)
        onAccepted: { folder.text = root.choices.localPath(selectedFolder); root.keep() }
    }
    FolderDialog {
        id: pictureFolders
        title: qsTr("A folder with photographs")
        currentFolder: root.choices.urlOf(root.choices.pictures === "" ? root.choices.folder : root.choices.pictures)
        onAccepted: { pictures.text = root.choices.localPath(selectedFolder); root.keep() }
    }
    Shortcut { sequence: "Ctrl+B"; enabled: root.shown; onActivated: folders.open() }
    Shortcut { sequence: "Ctrl+O"; enabled: root.shown; onActivated: pictureFolders.open() }

    Words { text: qsTr("Folder for the package (Enter keeps it)"); color: Theme.soft; size: Theme.small }
    TypeField {
        id: folder
        Layout.fillWidth: true
        spoken: qsTr("Folder in which the package appears")
        onAccepted: { root.keep(); pictures.forceActiveFocus(Qt.TabFocusReason) }
        onEditingFinished: root.keep()
        Keys.onDownPressed: pictures.forceActiveFocus(Qt.TabFocusReason)
    }
    Words { visible: text !== ""; text: root.choices.folderTrouble === "" ? "" : "✕ " + root.choices.folderTrouble; color: Theme.bad; size: Theme.small; wrapMode: Text.WordWrap; elide: Text.ElideNone; Layout.fillWidth: true }
    ActKey { text: qsTr("Choose a folder"); keyText: "Ctrl+B"; onClicked: folders.open() }
    Words { text: qsTr("Folder with photographs that do not lie beside the cruise file (found by name or SHA-256)"); color: Theme.soft; size: Theme.small; wrapMode: Text.WordWrap; Layout.fillWidth: true; Layout.topMargin: Theme.gap }
    TypeField {
        id: pictures
        Layout.fillWidth: true
        spoken: qsTr("Folder with photographs")
        placeholderText: qsTr("none")
        onAccepted: { root.keep(); if (root.choices.trouble === "") root.close() }
        onEditingFinished: root.keep()
        Keys.onUpPressed: folder.forceActiveFocus(Qt.TabFocusReason)
    }
    Words { visible: text !== ""; text: root.choices.picturesTrouble === "" ? "" : "✕ " + root.choices.picturesTrouble; color: Theme.bad; size: Theme.small; wrapMode: Text.WordWrap; elide: Text.ElideNone; Layout.fillWidth: true }
    ActKey { text: qsTr("Choose a folder"); keyText: "Ctrl+O"; onClicked: pictureFolders.open() }
    Words { text: root.choices.said; wrapMode: Text.WordWrap; elide: Text.ElideNone; Layout.fillWidth: true; Layout.topMargin: Theme.gap }
}
