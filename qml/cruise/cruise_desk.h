// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "desk.h"

#include "dive/actions.h"

#include <QThreadPool>

namespace holdfast
{

/// The Cruise screen: opens a file, begins a new one, plans dives.
class CruiseDesk : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(
        QStringList recent READ recent NOTIFY changed FINAL) ///< files opened before that are still there
    Q_PROPERTY(QStringList dives READ dives NOTIFY changed FINAL) ///< one line for each dive of the cruise
    Q_PROPERTY(int currentDive READ currentDive NOTIFY changed FINAL) ///< its row in dives; -1: none
    Q_PROPERTY(QString loadoutWords READ loadoutWords CONSTANT FINAL) ///< the names of all templates
    Q_PROPERTY(QString firstLoadout READ firstLoadout CONSTANT FINAL)
    Q_PROPERTY(int nextNumber READ nextNumber NOTIFY changed FINAL)
    Q_PROPERTY(QString trouble READ trouble NOTIFY troubleChanged FINAL) ///< why the last form was refused

public:
    explicit CruiseDesk(Desk &desk, QObject *parent = nullptr);

    /// Makes a new cruise file and opens it. `made` follows, or `trouble` says why not.
    Q_INVOKABLE void begin(const QString &path, const QString &code, const QString &station);
    Q_INVOKABLE void planDive(const QString &vehicle, const QString &loadout);
    Q_INVOKABLE void showDiveRow(int row);
    Q_INVOKABLE void forgetTrouble();

    [[nodiscard]] QStringList recent() const { return m_recent; }
    [[nodiscard]] QStringList dives() const;
    [[nodiscard]] int currentDive() const;
    [[nodiscard]] QString loadoutWords() const;
    [[nodiscard]] QString firstLoadout() const;
    [[nodiscard]] int nextNumber() const;
    [[nodiscard]] QString trouble() const { return m_trouble; }

signals:
    void changed();
    void troubleChanged();
    void made();

private:
    void setTrouble(const QString &trouble);
    void rememberFile();
    void lookForRecent();

    Desk *m_desk;
    QString m_trouble;
    QStringList m_recent;
    bool m_beginning = false; ///< a new file is being made
    QThreadPool m_pool;       ///< last: waits for its work before the rest goes
};

} // namespace holdfast
