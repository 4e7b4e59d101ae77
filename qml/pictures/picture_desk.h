// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed_desk.h"
#include "print/dive_courses.h"

#include <QTimer>

namespace holdfast
{

/// The shown dive's courses in time and place: what the file holds of it, read on a thread of its own, and
/// after that what the live feeds said. In a replay only what lies before its own clock is shown.
class PictureDesk : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(QString note READ note NOTIFY changed
                   FINAL) ///< "reading the logs of the file"; empty: nothing to say

public:
    /// A sample, a failed attempt or a waiting stamp on a picture. Its fix is the provisional one of the
    /// smoothed track, none where the track gives none.
    struct Sign {
        UtcTime time{};
        QString label; ///< "017"; empty for what is no sample
        QString state; ///< as in the record: held, lost, void, failed, set aside, waiting
        std::optional<double> latitudeDeg, longitudeDeg, uncertainty95M;
    };
    /// Columns that the courses are kept for: more than the widest window has.
    static constexpr int columns = 4096;

    PictureDesk(Desk &desk, FeedDesk &feeds, QObject *parent = nullptr);
    ~PictureDesk() override;

    [[nodiscard]] QString note() const { return m_note; }
    /// What may be shown: the courses up to now, by the dive's clock.
    [[nodiscard]] UtcTime from() const;
    [[nodiscard]] UtcTime to() const;
    [[nodiscard]] std::vector<ChartPoint> depth() const;
    /// A water value by its place in the courses: 0 temperature, 1 salinity, 2 oxygen.
    [[nodiscard]] std::vector<ChartPoint> water(int which) const;
    [[nodiscard]] static QString waterTitle(int which);
    [[nodiscard]] TrackMapContent track() const;
    [[nodiscard]] const std::vector<Sign> &signs() const { return m_signs; }

signals:
    void changed(); ///< at most once a second for what is live

private:
    class Reader;
    struct Read {
        std::shared_ptr<const DiveCourses> courses;
        std::vector<Sign> signs;
    };
    void refresh();
    void receive(const Result<Read> &read, quint64 turn);
    void collectLive();
    [[nodiscard]] std::vector<ChartPoint> upToNow(const std::vector<ChartPoint> &file,
                                                  const std::vector<ChartPoint> &live) const;

    Desk *m_desk;
    FeedDesk *m_feeds;
    std::unique_ptr<Reader> m_reader;
    std::shared_ptr<const DiveCourses> m_courses;
    std::vector<Sign> m_signs;
    std::vector<ChartPoint> m_liveDepth;
    std::size_t m_depthsSeen = 0;
    QString m_key; ///< what m_courses was read from
    QString m_note;
    QTimer m_second;
    quint64 m_turn = 0;
};

} // namespace holdfast
