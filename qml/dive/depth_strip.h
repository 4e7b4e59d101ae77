// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed_desk.h"
#include "theme.h"

#include <QQuickPaintedItem>

namespace holdfast
{

/// Depth against time for the whole dive so far, with the samples on it: a filled mark for one that is held,
/// a cross for what failed or was set aside.
class DepthStrip : public QQuickPaintedItem
{
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(holdfast::FeedDesk *feeds READ feeds WRITE setFeeds NOTIFY sourcesChanged FINAL)
    Q_PROPERTY(holdfast::Desk *desk READ desk WRITE setDesk NOTIFY sourcesChanged FINAL)

public:
    explicit DepthStrip(QQuickItem *parent = nullptr);
    void paint(QPainter *painter) override;

    [[nodiscard]] FeedDesk *feeds() const { return m_feeds; }
    [[nodiscard]] Desk *desk() const { return m_desk; }
    void setFeeds(FeedDesk *feeds);
    void setDesk(Desk *desk);

signals:
    void sourcesChanged();

private:
    struct Scale;
    [[nodiscard]] const Theme *theme();
    [[nodiscard]] std::optional<Scale> scale() const;
    void paintAxes(QPainter &painter, const Scale &scale) const;
    void paintMarks(QPainter &painter, const Scale &scale) const;

    FeedDesk *m_feeds = nullptr;
    Desk *m_desk = nullptr;
    Theme *m_theme = nullptr;
};

} // namespace holdfast
