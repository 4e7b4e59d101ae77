// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "cruise_reader.h"
#include "desk.h"
#include "handoff/make_package.h"
#include "handoff/next_package.h"

#include <QUrl>
#include <QtQml/qqmlregistration.h>

namespace holdfast
{

/// What a package that would be made now comes to.
struct PackageOutlook {
    NextPackage next;
    qint64 logs = 0, logBytes = 0, freeBytes = 0;
    QString folderTrouble, picturesTrouble; ///< sentences; empty: nothing is wrong
};
[[nodiscard]] Result<PackageOutlook> lookAhead(const Database &db, const QString &folder,
                                               const QString &pictures);

/// Where the next package shall appear and how, chosen by a person and said before it is made. The choices
/// hold for the open cruise file; at first the package appears beside it, as a folder with papers.
class PackageChoices : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(QString folder READ folder WRITE setFolder NOTIFY changed FINAL)
    Q_PROPERTY(QString pictures READ pictures WRITE setPictures NOTIFY changed FINAL) ///< may be empty
    Q_PROPERTY(bool zip READ zip WRITE setZip NOTIFY changed FINAL)
    Q_PROPERTY(bool papers READ papers WRITE setPapers NOTIFY changed FINAL)
    Q_PROPERTY(QString said READ said NOTIFY changed FINAL)       ///< what will appear where
    Q_PROPERTY(QString trouble READ trouble NOTIFY changed FINAL) ///< why it can't
    Q_PROPERTY(QString folderTrouble READ folderTrouble NOTIFY changed FINAL)
    Q_PROPERTY(QString picturesTrouble READ picturesTrouble NOTIFY changed FINAL)

public:
    explicit PackageChoices(Desk &desk, QObject *parent = nullptr);

    /// Looks at the folders again, on a thread of its own.
    Q_INVOKABLE void look();
    [[nodiscard]] Q_INVOKABLE static QString localPath(const QUrl &url) { return url.toLocalFile(); }
    [[nodiscard]] bool looked() const { return m_outlook.has_value() || !m_trouble.isEmpty(); }
    [[nodiscard]] Q_INVOKABLE static QUrl urlOf(const QString &folder) { return QUrl::fromLocalFile(folder); }
    void applyTo(PackageOrder &order) const;

    [[nodiscard]] QString folder() const;
    void setFolder(const QString &folder);
    [[nodiscard]] QString pictures() const { return m_pictures; }
    void setPictures(const QString &pictures);
    [[nodiscard]] bool zip() const { return m_zip; }
    void setZip(bool zip);
    [[nodiscard]] bool papers() const { return m_papers; }
    void setPapers(bool papers);
    [[nodiscard]] QString said() const;
    [[nodiscard]] QString trouble() const;
    [[nodiscard]] QString folderTrouble() const { return m_outlook ? m_outlook->folderTrouble : QString(); }
    [[nodiscard]] QString picturesTrouble() const
    {
        return m_outlook ? m_outlook->picturesTrouble : QString();
    }

signals:
    void changed();

private:
    [[nodiscard]] QString placeOf(const QString &typed) const;
    Desk *m_desk;
    CruiseReader m_reader;
    QString m_folder, m_pictures, m_trouble; ///< m_folder empty: beside the cruise file
    bool m_zip = false, m_papers = true;
    std::optional<PackageOutlook> m_outlook;
    quint64 m_turn = 0;
};

} // namespace holdfast
