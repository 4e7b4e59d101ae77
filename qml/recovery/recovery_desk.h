// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "bench_view.h"
#include "cruise_reader.h"
#include "custody/items.h"
#include "desk.h"
#include "papers_desk.h"

#include <QAbstractListModel>
#include <QtQml/qqmlregistration.h>

namespace holdfast
{

/// The slots of the dive in the order of unloading, each with its answer or "untallied".
class TallyModel : public QAbstractListModel
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")

public:
    enum class Role {
        Code = Qt::UserRole + 1,
        Container,
        Expected,
        AnswerWord,
        Answered,
        Sound,
        Note,
        Clock
    };
    Q_ENUM(Role)
    using QAbstractListModel::QAbstractListModel;

    void update(int dive, const std::vector<TallyLine> &lines);
    /// The cold clock that runs out first, by sample.
    void setClocks(const QMap<QString, ClockReading> &clocks);
    [[nodiscard]] const std::vector<TallyLine> &lines() const { return m_lines; }
    [[nodiscard]] int rowCount(const QModelIndex &parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex &index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

private:
    [[nodiscard]] QString clockText(const TallyLine &line) const;

    std::vector<TallyLine> m_lines;
    QMap<QString, ClockReading> m_clocks;
    int m_dive = 0;
};

/// The Recovery screen: one slot at a time, what should be in it, and what was found.
class RecoveryDesk : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(holdfast::TallyModel *tally READ tally CONSTANT FINAL)
    Q_PROPERTY(int row READ row WRITE setRow NOTIFY changed FINAL) ///< the slot in hand; -1: there is none
    Q_PROPERTY(QString code READ code NOTIFY changed FINAL)
    Q_PROPERTY(QString container READ container NOTIFY changed FINAL)
    Q_PROPERTY(QString where READ where NOTIFY changed FINAL)
    Q_PROPERTY(
        QStringList expected READ expected NOTIFY changed FINAL) ///< a line for each sample; empty: free
    Q_PROPERTY(QString sinceBottom READ sinceBottom NOTIFY changed FINAL) ///< how long ago it left the bottom
    Q_PROPERTY(bool holdsSomething READ holdsSomething NOTIFY changed FINAL) ///< by the ledger, in hand
    Q_PROPERTY(bool labelFollows READ labelFollows NOTIFY changed FINAL) ///< the label prints when answered
    Q_PROPERTY(QString given READ given NOTIFY changed FINAL)            ///< the answer so far, in words
    Q_PROPERTY(QString answer READ answer NOTIFY changed FINAL)          ///< what is still untallied
    Q_PROPERTY(double progress READ progress NOTIFY changed FINAL)       ///< 0 .. 1
    Q_PROPERTY(bool mayClose READ mayClose NOTIFY changed FINAL)
    Q_PROPERTY(bool closed READ closed NOTIFY changed FINAL)
    Q_PROPERTY(
        int wantsNote READ wantsNote NOTIFY changed FINAL) ///< answer that waits for its words; 0: none
    Q_PROPERTY(QString wantsPrompt READ wantsPrompt NOTIFY changed FINAL) ///< what is asked then
    Q_PROPERTY(int held READ held NOTIFY changed FINAL) ///< how many samples the ledger has in the slot

public:
    RecoveryDesk(Desk &desk, PapersDesk &papers, QObject *parent = nullptr);

    /// Answers for the slot in hand: 1 as logged, 2 empty, 3 different, 4 broken, 5 extra. The last three ask
    /// for a few words first.
    Q_INVOKABLE void say(int number);
    /// 6 a rider or associate of what is in the slot, 7 something loose that nobody logged, 8 several samples
    /// that can't be told apart: these ask for words, too, and are logged with their links.
    static constexpr int riderNumber = 6, looseNumber = 7, alikeNumber = 8;
    /// The words that say() asked for.
    Q_INVOKABLE void sayWith(const QString &note);
    Q_INVOKABLE void cancelNote();
    Q_INVOKABLE void closeDive();
    /// The labels of what the ledger has in the slot in hand.
    Q_INVOKABLE void printLabel();
    /// Whether an answer other than "empty" prints the labels too. Kept for this computer.
    Q_INVOKABLE void toggleLabelFollows();
    /// A scanned item. In the slot in hand it answers "as logged" when it is all that should be there; in
    /// another slot of the dive it goes to that slot. False when the tally has no use for it.
    bool take(const Item &item);

    [[nodiscard]] TallyModel *tally() { return &m_tally; }
    [[nodiscard]] int row() const { return m_row; }
    void setRow(int row);
    [[nodiscard]] QString code() const;
    [[nodiscard]] QString container() const;
    [[nodiscard]] QString where() const;
    [[nodiscard]] QStringList expected() const;
    [[nodiscard]] QString sinceBottom() const;
    [[nodiscard]] bool holdsSomething() const { return line() && !line()->slot.held.isEmpty(); }
    [[nodiscard]] bool labelFollows() const { return m_labelFollows; }
    [[nodiscard]] QString given() const;
    [[nodiscard]] QString answer() const;
    [[nodiscard]] double progress() const;
    [[nodiscard]] bool mayClose() const;
    [[nodiscard]] bool closed() const;
    [[nodiscard]] int wantsNote() const { return m_wants; }
    [[nodiscard]] QString wantsWord() const;
    [[nodiscard]] int held() const { return line() ? static_cast<int>(line()->slot.held.size()) : 0; }
    [[nodiscard]] QString wantsPrompt() const;

signals:
    void changed();
    void tallied(const QString &slot);
    void refused(const QString &sentence);

private:
    void refresh();
    void readClocks();
    void record(int number, const QString &note);
    void log(int number, const QString &words);
    void goToNextOpen(int from);
    [[nodiscard]] const TallyLine *line() const;
    [[nodiscard]] int untallied() const;

    Desk *m_desk;
    PapersDesk *m_papers;
    CruiseReader m_reader;
    std::optional<HoldingRules> m_rules;
    TallyModel m_tally;
    QTimer m_clock;
    quint64 m_turn = 0;
    bool m_labelFollows = false;
    int m_row = -1;
    int m_wants = 0;
    int m_dive = 0;
};

} // namespace holdfast
