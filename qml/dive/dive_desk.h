// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed_desk.h"
#include "sample_desk.h"
#include "stamp_model.h"

namespace holdfast
{

/// The Dive screen: what waits, what has been taken, what the quick line says, and the verbs behind its keys.
class DiveDesk : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(holdfast::SlotModel *slotPlan READ slotPlan CONSTANT FINAL)
    Q_PROPERTY(holdfast::BoxModel *boxes READ boxes CONSTANT FINAL)
    Q_PROPERTY(holdfast::StampModel *stamps READ stamps CONSTANT FINAL)
    Q_PROPERTY(holdfast::SampleModel *samples READ samples CONSTANT FINAL)
    Q_PROPERTY(holdfast::PartModel *parts READ parts CONSTANT FINAL)
    Q_PROPERTY(
        holdfast::SampleDesk *hand READ hand CONSTANT FINAL) ///< what is done to a sample that was taken
    Q_PROPERTY(QString slotText READ slotText NOTIFY slotTextChanged FINAL) ///< the chosen slot in words
    Q_PROPERTY(QString phaseText READ phaseText NOTIFY phaseTicked FINAL)
    Q_PROPERTY(QString nextPhase READ nextPhase NOTIFY phaseChanged FINAL) ///< empty when all are reached
    Q_PROPERTY(QString answer READ answer NOTIFY openChanged FINAL)        ///< what is waiting, in words
    Q_PROPERTY(int openRow READ openRow NOTIFY openChanged FINAL)          ///< of stamps; -1: none is open
    Q_PROPERTY(QString openText READ openText NOTIFY openChanged FINAL)
    Q_PROPERTY(QString line READ line WRITE setLine NOTIFY lineChanged FINAL)
    Q_PROPERTY(QStringList offers READ offers NOTIFY lineChanged FINAL) ///< whole lines, best first
    Q_PROPERTY(QString advice READ advice NOTIFY lineChanged FINAL) ///< what Enter will do, or why it can't
    Q_PROPERTY(bool ready READ ready NOTIFY lineChanged FINAL)      ///< Enter will place
    Q_PROPERTY(int chosenSlot READ chosenSlot NOTIFY lineChanged FINAL) ///< row of slotPlan; -1: none
    Q_PROPERTY(QString undoText READ undoText NOTIFY undoChanged FINAL) ///< empty: nothing to take back
    Q_PROPERTY(QStringList reasons READ reasons NOTIFY phaseChanged FINAL)

public:
    DiveDesk(Desk &desk, FeedDesk &feeds, UndoList &undo, QObject *parent = nullptr);

    /// Takes the moment. The time is read before anything else.
    Q_INVOKABLE void stamp();
    /// Opens the waiting stamp of a row; -1 shuts the open one. It keeps what was typed for it so far.
    Q_INVOKABLE void open(int row);
    /// The quick line and the chosen slot make the open stamp a sample.
    Q_INVOKABLE void place();
    Q_INVOKABLE void fail(const QString &reason);
    Q_INVOKABLE void setAside(const QString &reason);
    /// Takes back the last action of this screen by an amendment.
    Q_INVOKABLE void undo() { m_undo->undo(); }
    /// The next phase of the dive is reached now.
    Q_INVOKABLE void reachNextPhase();
    Q_INVOKABLE void moveChoice(holdfast::SlotModel::Direction direction);
    Q_INVOKABLE void chooseSlot(int row);
    /// The lid of the chosen slot, with those of its box when the box has one lid for all.
    Q_INVOKABLE void toggleLid();
    /// The reach of the chosen slot alone, or of everything on its tray.
    Q_INVOKABLE void toggleReach();
    Q_INVOKABLE void toggleTray();
    /// Takes the first offer into the line.
    Q_INVOKABLE void takeOffer();

    [[nodiscard]] SlotModel *slotPlan() { return &m_slots; }
    [[nodiscard]] BoxModel *boxes() { return &m_boxes; }
    [[nodiscard]] StampModel *stamps() { return &m_stamps; }
    [[nodiscard]] SampleModel *samples() { return &m_samples; }
    [[nodiscard]] PartModel *parts() { return &m_parts; }
    [[nodiscard]] SampleDesk *hand() { return &m_hand; }
    [[nodiscard]] QString slotText() const;
    [[nodiscard]] QString phaseText() const;
    [[nodiscard]] QString nextPhase() const;
    [[nodiscard]] QString answer() const;
    [[nodiscard]] int openRow() const;
    [[nodiscard]] QString openText() const;
    [[nodiscard]] QString line() const { return m_line; }
    void setLine(const QString &line);
    [[nodiscard]] QStringList offers() const { return m_offers; }
    [[nodiscard]] QString advice() const { return m_advice; }
    [[nodiscard]] bool ready() const { return m_ready; }
    [[nodiscard]] int chosenSlot() const { return m_chosen; }
    [[nodiscard]] QString undoText() const { return m_undo->next(); }
    [[nodiscard]] QStringList reasons() const;

signals:
    void phaseChanged();
    void phaseTicked();
    void openChanged();
    void lineChanged();
    void undoChanged();
    void slotTextChanged();
    /// A stamp is durable: microseconds from key press to commit.
    void stampSaved(qint64 microseconds);
    void placed(const QString &id);

private:
    void refresh();
    void tick();
    void judge();
    [[nodiscard]] SampleDetails details() const;
    [[nodiscard]] QString openUuid() const;
    [[nodiscard]] const SlotState *chosenState() const;
    /// The codes of the slots that share the chosen one's lid or tray.
    [[nodiscard]] QStringList boxCodes() const;
    [[nodiscard]] QStringList trayCodes() const;
    void writeReach(const QStringList &codes);
    [[nodiscard]] int readyDive(); ///< 0, with a notice, when nothing can be written
    /// The dive that a stamp of now goes into: the one in the water, whichever is shown. 0, with a notice,
    /// when there is none.
    [[nodiscard]] int stampedDive();
    void endOpen(const QString &doing, const QString &undoSentence, const QString &reason,
                 Done (*action)(CruiseFile &, const Act &, const QString &, const QString &));
    void write(const QString &doing, CruiseWriter::Work work, std::function<void()> done);
    using EndOfStamp = std::function<Done(CruiseFile &, const QString &stampUuid)>;
    /// Ends the open stamp (placed, failed, set aside); one that is not saved yet, as soon as it is.
    void endStamp(const QString &doing, EndOfStamp end, std::function<void(const QString &uuid)> done);

    Desk *m_desk;
    FeedDesk *m_feeds;
    UndoList *m_undo;
    SlotModel m_slots;
    BoxModel m_boxes;
    StampModel m_stamps;
    SampleModel m_samples;
    PartModel m_parts;
    SampleDesk m_hand;
    QuickWords m_words;
    qint64 m_openUs = 0;             ///< time of the open stamp; 0: none
    QHash<qint64, QString> m_drafts; ///< what was typed for a stamp that was left, by its time
    QSet<qint64> m_ending;           ///< stamps whose end is on its way to the disk
    QHash<qint64, std::function<void(const QString &uuid)>> m_onceSaved; ///< what waits for their commit
    QString m_line;
    QuickEntry m_entry;
    QStringList m_offers;
    QString m_advice;
    bool m_ready = false;
    int m_chosen = -1;
    int m_shownDive = 0; ///< whose slots m_chosen counts
};

} // namespace holdfast
