// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed_desk.h"
#include "undo_list.h"

#include <QAbstractListModel>

namespace holdfast
{

/// The checklist of a dive as rows.
class ReadyModel : public QAbstractListModel
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")

public:
    enum class Role { Title = Qt::UserRole + 1, Words, Sign, StateWord, InOrder, Doubt };
    Q_ENUM(Role)
    using QAbstractListModel::QAbstractListModel;

    void update(std::vector<ReadyLine> lines);
    [[nodiscard]] const std::vector<ReadyLine> &lines() const { return m_lines; }
    [[nodiscard]] int rowCount(const QModelIndex &parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex &index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

private:
    std::vector<ReadyLine> m_lines;
};

/// The Ready place: "What is left to ready?"
class ReadyDesk : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(holdfast::ReadyModel *lines READ lines CONSTANT FINAL)
    Q_PROPERTY(QString answer READ answer NOTIFY changed FINAL)
    Q_PROPERTY(QStringList watch READ watch NOTIFY changed FINAL) ///< "log   Mara   since 07:05"
    Q_PROPERTY(
        QStringList permits READ permits NOTIFY changed FINAL) ///< "stony   3 of 10, 7 left   permit 26/17"
    Q_PROPERTY(QStringList wanted READ wanted NOTIFY changed FINAL) ///< "coral   2 of 2 to 6   enough"
    Q_PROPERTY(QString feedsNow READ feedsNow NOTIFY ticked FINAL)
    Q_PROPERTY(QString clocksNow READ clocksNow NOTIFY ticked FINAL)
    Q_PROPERTY(QString trouble READ trouble NOTIFY troubleChanged FINAL)

public:
    ReadyDesk(Desk &desk, FeedDesk &feeds, UndoList &undo, QObject *parent = nullptr);

    /// The point of a row is in order, said by who is logging.
    Q_INVOKABLE void confirm(int row);
    /// It is not; the note says why.
    Q_INVOKABLE void refuse(int row, const QString &note);
    Q_INVOKABLE void undo() { m_undo->undo(); }
    // Lines as dive/ready_words.h reads them; "off" in place of a number takes an item away. True when the
    // line was understood; else `trouble` says what was expected.
    Q_INVOKABLE bool addWatch(const QString &line);
    Q_INVOKABLE bool addPermit(const QString &line);
    Q_INVOKABLE bool addWanted(const QString &line);
    Q_INVOKABLE void forgetTrouble() { setTrouble({}); }

    /// Feeds whose clock is further from the host's than this are named, seconds.
    static constexpr double clockLimitS = 2;

    [[nodiscard]] ReadyModel *lines() { return &m_lines; }
    [[nodiscard]] QString answer() const;
    [[nodiscard]] QStringList watch() const;
    [[nodiscard]] QStringList permits() const;
    [[nodiscard]] QStringList wanted() const;
    [[nodiscard]] QString feedsNow() const { return m_feeds->feedsLine(); }
    [[nodiscard]] QString clocksNow() const;
    [[nodiscard]] QString trouble() const { return m_trouble; }

signals:
    void changed();
    void ticked();
    void troubleChanged();

private:
    void refresh();
    void check(int row, bool inOrder, const QString &note);
    void setTrouble(const QString &trouble);
    [[nodiscard]] const Readiness *readiness() const;
    [[nodiscard]] int readyDive(); ///< 0, with a notice, when nothing can be written
    void write(const QString &doing, CruiseWriter::Work work, UndoList::Step step);

    Desk *m_desk;
    FeedDesk *m_feeds;
    UndoList *m_undo;
    ReadyModel m_lines;
    QString m_trouble;
};

} // namespace holdfast
