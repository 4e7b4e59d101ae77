// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "desk.h"
#include "feed_alarms.h"
#include "feed_list.h"
#include "line_taking.h"
#include "live/feed_worker.h"
#include "live_readings.h"

#include <QLockFile>
#include <QThread>
#include <QTimer>

namespace holdfast
{

/// The live values on the screen and the feeds behind them. The feeds of the file's station are opened with
/// it and their lines recorded into the last dive that is not closed; a replay of the dive's logs takes their
/// place. Feeds run on a thread of their own; one that is silent or bad is told by a notice and never holds
/// up a stamp.
class FeedDesk : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(QString clockText READ clockText NOTIFY ticked FINAL)
    Q_PROPERTY(QString dateText READ shipDate NOTIFY ticked FINAL)
    Q_PROPERTY(bool replaying READ replaying NOTIFY ticked FINAL)
    Q_PROPERTY(QString replayText READ replayText NOTIFY ticked FINAL)
    Q_PROPERTY(holdfast::Reading depth READ depth NOTIFY ticked FINAL)
    Q_PROPERTY(holdfast::Reading position READ position NOTIFY ticked FINAL)
    Q_PROPERTY(holdfast::Reading heading READ heading NOTIFY ticked FINAL)
    Q_PROPERTY(holdfast::Reading altitude READ altitude NOTIFY ticked FINAL)
    Q_PROPERTY(holdfast::Reading temperature READ temperature NOTIFY ticked FINAL)
    Q_PROPERTY(holdfast::Reading salinity READ salinity NOTIFY ticked FINAL)
    Q_PROPERTY(holdfast::Reading oxygen READ oxygen NOTIFY ticked FINAL)
    Q_PROPERTY(QString feedsLine READ feedsLine NOTIFY ticked FINAL)   ///< "2 feeds alive" or what is wrong
    Q_PROPERTY(QString clocksLine READ clocksLine NOTIFY ticked FINAL) ///< the computer's clock and GPS time
    Q_PROPERTY(QString recordLine READ recordLine NOTIFY ticked FINAL) ///< where the lines are kept
    Q_PROPERTY(
        QString takingIn READ takingIn NOTIFY takingInChanged FINAL) ///< "CTD 40 %"; empty: it does not
    Q_PROPERTY(holdfast::FeedList *feeds READ feeds CONSTANT FINAL)

public:
    explicit FeedDesk(Desk &desk, QObject *parent = nullptr);
    ~FeedDesk() override;

    /// Replays the logs of the shown dive that stand beside the cruise file, `speed` times as fast (1 ..
    /// 100), from `from` (ISO UTC), or when that is empty from a minute after launch. What can't be found is
    /// told by a notice.
    Q_INVOKABLE void replayDive(double speed, const QString &from = {});
    /// Ends feeds or replay; while lines are recorded only when it is said twice within ten seconds.
    Q_INVOKABLE void stopAll();
    /// Opens the live feeds of this file's station, as they are set in the file now.
    Q_INVOKABLE void openLive();
    /// Sets a feed from one line, "CTD udp://0.0.0.0:47002 ctd-csv"; a name with blanks stands in quotes.
    /// What is wrong with the line comes back as a sentence; empty: it was handed on.
    Q_INVOKABLE QString setFeedLine(const QString &line);
    Q_INVOKABLE void removeFeed(const QString &name);
    /// Makes logs of the shown dive out of the recorded lines of all feeds, so that fixes and water values
    /// come from them. Each that worked, or did not, is told by a notice. Asked again while it runs, it stops
    /// and leaves nothing half.
    Q_INVOKABLE void takeInLines();

    [[nodiscard]] UtcTime now() const { return m_clock.now(); }
    [[nodiscard]] const ShipClock &clock() const { return m_clock; }
    /// What the screen knows at this moment, for the record of a stamp: texts with their units in the keys.
    [[nodiscard]] QJsonObject seen(UtcTime at) const;
    [[nodiscard]] std::optional<double> depthNow() const;
    /// The dive that the lines go into; 0: nothing is recorded.
    [[nodiscard]] int recordedDive() const { return m_recordedDive; }

    [[nodiscard]] QString clockText() const;
    [[nodiscard]] QString shipDate() const { return holdfast::dateText(now()); }
    [[nodiscard]] bool replaying() const { return m_clock.isReplay(); }
    [[nodiscard]] QString replayText() const;
    [[nodiscard]] Reading depth() const { return readings().depth(); }
    [[nodiscard]] Reading position() const { return readings().position(); }
    [[nodiscard]] Reading heading() const { return readings().heading(); }
    [[nodiscard]] Reading altitude() const { return readings().altitude(); }
    [[nodiscard]] Reading temperature() const { return readings().temperature(); }
    [[nodiscard]] Reading salinity() const { return readings().salinity(); }
    [[nodiscard]] Reading oxygen() const { return readings().oxygen(); }
    [[nodiscard]] QString feedsLine() const;
    [[nodiscard]] QString clocksLine() const;
    [[nodiscard]] QString recordLine() const;
    [[nodiscard]] QString takingIn() const { return m_taking.progress(); }
    [[nodiscard]] FeedList *feeds() { return &m_list; }
    [[nodiscard]] const LiveState &state() const { return *m_state; }

signals:
    void takingInChanged();
    void ticked();           ///< ten times a second
    void began(bool replay); ///< the feeds are closed, and others will be opened
    /// What came since the last time; several times a second while feeds run.
    void courseGrew(const holdfast::LiveCourse &news);

private:
    void receive(const LiveStatePtr &state);
    void tick();
    /// Ends the feeds that run, closes their recordings, and begins anew.
    void begin(ShipClock clock, LineRecorder::Sink sink = {});
    /// The last lines are stored and their recordings closed; until that is done it is tried again.
    void save(const EndedRecordings &ended);
    /// Others may record into the file, once what is on its way is stored.
    void giveLockBack();
    void add(FeedPlan plan, LineSource *source);
    /// Opens the live feeds when the file, its feeds or its dive have become others.
    void followFile();
    void tellTaken(const QStringList &told);
    [[nodiscard]] bool holdLock();
    void openOne(const FeedSetup &feed);
    [[nodiscard]] LineRecorder::Sink sinkOf(const QString &path);
    [[nodiscard]] LiveReadings readings() const { return {*m_state, m_clock}; }
    [[nodiscard]] Act actOfProgram() const;

    Desk *m_desk;
    FeedAlarms m_alarms;
    ShipClock m_clock;
    QThread m_thread;
    std::unique_ptr<FeedWorker> m_worker; ///< lives on the thread
    LiveStatePtr m_state;
    FeedList m_list;
    LineTaking m_taking;
    QTimer m_tick;
    std::shared_ptr<QLockFile> m_lock;    ///< of the window that records into the file
    std::weak_ptr<QLockFile> m_givenBack; ///< what is on its way still holds it
    bool m_ending = false;                ///< the window goes: nothing can be tried again
    QString m_followed;                   ///< what the open live feeds were opened for
    int m_recordedDive = 0;               ///< 0: nothing is recorded
    std::optional<HostClock::Steady::time_point> m_stopAsked;
    int m_nextId = 1;
    int m_run = 0; ///< see LiveState::run
};

} // namespace holdfast
