// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "bench_view.h"
#include "cruise_reader.h"
#include "custody/history.h"
#include "custody/item_cautions.h"
#include "desk.h"

#include <QTimer>
#include <QtQml/qqmlregistration.h>

namespace holdfast
{

/// The tree of the sample in hand: drawn by the screen, row by row.
class TreeModel : public QAbstractListModel
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")

public:
    enum class Role { Id = Qt::UserRole + 1, Label, State, Level, Associate, Over, Marked };
    Q_ENUM(Role)
    using QAbstractListModel::QAbstractListModel;

    void update(std::vector<TreeItem> items);
    void mark(int row);
    void clearMarks();
    [[nodiscard]] QStringList marked() const;
    [[nodiscard]] int rowOf(const QString &id) const;
    [[nodiscard]] const std::vector<TreeItem> &items() const { return m_items; }
    [[nodiscard]] int rowCount(const QModelIndex &parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex &index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

private:
    std::vector<TreeItem> m_items;
    QStringList m_marks;
};

/// The Bench screen: what is due by time left, the sample in hand as a tree, and what can be done to the
/// chosen items, with what the holding table proposes and cautions.
class BenchDesk : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(QString answer READ answer NOTIFY changed FINAL)
    Q_PROPERTY(QStringList due READ due NOTIFY changed FINAL) ///< a line each, least time left first
    Q_PROPERTY(QStringList dueWeights READ dueWeights NOTIFY changed FINAL) ///< over, warning, running
    Q_PROPERTY(holdfast::TreeModel *tree READ tree CONSTANT FINAL)
    Q_PROPERTY(int row READ row WRITE setRow NOTIFY changed FINAL)
    Q_PROPERTY(QString sample READ sample NOTIFY changed FINAL)
    Q_PROPERTY(QStringList chosen READ chosen NOTIFY changed FINAL) ///< ids the next act is about
    Q_PROPERTY(QString chosenWords READ chosenWords NOTIFY changed FINAL)
    // The act in hand: its name, its fields from top to bottom, what the table says about it.
    Q_PROPERTY(QString act READ act NOTIFY actChanged FINAL) ///< empty: none
    Q_PROPERTY(QString actTitle READ actTitle NOTIFY actChanged FINAL)
    Q_PROPERTY(QStringList fieldNames READ fieldNames NOTIFY actChanged FINAL)
    Q_PROPERTY(QStringList fieldValues READ fieldValues NOTIFY actChanged FINAL)
    Q_PROPERTY(QString proposal READ proposal NOTIFY actChanged FINAL)
    Q_PROPERTY(QStringList cautions READ cautions NOTIFY cautionsChanged FINAL)
    Q_PROPERTY(QString trouble READ trouble NOTIFY troubleChanged FINAL)
    Q_PROPERTY(bool busy READ busy NOTIFY busyChanged FINAL) ///< the act was given and is not saved yet

public:
    explicit BenchDesk(Desk &desk, QObject *parent = nullptr);

    Q_INVOKABLE void openDue(int row);
    Q_INVOKABLE void nextSample(int step);
    Q_INVOKABLE void mark();
    /// "split", "preserve", "identify", "photograph", "store", "correct" or "void".
    Q_INVOKABLE void begin(const QString &act);
    Q_INVOKABLE void cancel();
    /// A field was typed in: the cautions follow the substance and place named.
    Q_INVOKABLE void typed(int field, const QString &text);
    /// Does the act with what was typed.
    Q_INVOKABLE void give();
    /// A scanned item: added to the list of the act in hand, else shown and chosen.
    void take(const Item &item);
    /// The sample of an item, with it in hand; a step that was begun is left.
    void show(const Item &item);

    [[nodiscard]] QString answer() const;
    [[nodiscard]] QStringList due() const;
    [[nodiscard]] QStringList dueWeights() const;
    [[nodiscard]] TreeModel *tree() { return &m_tree; }
    [[nodiscard]] int row() const { return m_row; }
    void setRow(int row);
    [[nodiscard]] QString sample() const { return m_sample; }
    [[nodiscard]] QStringList chosen() const;
    [[nodiscard]] QString chosenWords() const { return chosen().join(QStringLiteral(", ")); }
    [[nodiscard]] QString act() const { return m_act; }
    [[nodiscard]] QString actTitle() const;
    [[nodiscard]] QStringList fieldNames() const;
    [[nodiscard]] QStringList fieldValues() const { return m_values; }
    [[nodiscard]] QString proposal() const { return m_proposal; }
    [[nodiscard]] QStringList cautions() const;
    [[nodiscard]] QString trouble() const { return m_trouble; }
    [[nodiscard]] bool busy() const { return m_busy; }

signals:
    void changed();
    void actChanged();
    void cautionsChanged();
    void troubleChanged();
    void busyChanged();
    void done(const QString &act);

private:
    void read();
    void receive(const BenchView &view);
    void propose();
    void readCautions();
    void leave();
    void showSample(const QString &sample, const QString &item);
    void finish(const Done &result, const HeldNotice &notice);
    void givePhotograph();
    [[nodiscard]] CruiseWriter::Work workOf(std::shared_ptr<HeldNotice> notice) const;
    [[nodiscard]] QString value(int field) const { return m_values.value(field).trimmed(); }

    Desk *m_desk;
    CruiseReader m_reader;
    std::optional<HoldingRules> m_rules;
    BenchView m_view;
    TreeModel m_tree;
    QTimer m_clock;
    QString m_sample, m_wanted, m_act, m_proposal, m_trouble;
    QStringList m_values, m_cautions, m_scanned;
    ItemCautions m_itemCautions;
    bool m_busy = false;
    int m_row = -1, m_dive = 0;
    quint64 m_turn = 0;
};

} // namespace holdfast
