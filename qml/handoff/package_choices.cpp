// SPDX-License-Identifier: GPL-3.0-or-later
#include "package_choices.h"

#include "base/counted.h"
#include "handoff/output_place.h"
#include "handoff/package_logs.h"

#include <QDir>
#include <QFileInfo>
#include <QLocale>
#include <QStorageInfo>

namespace holdfast
{

namespace
{

QString size(qint64 bytes)
{
    return QLocale::c().formattedDataSize(bytes, 1, QLocale::DataSizeSIFormat);
}

} // namespace

Result<PackageOutlook> lookAhead(const Database &db, const QString &folder, const QString &pictures)
{
    PackageOutlook outlook;
    const auto logs = logTotals(db);
    if (!logs)
        return logs.error();
    outlook.logs = logs->files;
    outlook.logBytes = logs->bytes;
    if (const Done good = checkOutputFolder(folder); !good) {
        outlook.folderTrouble = good.error().sentence;
    } else {
        const auto next = nextPackage(db, folder, {});
        if (!next)
            outlook.folderTrouble = next.error().sentence;
        outlook.next = next.value_or(NextPackage());
        outlook.freeBytes = QStorageInfo(folder).bytesAvailable();
    }
    if (!pictures.isEmpty() && !QFileInfo(pictures).isDir())
        outlook.picturesTrouble =
            PackageChoices::tr("There is no folder %1 with photographs; choose another, or none.")
                .arg(pictures);
    return outlook;
}

PackageChoices::PackageChoices(Desk &desk, QObject *parent) : QObject(parent), m_desk(&desk)
{
    connect(m_desk, &Desk::leaving, this, [this] {
        m_folder.clear();
        m_pictures.clear();
        m_outlook.reset();
        m_zip = false;
        m_papers = true;
        ++m_turn;
        emit changed();
    });
}

void PackageChoices::look()
{
    if (!m_desk->isOpen())
        return;
    const quint64 turn = ++m_turn;
    m_reader.read<PackageOutlook>(
        m_desk->path(),
        [folder = folder(), pictures = m_pictures](const CruiseFile &file) {
            return lookAhead(file.db(), folder, pictures);
        },
        this,
        [this, turn](const Result<PackageOutlook> &outlook) {
            if (turn != m_turn)
                return;
            m_trouble = outlook ? QString() : outlook.error().sentence;
            m_outlook = outlook ? std::optional(*outlook) : std::nullopt;
            emit changed();
        });
}

void PackageChoices::applyTo(PackageOrder &order) const
{
    order.parent = folder();
    order.pictures = m_pictures;
    order.zip = m_zip;
    order.papers = m_papers;
}

QString PackageChoices::folder() const
{
    return m_folder.isEmpty() ? QFileInfo(m_desk->path()).absolutePath() : m_folder;
}

/// A folder as it was typed: from the cruise file's on, not from where the program was started.
QString PackageChoices::placeOf(const QString &typed) const
{
    if (typed.trimmed().isEmpty())
        return {};
    const QDir beside = QFileInfo(m_desk->path()).absoluteDir();
    return QDir::cleanPath(beside.absoluteFilePath(typed.trimmed()));
}

void PackageChoices::setFolder(const QString &folder)
{
    m_folder = placeOf(folder);
    look();
    emit changed();
}

void PackageChoices::setPictures(const QString &pictures)
{
    m_pictures = placeOf(pictures);
    look();
    emit changed();
}

void PackageChoices::setZip(bool zip)
{
    m_zip = zip;
    emit changed();
}

void PackageChoices::setPapers(bool papers)
{
    m_papers = papers;
    emit changed();
}

QString PackageChoices::trouble() const
{
    if (!m_trouble.isEmpty() || !m_outlook)
        return m_trouble;
    if (!m_outlook->folderTrouble.isEmpty())
        return m_outlook->folderTrouble;
    if (!m_outlook->picturesTrouble.isEmpty())
        return m_outlook->picturesTrouble;
    if (m_outlook->freeBytes < m_outlook->logBytes)
        return tr("The logs are %1, but only %2 are free in %3: choose another folder.")
            .arg(size(m_outlook->logBytes), size(m_outlook->freeBytes), folder());
    return {};
}

QString PackageChoices::said() const
{
    if (!m_outlook || m_outlook->next.name.isEmpty())
        return {};
    const NextPackage &next = m_outlook->next;
    QStringList words;
    words << tr("%1%2 will appear in %3").arg(next.name, m_zip ? tr(".zip") : QString(), folder());
    words << (next.earlierName.isEmpty() ? tr("the first of this cruise there")
                                         : tr("follows %1").arg(next.earlierName));
    words << (m_papers ? tr("with sheets and reports as PDF") : tr("without papers"));
    words << tr("%1, %2").arg(counted(m_outlook->logs, tr("log"), tr("logs")), size(m_outlook->logBytes));
    words << tr("%1 free there").arg(size(m_outlook->freeBytes));
    words << (m_pictures.isEmpty() ? tr("photographs from beside the cruise file")
                                   : tr("photographs also from %1").arg(m_pictures));
    return words.join(QStringLiteral(" · "));
}

} // namespace holdfast
