// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/hand_over_block.h"

#include "print/value_text.h"

namespace holdfast
{

namespace
{

constexpr double heightMm = 47;
constexpr double namePt = 6.5;
constexpr double valuePt = 9;
constexpr double tickMm = 4.2;
constexpr double tickGapMm = 1.6;

/// A name, small, and its value on a line that can be written on.
void field(SheetFlow &flow, const QRectF &box, const QString &name, const QString &value)
{
    flow.text(QRectF(box.left(), box.top(), box.width(), 3), name, namePt, false,
              Qt::AlignLeft | Qt::AlignVCenter, false);
    flow.text(QRectF(box.left() + 0.5, box.top() + 3, box.width() - 1, box.height() - 3.3), value, valuePt,
              true, Qt::AlignLeft | Qt::AlignBottom);
    flow.add(LineMark{.fromMm = box.bottomLeft(), .toMm = box.bottomRight(), .widthMm = 0.18});
}

struct Party {
    QString head;
    QString name;
};

void party(SheetFlow &flow, const QRectF &half, const Party &who, const std::optional<UtcTime> &time)
{
    const double x = half.left() + 2;
    const double w = half.width() - 4;
    flow.text(QRectF(x, half.top() + 1, w, 4.5), who.head, 9.5, true, Qt::AlignLeft | Qt::AlignVCenter,
              false);
    field(flow, QRectF(x, half.top() + 5.5, w, 8), QStringLiteral("name"), who.name);
    field(flow, QRectF(x, half.top() + 14, w * 0.54, 8.5), QStringLiteral("signature"), {});
    field(flow, QRectF(x + w * 0.57, half.top() + 14, w * 0.43, 8.5), QStringLiteral("date and time, UTC"),
          time ? dateTimeText(time) : QString());
}

void details(SheetFlow &flow, const QRectF &area, const HandOver &handOver)
{
    const double x = area.left() + 2;
    const double w = area.width() - 4;
    const double y = area.top();
    const QString count = handOver.containers ? QString::number(*handOver.containers) : QString();
    field(flow, QRectF(x, y, w * 0.27, 8.5), QStringLiteral("place"), handOver.place);
    field(flow, QRectF(x + w * 0.29, y, w * 0.27, 8.5), QStringLiteral("reason"), handOver.reason);
    field(flow, QRectF(x + w * 0.58, y, w * 0.12, 8.5), QStringLiteral("containers counted"), count);
    field(flow, QRectF(x + w * 0.72, y, w * 0.13, 8.5), QStringLiteral("seal numbers before"),
          handOver.sealsBefore);
    field(flow, QRectF(x + w * 0.87, y, w * 0.13, 8.5), QStringLiteral("seal numbers after"),
          handOver.sealsAfter);
    const QRectF condition(x, y + 10.5, w, 8.5);
    if (!handOver.condition.isEmpty()) {
        field(flow, condition, QStringLiteral("condition when received"), handOver.condition);
        return;
    }
    flow.text(QRectF(x, y + 10, w, 3), QStringLiteral("condition when received, after counting and looking"),
              namePt, false, Qt::AlignLeft | Qt::AlignVCenter, false);
    const QRectF boxes(x, y + 13.2, w * 0.6, 5);
    drawTickBoxes(flow, boxes,
                  {QStringLiteral("intact"), QStringLiteral("leaking"), QStringLiteral("warm or thawed"),
                   QStringLiteral("seal broken"), QStringLiteral("count differs")},
                  8);
    field(flow, QRectF(x + w * 0.62, y + 10, w * 0.38, 9), QStringLiteral("remark"), {});
}

} // namespace

double handOverHeightMm()
{
    return heightMm;
}

void drawTickBoxes(SheetFlow &flow, const QRectF &areaMm, const QStringList &words, double sizePt)
{
    const auto widthAt = [&words](double size) {
        double sum = 0;
        for (const QString &word : words)
            sum += tickMm + 0.8 + textWidthMm(word, size) + 0.2;
        return sum + tickGapMm * static_cast<double>(words.size() - 1);
    };
    double size = sizePt;
    while (size > 3 && widthAt(size) > areaMm.width())
        size -= 0.25;
    double x = areaMm.left();
    for (const QString &word : words) {
        const double wordMm = textWidthMm(word, size) + 0.2;
        flow.add(
            BoxMark{.rectMm = QRectF(x, areaMm.center().y() - tickMm / 2, tickMm, tickMm), .lineMm = 0.25});
        flow.text(QRectF(x + tickMm + 0.8, areaMm.top(), wordMm, areaMm.height()), word, size, false,
                  Qt::AlignLeft | Qt::AlignVCenter, false);
        x += tickMm + 0.8 + wordMm + tickGapMm;
    }
}

void drawHandOver(SheetFlow &flow, const HandOver &handOver, int number)
{
    const QRectF block = flow.take(heightMm).adjusted(0, 0, 0, -2);
    flow.add(BoxMark{.rectMm = block, .lineMm = 0.4});
    const double middle = block.center().x();
    const double split = block.top() + 24;
    flow.add(
        LineMark{.fromMm = QPointF(middle, block.top()), .toMm = QPointF(middle, split), .widthMm = 0.2});
    flow.add(LineMark{
        .fromMm = QPointF(block.left(), split), .toMm = QPointF(block.right(), split), .widthMm = 0.2});
    party(flow, QRectF(block.left(), block.top(), block.width() / 2, 24),
          {QStringLiteral("%1  Relinquished by").arg(number), handOver.relinquishedBy}, handOver.time);
    party(flow, QRectF(middle, block.top(), block.width() / 2, 24),
          {QStringLiteral("%1  Received by").arg(number), handOver.receivedBy}, handOver.time);
    details(flow, QRectF(block.left(), split + 0.5, block.width(), block.bottom() - split), handOver);
}

} // namespace holdfast
