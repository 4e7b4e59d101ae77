// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/progress.h"
#include "cruise_reader.h"
#include "desk.h"
#include "exchange/conflicts.h"
#include "exchange/station_list.h"

#include <QTimer>
#include <QtQml/qqmlregistration.h>
#include <atomic>
#include <memory>

namespace holdfast
{

/// All that the page of exchange shows at one moment.
struct ExchangeView {
    std::vector<StationState> stations;
    std::vector<Conflict> conflicts;
};

/// The exchange with other stations: what each lacks, giving and taking files, and the conflicts that a
/// person settles. Files are read, checked and written on threads of their own.
class ExchangeDesk : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(bool shown READ isShown WRITE setShown NOTIFY shownChanged FINAL)
    Q_PROPERTY(QString answer READ answer NOTIFY changed FINAL)
    Q_PROPERTY(QStringList stations READ stations NOTIFY changed FINAL)
    Q_PROPERTY(QString ownKey READ ownKey NOTIFY changed FINAL) ///< for others to compare
    Q_PROPERTY(QString folder READ folder NOTIFY changed FINAL) ///< the one that was used last
    Q_PROPERTY(QStringList conflicts READ conflicts NOTIFY changed FINAL)
    Q_PROPERTY(int conflict READ conflict NOTIFY changed FINAL) ///< the row in hand; -1: none
    Q_PROPERTY(QStringList sides READ sides NOTIFY changed FINAL)
    Q_PROPERTY(int side READ side NOTIFY changed FINAL) ///< the side that shall hold; -1: none
    Q_PROPERTY(bool mayTake READ mayTake NOTIFY changed FINAL)
    Q_PROPERTY(QString outcome READ outcome NOTIFY changed FINAL) ///< what will stand, or why it can't
    Q_PROPERTY(QString advice READ advice NOTIFY changed FINAL)
    Q_PROPERTY(QString doing READ doing NOTIFY progressed FINAL) ///< empty: nothing runs
    Q_PROPERTY(double progress READ progress NOTIFY progressed FINAL)
    Q_PROPERTY(QStringList report READ report NOTIFY reported FINAL) ///< of what was done last
    Q_PROPERTY(bool refused READ refused NOTIFY reported FINAL)      ///< something of it was refused

public:
    explicit ExchangeDesk(Desk &desk, QObject *parent = nullptr);
    ~ExchangeDesk() override;

    /// Writes this station's file into a folder; `station` is a row of stations() to give only what that one
    /// lacks, -1 for all.
    Q_INVOKABLE void give(const QString &folder, int station);
    /// Takes in one file. `trusted`: the key of a new station as that station shows it; may be empty.
    Q_INVOKABLE void take(const QString &path, const QString &trusted);
    Q_INVOKABLE void takeUrl(const QUrl &url, const QString &trusted) { take(url.toLocalFile(), trusted); }
    /// Takes in all files that others left in a folder and leaves the own one there.
    Q_INVOKABLE void meet(const QString &folder, const QString &trusted);
    Q_INVOKABLE void stop() { m_job->stop = true; }
    Q_INVOKABLE void choose(int row);
    Q_INVOKABLE void chooseSide(int row);
    /// The chosen side holds; the reason and who is logging stay with the record.
    Q_INVOKABLE void settle(const QString &reason);
    [[nodiscard]] Q_INVOKABLE static QString localPath(const QUrl &url) { return url.toLocalFile(); }

    [[nodiscard]] bool isShown() const { return m_shown; }
    void setShown(bool shown);
    [[nodiscard]] QString answer() const;
    [[nodiscard]] QStringList stations() const;
    [[nodiscard]] QString ownKey() const;
    [[nodiscard]] QString folder() const;
    [[nodiscard]] QStringList conflicts() const;
    [[nodiscard]] int conflict() const { return m_conflict; }
    [[nodiscard]] QStringList sides() const;
    [[nodiscard]] int side() const { return m_side; }
    [[nodiscard]] bool mayTake() const { return choice().possible; }
    [[nodiscard]] QString outcome() const { return choice().outcome; }
    [[nodiscard]] QString advice() const;
    [[nodiscard]] QString doing() const { return m_doing; }
    [[nodiscard]] double progress() const { return m_progress; }
    [[nodiscard]] QStringList report() const { return m_report; }
    [[nodiscard]] bool refused() const { return m_refused; }

signals:
    void shownChanged();
    void changed();
    void progressed();
    void reported();
    void settled();

private:
    /// Shared with the threads that work, which may outlive this object.
    struct Job {
        std::atomic<bool> stop = false;
        std::atomic<double> share = 0;
    };
    struct Given {
        QString path;
        qint64 entries = 0;
    };
    void read();
    void receive(const Result<ExchangeView> &view);
    /// Starts a job unless one runs, or there is nothing to do it with.
    bool begin(const QString &doing);
    void end();
    void tell(const QString &line, bool refused = false);
    [[nodiscard]] Progress telling(const QString &doing);
    [[nodiscard]] bool stopped() const { return m_job->stop; }
    void takeNext(QStringList paths, const QStringList &trusted, std::function<void()> then);
    [[nodiscard]] std::optional<QStringList> keysIn(const QString &trusted);
    void writeOut(const QString &folder, const std::optional<QString> &forStation);
    [[nodiscard]] const Conflict *inHand() const;
    [[nodiscard]] Choice choice() const;
    void takeShownSide();

    Desk *m_desk;
    CruiseReader m_reader;
    ExchangeView m_view;
    QString m_key; ///< of the conflict in hand
    int m_conflict = -1, m_side = -1;
    bool m_shown = false, m_read = false, m_refused = false;
    QString m_trouble, m_doing;
    double m_progress = 0;
    QStringList m_report;
    std::shared_ptr<Job> m_job = std::make_shared<Job>();
    QTimer m_look; ///< at how far the job is
    quint64 m_turn = 0;
};

} // namespace holdfast
