// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/loadout_draft.h"

#include <QObject>
#include <QVariantList>
#include <QtQml/qqmlregistration.h>

namespace holdfast
{

/// The loadout editor: a draft, one of its boxes chosen, and what is left to mend. Nothing here touches a
/// cruise; a saved loadout is used by planning a dive with its name.
class LoadoutDesk : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(QString name READ name WRITE setName NOTIFY changed FINAL)
    Q_PROPERTY(QString title READ title WRITE setTitle NOTIFY changed FINAL)
    Q_PROPERTY(double aspect READ aspect NOTIFY changed FINAL)
    /// Of each: title, chosen, x, y, width, height, round, slots (code, x, y, width, height); 0 .. 1 of the
    /// plan.
    Q_PROPERTY(QVariantList boxes READ boxes NOTIFY changed FINAL)
    Q_PROPERTY(int current READ current NOTIFY changed FINAL) ///< -1: no box
    /// Of the chosen box: title, container, where, accepts, slots ("B1 B2 B3"), unload, marks ("lid mixing
    /// round").
    Q_PROPERTY(QVariantMap fields READ fields NOTIFY changed FINAL)
    Q_PROPERTY(QString measures READ measures NOTIFY changed FINAL)
    Q_PROPERTY(QStringList faults READ faults NOTIFY changed FINAL)
    Q_PROPERTY(QString said READ said NOTIFY changed FINAL) ///< what came of the last act

public:
    explicit LoadoutDesk(QObject *parent = nullptr) : QObject(parent) {}

    /// Begins with a copy of a template (its name is left to give), or with an empty plan for an empty name.
    Q_INVOKABLE void begin(const QString &templateName);
    Q_INVOKABLE void step(int by);
    Q_INVOKABLE void addBox();
    Q_INVOKABLE void removeBox();
    Q_INVOKABLE void move(int dxMm, int dyMm);
    Q_INVOKABLE void stretch(int dxMm, int dyMm);
    /// Sets a field of the chosen box as `fields` names it; `slots` is a grid as in "B 3x1". What can't be
    /// read is said and changes nothing.
    Q_INVOKABLE void setField(const QString &field, const QString &text);
    Q_INVOKABLE void undo();
    /// Saves under its name. True when it is saved.
    Q_INVOKABLE bool save();

    [[nodiscard]] QString name() const { return m_draft.name; }
    [[nodiscard]] QString title() const { return m_draft.title; }
    void setName(const QString &name);
    void setTitle(const QString &title);
    [[nodiscard]] double aspect() const;
    [[nodiscard]] QVariantList boxes() const;
    [[nodiscard]] int current() const { return m_current; }
    [[nodiscard]] QVariantMap fields() const;
    [[nodiscard]] QString measures() const;
    [[nodiscard]] QStringList faults() const { return faultsOf(m_draft); }
    [[nodiscard]] QString said() const { return m_said; }

signals:
    void changed();

private:
    [[nodiscard]] BoxDraft *box();
    void keep(); ///< for undo
    void say(const QString &said);

    LoadoutDraft m_draft;
    std::vector<LoadoutDraft> m_earlier;
    int m_current = -1;
    QString m_said;
};

} // namespace holdfast
