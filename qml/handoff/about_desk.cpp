// SPDX-License-Identifier: GPL-3.0-or-later
#include "about_desk.h"

#include <algorithm>
#include <utility>

namespace holdfast
{

namespace
{

const QString topic = QStringLiteral("about");

const AboutField &fieldAt(int row)
{
    return aboutFields()[static_cast<std::size_t>(row)];
}

int rowOf(const QString &key)
{
    for (int row = 0; row < static_cast<int>(aboutFields().size()); ++row) {
        if (fieldAt(row).key == key)
            return row;
    }
    return 0;
}

/// Replaces the file unless somebody else has changed it since it was read.
Done writeOver(const QString &path, const DatasetAbout &was, const DatasetAbout &now, const QString &cruise)
{
    const auto there = DatasetAbout::beside(cruise);
    if (!there)
        return there.error();
    if (*there != was)
        return fail(ErrorKind::Busy,
                    AboutDesk::tr("%1 was changed by another program meanwhile. Keep what you typed "
                                  "elsewhere, open the cruise again and look at it first.")
                        .arg(path));
    return now.write(path);
}

} // namespace

AboutDesk::AboutDesk(Desk &desk, QObject *parent) : QAbstractListModel(parent), m_desk(&desk)
{
    m_pool.setMaxThreadCount(1);
    for (std::size_t i = 0; i < aboutFields().size(); ++i) {
        m_texts << QString();
        m_troubles << QString();
    }
    connect(m_desk, &Desk::leaving, this, [this] {
        if (m_unsaved)
            m_desk->notices().say(
                topic, Notices::Weight::Care,
                tr("What was typed about the data set was not saved: %1 is as it was.").arg(path()));
        ++m_turn;
        m_shown = m_ready = m_unsaved = m_saving = false;
        emit changed();
    });
}

AboutDesk::~AboutDesk() = default;

void AboutDesk::open(const QString &key)
{
    if (!m_desk->isOpen())
        return;
    m_wanted = key;
    m_shown = true;
    emit changed();
    if (m_unsaved || m_saving) {
        emit fieldWanted(rowOf(key));
        return;
    }
    m_ready = false;
    const int turn = ++m_turn;
    m_pool.start([this, turn, cruise = m_desk->path()] {
        const auto read = DatasetAbout::beside(cruise);
        QMetaObject::invokeMethod(this, [this, read, turn] {
            if (turn == m_turn)
                receive(read);
        });
    });
}

void AboutDesk::receive(const Result<DatasetAbout> &read)
{
    m_trouble = read ? QString() : tr("%1 It is left as it is; mend it there.").arg(read.error().sentence);
    m_ready = read.has_value();
    m_onDisk = read.value_or(DatasetAbout());
    beginResetModel();
    for (int row = 0; row < rowCount(); ++row) {
        m_texts[row] = aboutText(m_onDisk, fieldAt(row).key);
        m_troubles[row].clear();
    }
    endResetModel();
    emit changed();
    if (m_shown)
        emit fieldWanted(rowOf(m_wanted));
}

void AboutDesk::close()
{
    m_shown = false;
    emit changed();
}

bool AboutDesk::mayClose()
{
    if (!m_unsaved || std::exchange(m_toldBeforeClosing, true))
        return true;
    m_desk->notices().say(
        topic, Notices::Weight::Care,
        tr("What was typed about the data set is not saved: Alt+7, D, Ctrl+S. Close the window "
           "once more to leave it."));
    return false;
}

void AboutDesk::tell(int row, Role role)
{
    emit dataChanged(index(row), index(row), {static_cast<int>(role)});
}

void AboutDesk::setValue(int row, const QString &text)
{
    if (row < 0 || row >= rowCount() || !m_ready || m_texts.at(row) == text)
        return;
    m_texts[row] = text;
    m_toldBeforeClosing = false;
    DatasetAbout trial;
    const Done good = setAboutText(trial, fieldAt(row).key, text);
    m_troubles[row] = good ? QString() : good.error().sentence;
    tell(row, Role::Trouble);
    m_unsaved = true;
    emit changed();
}

void AboutDesk::takeLicence(int row)
{
    const int field = rowOf(aboutFieldFor(QStringLiteral("licence")));
    if (row < 0 || row >= static_cast<int>(openLicences().size()))
        return;
    setValue(field, openLicences()[static_cast<std::size_t>(row)].url);
    tell(field, Role::Value);
}

void AboutDesk::save()
{
    if (!m_ready || m_saving)
        return;
    DatasetAbout now = m_onDisk;
    for (int row = 0; row < rowCount(); ++row) {
        if (!setAboutText(now, fieldAt(row).key, m_texts.at(row))) {
            m_trouble = tr("Not saved: something is wrong with \"%1\".").arg(fieldAt(row).title);
            emit changed();
            emit fieldWanted(row);
            return;
        }
    }
    m_saving = true;
    const int turn = m_turn;
    m_pool.start([this, turn, now, was = m_onDisk, path = path(), cruise = m_desk->path()] {
        const Done done = writeOver(path, was, now, cruise);
        QMetaObject::invokeMethod(this, [this, done, now, turn] {
            if (turn == m_turn)
                finished(done, now);
        });
    });
}

void AboutDesk::finished(const Done &done, const DatasetAbout &written)
{
    m_saving = false;
    if (!done) {
        m_trouble = tr("Not saved: %1").arg(done.error().sentence);
        emit changed();
        return;
    }
    m_onDisk = written;
    m_trouble.clear();
    m_unsaved = false;
    for (int row = 0; row < rowCount(); ++row) // typed on while it was being saved
        m_unsaved = m_unsaved || m_texts.at(row).trimmed() != aboutText(written, fieldAt(row).key);
    m_shown = m_unsaved;
    m_desk->notices().say(topic, Notices::Weight::Note, tr("Saved: %1").arg(path()));
    emit changed();
    emit saved();
}

QString AboutDesk::answer() const
{
    if (!m_trouble.isEmpty())
        return m_trouble;
    if (!m_ready)
        return tr("looking");
    const auto filled = std::count_if(m_texts.begin(), m_texts.end(),
                                      [](const QString &text) { return !text.trimmed().isEmpty(); });
    return m_unsaved ? tr("%1 of %2 told, not saved yet").arg(filled).arg(rowCount())
                     : tr("%1 of %2 told").arg(filled).arg(rowCount());
}

QStringList AboutDesk::licences() const
{
    QStringList names;
    for (const OpenLicence &l : openLicences())
        names << l.name;
    return names;
}

int AboutDesk::rowCount(const QModelIndex &parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(aboutFields().size());
}

QVariant AboutDesk::data(const QModelIndex &index, int role) const
{
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const AboutField &field = fieldAt(index.row());
    switch (static_cast<Role>(role)) {
    case Role::Title:
        return field.title;
    case Role::Hint:
        return field.hint;
    case Role::Lines:
        return field.lines;
    case Role::Value:
        return m_texts.at(index.row());
    case Role::Trouble:
        return m_troubles.at(index.row());
    case Role::IsLicence:
        return field.key == aboutFieldFor(QStringLiteral("licence"));
    }
    return {};
}

QHash<int, QByteArray> AboutDesk::roleNames() const
{
    return {{static_cast<int>(Role::Title), "title"},     {static_cast<int>(Role::Hint), "hint"},
            {static_cast<int>(Role::Lines), "lines"},     {static_cast<int>(Role::Value), "value"},
            {static_cast<int>(Role::Trouble), "trouble"}, {static_cast<int>(Role::IsLicence), "isLicence"}};
}

} // namespace holdfast
