// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/hand_over_block.h"

#include "print/value_text.h"

#include <algorithm>

namespace holdfast
{

namespace
{

constexpr double heightMm = 47;
constexpr double itemsMm = 10; ///< more, where the items are named
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
    const SheetConfirmation &confirmation;
};

/// The strokes as they were drawn, as large as they go into the box above its line.
void drawSignature(SheetFlow &flow, const QRectF &box, const DrawnSignature &signature)
{
    const double scale = std::min(box.width() / DrawnSignature::width, box.height() / DrawnSignature::height);
    const auto at = [&](const QPoint &p) { return box.topLeft() + QPointF(p) * scale; };
    for (const QVector<QPoint> &stroke : signature.strokes) {
        for (qsizetype i = 1; i < stroke.size(); ++i)
            flow.add(LineMark{.fromMm = at(stroke.at(i - 1)), .toMm = at(stroke.at(i)), .widthMm = 0.25});
    }
}

void party(SheetFlow &flow, const QRectF &half, const Party &who, const std::optional<UtcTime> &time)
{
    const double x = half.left() + 2;
    const double w = half.width() - 4;
    flow.text(QRectF(x, half.top() + 1, w, 4.5), who.head, 9.5, true, Qt::AlignLeft | Qt::AlignVCenter,
              false);
    field(flow, QRectF(x, half.top() + 5.5, w, 8), QStringLiteral("name"), who.name);
    const QRectF signature(x, half.top() + 14, w * 0.54, 8.5);
    const bool drawn = !who.confirmation.signature.strokes.isEmpty();
    field(flow, signature,
          drawn ? QStringLiteral("signature, %1").arg(who.confirmation.words) : QStringLiteral("signature"),
          drawn ? QString() : who.confirmation.words);
    if (drawn)
        drawSignature(flow, signature.adjusted(1, 2.6, -1, -0.3), who.confirmation.signature);
    field(flow, QRectF(x + w * 0.57, half.top() + 14, w * 0.43, 8.5), QStringLiteral("date and time, UTC"),
          time ? dateTimeText(time) : QString());
}

/// Ids with what they have in common said once: "TK26-04-001, 002, 005.1".
QString shortList(const QStringList &ids)
{
    QStringList words;
    QString head;
    for (const QString &id : ids) {
        const QString mine = id.left(id.lastIndexOf(QLatin1Char('-')) + 1);
        words << (mine == head && !mine.isEmpty() ? id.mid(mine.size()) : id);
        head = mine;
    }
    return words.join(QStringLiteral(", "));
}

/// What was handed over, and what of it was refused and why.
void itemLine(SheetFlow &flow, const QRectF &area, const HandOver &handOver)
{
    QString words = QStringLiteral("%1: %2").arg(handOver.items.size()).arg(shortList(handOver.items));
    if (!handOver.refused.isEmpty())
        words += QStringLiteral(". Refused: %1").arg(handOver.refused.join(QStringLiteral("; ")));
    field(flow, QRectF(area.left() + 2, area.top(), area.width() - 4, itemsMm - 1), QStringLiteral("items"),
          words);
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

double handOverHeightMm(const HandOver &handOver)
{
    return heightMm + (handOver.items.isEmpty() && handOver.refused.isEmpty() ? 0 : itemsMm);
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
    const double whole = handOverHeightMm(handOver);
    const QRectF block = flow.take(whole).adjusted(0, 0, 0, -2);
    flow.add(BoxMark{.rectMm = block, .lineMm = 0.4});
    const double middle = block.center().x();
    const double split = block.top() + 24;
    flow.add(
        LineMark{.fromMm = QPointF(middle, block.top()), .toMm = QPointF(middle, split), .widthMm = 0.2});
    flow.add(LineMark{
        .fromMm = QPointF(block.left(), split), .toMm = QPointF(block.right(), split), .widthMm = 0.2});
    party(flow, QRectF(block.left(), block.top(), block.width() / 2, 24),
          {QStringLiteral("%1  Relinquished by").arg(number), handOver.relinquishedBy, handOver.giver},
          handOver.relinquishedAt);
    party(flow, QRectF(middle, block.top(), block.width() / 2, 24),
          {QStringLiteral("%1  Received by").arg(number), handOver.receivedBy, handOver.receiver},
          handOver.receivedAt);
    details(flow, QRectF(block.left(), split + 0.5, block.width(), block.bottom() - split), handOver);
    if (whole > heightMm)
        itemLine(flow, QRectF(block.left(), block.top() + heightMm - 3, block.width(), itemsMm), handOver);
}

} // namespace holdfast
