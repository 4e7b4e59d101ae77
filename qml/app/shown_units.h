// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed_desk.h"

namespace holdfast
{

/// How positions and times are shown, as the people of this cruise chose; kept in the settings. The record
/// itself is always in decimal degrees and UTC.
class ShownUnits : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(bool decimalDegrees READ decimalDegrees WRITE setDecimalDegrees NOTIFY changed FINAL)
    Q_PROPERTY(QString offset READ offset NOTIFY changed FINAL) ///< "UTC+12:45"; empty: UTC only
    Q_PROPERTY(
        QString localClock READ localClock NOTIFY ticked FINAL) ///< "03:07 local, 15 March"; empty as above
    Q_PROPERTY(QString trouble READ trouble NOTIFY changed FINAL)

public:
    ShownUnits(Desk &desk, FeedDesk &feeds, QObject *parent = nullptr);

    /// Sets the local time of the open cruise: "+12", "-3:30", "+12:45"; empty: none. True when it was
    /// understood.
    Q_INVOKABLE bool setOffset(const QString &text);

    [[nodiscard]] static bool decimalDegrees();
    void setDecimalDegrees(bool decimal);
    [[nodiscard]] QString offset() const;
    [[nodiscard]] QString localClock() const;
    [[nodiscard]] QString trouble() const { return m_trouble; }

signals:
    void changed();
    void ticked();

private:
    void load();
    Desk *m_desk;
    FeedDesk *m_feeds;
    std::optional<int> m_minutes; ///< of local time before UTC
    QString m_trouble;
};

/// Minutes that a local time is ahead of UTC, -12 h .. +14 h, from "+12", "-3:30", "12:45". Error Usage.
[[nodiscard]] Result<int> parseUtcOffset(const QString &text);
/// "UTC+12:45", "UTC-3".
[[nodiscard]] QString utcOffsetText(int minutes);

} // namespace holdfast
