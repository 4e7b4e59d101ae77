// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/drawn_signature.h"

#include "ledger/canonical.h"

#include <QJsonArray>
#include <QRect>
#include <algorithm>

namespace holdfast
{

namespace
{

constexpr int fewestPoints = 8;
constexpr int leastExtent = 60; ///< of the drawing, in thousandths of the field's width

QJsonArray listOf(const DrawnSignature &signature)
{
    QJsonArray strokes;
    for (const QVector<QPoint> &stroke : signature.strokes) {
        QJsonArray one;
        for (const QPoint &p : stroke) {
            one.append(p.x());
            one.append(p.y());
        }
        strokes.append(one);
    }
    return strokes;
}

Done checkDrawn(const DrawnSignature &signature)
{
    QRect extent;
    for (const QVector<QPoint> &stroke : signature.strokes) {
        for (const QPoint &p : stroke)
            extent = extent.united(QRect(p, QSize(1, 1)));
    }
    if (signature.points() < fewestPoints || std::max(extent.width(), extent.height()) < leastExtent)
        return fail(ErrorKind::Usage,
                    QStringLiteral("Draw your signature in the field; a dot or a stroke is none."));
    if (signature.points() > DrawnSignature::mostPoints)
        return fail(ErrorKind::Usage, QStringLiteral("The drawing has more than %1 points; clear it and "
                                                     "sign again.")
                                          .arg(DrawnSignature::mostPoints));
    return {};
}

} // namespace

int DrawnSignature::points() const
{
    int all = 0;
    for (const QVector<QPoint> &stroke : strokes)
        all += static_cast<int>(stroke.size());
    return all;
}

Result<QJsonObject> DrawnSignature::json() const
{
    if (auto good = checkDrawn(*this); !good)
        return good.error();
    const QJsonArray list = listOf(*this);
    const auto canonical = canonicalJson(list);
    if (!canonical)
        return canonical.error();
    return QJsonObject{{QStringLiteral("strokes"), list}, {QStringLiteral("sha256"), sha256Hex(*canonical)}};
}

Result<DrawnSignature> DrawnSignature::fromJson(const QJsonObject &data)
{
    const QJsonArray list = data.value(QStringLiteral("strokes")).toArray();
    const auto canonical = canonicalJson(list);
    if (!canonical || sha256Hex(*canonical) != data.value(QStringLiteral("sha256")).toString())
        return fail(ErrorKind::Malformed,
                    QStringLiteral("its strokes do not fit the checksum that was kept with them."));
    DrawnSignature signature;
    for (const QJsonValue one : list) {
        const QJsonArray numbers = one.toArray();
        QVector<QPoint> stroke;
        for (int i = 0; i + 1 < numbers.size(); i += 2) {
            const QPoint p(numbers.at(i).toInt(-1), numbers.at(i + 1).toInt(-1));
            if (p.x() < 0 || p.x() > width || p.y() < 0 || p.y() > height)
                return fail(ErrorKind::Malformed, QStringLiteral("it leaves the field it was drawn in."));
            stroke << p;
        }
        if (numbers.isEmpty() || numbers.size() % 2 != 0)
            return fail(ErrorKind::Malformed, QStringLiteral("a stroke of it is no list of points."));
        signature.strokes << stroke;
    }
    if (auto good = checkDrawn(signature); !good)
        return good.error();
    return signature;
}

} // namespace holdfast
