// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "course_book.h"
#include "feed_desk.h"

#include <QTimer>

namespace holdfast
{

/// The shown dive's courses in time and place: what its logs in the file say, behind that the lines that were
/// recorded and are not taken in yet, both read on a thread of its own, and what the live feeds say now. In a
/// replay only what lies before its own clock is shown.
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
    [[nodiscard]] ShownCourse course(CourseBook::Which which) const
    {
        return m_book.shown(which, m_feeds->now());
    }
    [[nodiscard]] std::vector<ChartPoint> depth() const { return course(CourseBook::Depth).points; }
    [[nodiscard]] static QString titleOf(CourseBook::Which which);
    [[nodiscard]] TrackMapContent track() const;
    [[nodiscard]] const std::vector<Sign> &signs() const { return m_signs; }

signals:
    void changed(); ///< at most once a second for what is live

private:
    class Reader;
    void refresh();
    void receiveLogs(const Result<std::shared_ptr<const DiveCourses>> &logs, std::vector<Sign> signs,
                     quint64 turn);
    void receiveRecorded(const Result<LiveCourse> &news, int book);
    void begin(const QString &place);
    void readRecorded();
    void placeSigns();
    void everySecond();
    [[nodiscard]] bool feedsAreOfTheDive() const;

    Desk *m_desk;
    FeedDesk *m_feeds;
    std::unique_ptr<Reader> m_reader;
    CourseBook m_book;
    std::vector<Sign> m_signs;
    QString m_place; ///< the file and the dive that m_book is of
    QString m_key;   ///< the logs in it
    int m_bookNumber = 0;
    bool m_readingRecorded = false;
    bool m_replay = false;
    bool m_grew = false; ///< since the last second
    QString m_note;
    QTimer m_second;
    quint64 m_turn = 0;
};

} // namespace holdfast
