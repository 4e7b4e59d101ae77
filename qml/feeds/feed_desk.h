// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "desk.h"
#include "feed_list.h"
#include "feed_worker.h"
#include "reading.h"

#include <QJsonObject>
#include <QThread>
#include <QTimer>

namespace holdfast
{

/// The live values on the screen and the feeds behind them. Feeds run on a thread of their own; a feed that
/// is silent or bad is told by a notice and never holds up a stamp.
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
    Q_PROPERTY(QString feedsLine READ feedsLine NOTIFY ticked FINAL) ///< "2 feeds alive" or what is wrong
    Q_PROPERTY(holdfast::FeedList *feeds READ feeds CONSTANT FINAL)

public:
    explicit FeedDesk(Desk &desk, QObject *parent = nullptr);
    ~FeedDesk() override;

    /// Replays the logs of the shown dive that stand beside the cruise file, `speed` times as fast (1 ..
    /// 100), from `from` (ISO UTC), or when that is empty from a minute after launch. What can't be found is
    /// told by a notice.
    Q_INVOKABLE void replayDive(double speed, const QString &from = {});
    Q_INVOKABLE void stopAll();

    [[nodiscard]] UtcTime now() const { return m_clock.now(); }
    [[nodiscard]] const ShipClock &clock() const { return m_clock; }
    /// What the screen knows at this moment, for the record of a stamp: texts with their units in the keys.
    [[nodiscard]] QJsonObject seen(UtcTime at) const;
    [[nodiscard]] std::optional<double> depthNow() const;
    [[nodiscard]] const std::vector<DepthPoint> &depths() const { return m_depths; }

    [[nodiscard]] QString clockText() const;
    [[nodiscard]] QString shipDate() const { return holdfast::dateText(now()); }
    [[nodiscard]] bool replaying() const { return m_clock.isReplay(); }
    [[nodiscard]] QString replayText() const;
    [[nodiscard]] Reading depth() const;
    [[nodiscard]] Reading position() const;
    [[nodiscard]] Reading heading() const;
    [[nodiscard]] Reading altitude() const;
    [[nodiscard]] Reading temperature() const;
    [[nodiscard]] Reading salinity() const;
    [[nodiscard]] Reading oxygen() const;
    [[nodiscard]] QString feedsLine() const;
    [[nodiscard]] FeedList *feeds() { return &m_list; }

signals:
    void ticked();        ///< ten times a second
    void depthsChanged(); ///< new points of depths(), or all of them forgotten

private:
    void receive(const LiveStatePtr &state);
    void tick();
    void begin(ShipClock clock);
    void add(const QString &name, const FeedProfile &profile, LineSource *source);
    struct Log {
        QString path;
        FeedProfile profile;
        std::optional<UtcTime> first;
    };
    /// The logs taken in for the shown dive that stand beside the cruise file; while none was taken in, those
    /// whose name says "dive-N-", read by the first plain profile that fits.
    [[nodiscard]] std::vector<Log> findLogs() const;
    [[nodiscard]] QString findLog(const QString &fileName) const;
    [[nodiscard]] Reading waterReading(std::optional<double> LiveWater::*member, int decimals,
                                       const QString &unit) const;
    void age(Reading &reading, UtcTime time, const QString &feed) const;

    Desk *m_desk;
    ShipClock m_clock;
    QThread m_thread;
    std::unique_ptr<FeedWorker> m_worker; ///< lives on the thread
    LiveStatePtr m_state;
    std::vector<DepthPoint> m_depths;
    FeedList m_list;
    QTimer m_tick;
    int m_nextId = 1;
    int m_run = 0; ///< see LiveState::run
};

} // namespace holdfast
