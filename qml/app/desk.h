// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "cruise_writer.h"
#include "notices.h"
#include "snapshot.h"

#include <QTimer>
#include <QUrl>
#include <QtQml/qqmlregistration.h>

namespace holdfast
{

/// The open cruise: which file, which dive, who is logging. Every screen reads its snapshot and hands its
/// writes to it; after each commit a new snapshot is read on a thread of its own and `refreshed` is sent.
class Desk : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(bool open READ isOpen NOTIFY refreshed FINAL)
    Q_PROPERTY(QString path READ path NOTIFY refreshed FINAL)
    Q_PROPERTY(QString cruiseCode READ cruiseCode NOTIFY refreshed FINAL)
    Q_PROPERTY(QString stationName READ stationName NOTIFY refreshed FINAL)
    Q_PROPERTY(int dive READ dive NOTIFY refreshed FINAL) ///< 0 while there is none
    Q_PROPERTY(QString diveName READ diveName NOTIFY refreshed FINAL)
    Q_PROPERTY(QString person READ person WRITE setPerson NOTIFY personChanged FINAL)
    Q_PROPERTY(QStringList people READ people NOTIFY refreshed FINAL) ///< who logged before, the last six

public:
    explicit Desk(Notices &notices, QObject *parent = nullptr);
    ~Desk() override;

    /// Opens a cruise file and shows its dive `dive` (0: the one in the water, else the last); what comes of
    /// it is told by `refreshed`, or by a notice. The file that is open stays open and shown, and takes what
    /// people do, until the other one was opened and read and all that was caught for the first is saved.
    Q_INVOKABLE void openFile(const QString &path, int dive = 0);
    /// From now on files are opened for reading only, and every write is refused with a notice. A file of an
    /// earlier schema is not upgraded then, but read through a copy.
    void readOnly() { m_readOnly = true; }
    [[nodiscard]] bool onlyReads() const { return m_readOnly; }
    Q_INVOKABLE void openUrl(const QUrl &url) { openFile(url.toLocalFile()); }
    Q_INVOKABLE void showDive(int number);
    Q_INVOKABLE void nextDive(int step);
    /// Asks the window to show a place ("dive").
    Q_INVOKABLE void wantPlace(const QString &word) { emit placeWanted(word); }
    /// The same, with a sample or specimen in hand there: each place shows it in its own way.
    void wantItem(const QString &place, const QString &id)
    {
        emit placeWanted(place);
        emit itemWanted(place, id);
    }

    [[nodiscard]] bool isOpen() const { return m_snapshot != nullptr; }
    [[nodiscard]] QString path() const { return m_path; }
    [[nodiscard]] QString cruiseCode() const { return m_snapshot ? m_snapshot->cruise.code : QString(); }
    [[nodiscard]] QString stationName() const { return m_snapshot ? m_snapshot->station : QString(); }
    [[nodiscard]] int dive() const;
    [[nodiscard]] QString diveName() const;
    [[nodiscard]] QString person() const { return m_person; }
    /// Who logs from now on; with an open dive the record says who handed the log over to whom.
    void setPerson(const QString &person);
    /// Who has the log of the shown dive by the record; empty: nobody is named.
    [[nodiscard]] QString personWithTheLog() const;
    [[nodiscard]] QStringList people() const;

    /// None before a file is open.
    [[nodiscard]] SnapshotPtr snapshot() const { return m_snapshot; }
    [[nodiscard]] Notices &notices() const { return *m_notices; }

    /// Who acts, now by the host's clock.
    [[nodiscard]] Act act() const;

    /// Hands work to the writer; `reply` comes after the commit or with the error. Then the snapshot is
    /// renewed. An error is also said as a notice, as "<doing>: <sentence>".
    void write(const QString &doing, CruiseWriter::Work work, CruiseWriter::Reply reply = {});

    /// What was caught and waits for the disk or another program; the window must stay open for it.
    [[nodiscard]] int unsaved() const { return m_tryingAgain; }
    /// Before the window goes: false, with a notice, the first time while something is not saved yet.
    Q_INVOKABLE bool mayClose();

    /// The same for what must not be lost, the moment of a stamp: while the file is locked by another program
    /// or the disk is full it is tried again every second, which a notice says; `reply` comes at the end.
    void writeUntilDone(const QString &doing, CruiseWriter::Work work, CruiseWriter::Reply reply);
    /// In a window that only reads: says so, answers with the refusal, and is true.
    bool refusesToWrite(const QString &doing, const CruiseWriter::Reply &reply);
    /// Hands on work that no screen waits for. May be called on any thread.
    void writeQuietly(CruiseWriter::Work work) { m_writer.submit(std::move(work), nullptr, {}); }

signals:
    void leaving(); ///< another file takes the place of this one, behind what is written now
    void refreshed();
    void personChanged();
    void placeWanted(const QString &word);
    void itemWanted(const QString &place, const QString &id);

private:
    class Reader;
    /// A file on its way to be shown.
    struct Arrival {
        QString path;
        int dive = 0;
        SnapshotPtr snapshot; ///< once it has been read; then only what is not saved yet is waited for
    };
    void handOver(const QString &from);
    void tryToWrite(const QString &doing, const CruiseWriter::Work &work, const CruiseWriter::Reply &reply,
                    bool again);
    void refresh();
    void receive(const Result<SnapshotPtr> &read, quint64 turn);
    void readArrival();
    void arriveIfSaved();
    void giveUpArrival(const Error &error);
    void show(const SnapshotPtr &snapshot);

    Notices *m_notices;
    CruiseWriter m_writer;
    std::unique_ptr<Reader> m_reader;
    SnapshotPtr m_snapshot;
    QString m_path;
    int m_wantedDive = 0;
    QString m_person;
    QTimer m_follow; ///< asks whether another program has written to the file
    bool m_readOnly = false;
    quint64 m_turn = 0;
    bool m_toldBeforeClosing = false;
    int m_untilDone = 0;   ///< writes that must not be lost and are not saved yet
    int m_tryingAgain = 0; ///< those of them that wait for the disk or another program
    std::optional<Arrival> m_arrival;
    quint64 m_arrivals = 0;
};

} // namespace holdfast
