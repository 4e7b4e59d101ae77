// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "desk.h"
#include "handoff/about_fields.h"

#include <QAbstractListModel>
#include <QThreadPool>
#include <QtQml/qqmlregistration.h>

namespace holdfast
{

/// The page about the data set: its fields as rows, what is wrong with each, and the file beside the cruise
/// file they stand in, read and written on a thread of its own. What was typed stays until it is saved or
/// another cruise is opened.
class AboutDesk : public QAbstractListModel
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(bool shown READ isShown NOTIFY changed FINAL)
    Q_PROPERTY(bool unsaved READ unsaved NOTIFY changed FINAL)
    Q_PROPERTY(bool ready READ ready NOTIFY changed FINAL) ///< the file was read, so that it can be saved
    Q_PROPERTY(QString path READ path NOTIFY changed FINAL)
    Q_PROPERTY(QString trouble READ trouble NOTIFY changed FINAL) ///< with the file as a whole
    Q_PROPERTY(QString answer READ answer NOTIFY changed FINAL)
    Q_PROPERTY(QStringList licences READ licences CONSTANT FINAL) ///< names of open licences

public:
    enum class Role { Title = Qt::UserRole + 1, Hint, Lines, Value, Trouble, IsLicence };
    Q_ENUM(Role)
    explicit AboutDesk(Desk &desk, QObject *parent = nullptr);
    ~AboutDesk() override;

    /// Shows the page with a field in hand ("contact.name"; empty: the first).
    Q_INVOKABLE void open(const QString &key = {});
    Q_INVOKABLE void close();
    Q_INVOKABLE void setValue(int row, const QString &text);
    /// Puts the address of an open licence into its field.
    Q_INVOKABLE void takeLicence(int row);
    /// Before the window goes: false, with a notice, the first time while something is not saved.
    Q_INVOKABLE bool mayClose();
    /// Writes the file; what can't be written as it is is gone to instead.
    Q_INVOKABLE void save();

    [[nodiscard]] bool isShown() const { return m_shown; }
    [[nodiscard]] bool unsaved() const { return m_unsaved; }
    [[nodiscard]] bool ready() const { return m_ready; }
    [[nodiscard]] QString path() const { return DatasetAbout::pathBeside(m_desk->path()); }
    [[nodiscard]] QString trouble() const { return m_trouble; }
    [[nodiscard]] QString answer() const;
    [[nodiscard]] QStringList licences() const;

    [[nodiscard]] int rowCount(const QModelIndex &parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex &index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

signals:
    void changed();
    void fieldWanted(int row); ///< goes into hand
    void saved();

private:
    void receive(const Result<DatasetAbout> &read);
    void finished(const Done &done, const DatasetAbout &written);
    void tell(int row, Role role);

    Desk *m_desk;
    DatasetAbout m_onDisk; ///< as it was read last
    QStringList m_texts, m_troubles;
    QString m_wanted, m_trouble;
    bool m_shown = false, m_ready = false, m_unsaved = false, m_saving = false;
    bool m_toldBeforeClosing = false;
    int m_turn = 0;
    QThreadPool m_pool; ///< last: waits for its work before the rest goes
};

} // namespace holdfast
