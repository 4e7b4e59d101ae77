// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "part_model.h"
#include "sample_model.h"
#include "slot_model.h"
#include "undo_list.h"

namespace holdfast
{

/// What is done to a sample that was taken: moved to another slot, exchanged with another, lost, void, held
/// again, its fields corrected. One sample is chosen at a time, by the slot it lies in or in the list.
/// Everything is an entry of the ledger and can be taken back.
class SampleDesk : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(int row READ row NOTIFY changed FINAL)         ///< of the list of samples; -1: none is chosen
    Q_PROPERTY(QString words READ words NOTIFY changed FINAL) ///< the chosen sample in words; empty: none
    Q_PROPERTY(QString number READ number NOTIFY changed FINAL) ///< "017"
    Q_PROPERTY(bool held READ held NOTIFY changed FINAL)
    Q_PROPERTY(bool carrying READ carrying NOTIFY changed FINAL)   ///< a slot is being chosen for it
    Q_PROPERTY(QString advice READ advice NOTIFY changed FINAL)    ///< what Enter will do, or why it can't
    Q_PROPERTY(bool ready READ ready NOTIFY changed FINAL)         ///< Enter will do it
    Q_PROPERTY(bool exchanges READ exchanges NOTIFY changed FINAL) ///< while carrying: E exchanges the two
    Q_PROPERTY(bool amending READ amending NOTIFY changed FINAL)
    Q_PROPERTY(QString line READ line WRITE setLine NOTIFY changed FINAL)
    Q_PROPERTY(QStringList offers READ offers NOTIFY changed FINAL)
    Q_PROPERTY(holdfast::PartModel *parts READ parts CONSTANT FINAL)

public:
    SampleDesk(Desk &desk, UndoList &undo, SlotModel &slotPlan, SampleModel &samples,
               QObject *parent = nullptr);

    /// Takes the newest words and samples of the dive; what is chosen stays chosen while it is there.
    void update(const QuickWords &words);
    /// Chooses a sample of this dive, or of the one that is being shown next, as soon as it is there.
    void want(const QString &id);
    /// The cursor came to a slot (-1: none): the last sample put into it is chosen, or while carrying that
    /// slot.
    void slotChosen(int slotRow);

    /// Walks the list of samples; failed attempts are stepped over.
    Q_INVOKABLE void step(int by);
    /// The next sample that lies in the same slot.
    Q_INVOKABLE void nextInSlot();
    /// Begins to move the chosen sample; letGo() ends it without a change.
    Q_INVOKABLE void pickUp();
    Q_INVOKABLE void letGo();
    Q_INVOKABLE void putDown();
    Q_INVOKABLE void exchange();
    /// The chosen sample is lost, void or held (the words of the record); a reason is needed.
    Q_INVOKABLE void setState(const QString &state, const QString &reason);
    Q_INVOKABLE void beginAmend();
    Q_INVOKABLE void takeOffer();
    /// Records what the line changes; the reason may be empty.
    Q_INVOKABLE void amend(const QString &reason);

    [[nodiscard]] QString id() const { return m_id; }
    [[nodiscard]] int row() const;
    [[nodiscard]] QString words() const;
    [[nodiscard]] QString number() const;
    [[nodiscard]] bool held() const;
    [[nodiscard]] bool carrying() const { return m_carrying; }
    [[nodiscard]] QString advice() const { return m_advice; }
    [[nodiscard]] bool ready() const { return m_ready; }
    [[nodiscard]] bool exchanges() const { return m_exchanges; }
    [[nodiscard]] bool amending() const { return m_amending; }
    [[nodiscard]] QString line() const { return m_line; }
    void setLine(const QString &line);
    [[nodiscard]] QStringList offers() const { return m_offers; }
    [[nodiscard]] PartModel *parts() { return &m_parts; }

signals:
    void changed();
    /// The list was walked: the cursor of the plan should go to this slot (-1: it lies in none).
    void slotWanted(int slotRow);
    /// A commit of this desk is durable.
    void done();

private:
    [[nodiscard]] const SampleInfo *chosen() const;
    [[nodiscard]] const SampleInfo *find(const QString &id) const;
    void choose(const QString &id);
    void chooseWanted();
    void judge();
    void judgeCarried(const SampleInfo &sample);
    void judgeAmended(const SampleInfo &sample);
    /// The fields that the line changes, as the record names them.
    [[nodiscard]] QMap<QString, QString> changedFields() const;
    void write(const QString &doing, CruiseWriter::Work work, UndoList::Step step);

    Desk *m_desk;
    UndoList *m_undo;
    SlotModel *m_slots;
    SampleModel *m_samples;
    QuickWords m_words;
    QString m_id;
    QString m_wanted; ///< to be chosen when it is there
    int m_slotRow = -1;
    bool m_carrying = false, m_amending = false, m_ready = false, m_exchanges = false;
    QString m_line, m_before; ///< the line, and as it was when amending began
    QString m_advice;
    QStringList m_offers;
    PartModel m_parts;
};

} // namespace holdfast
