// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/page_document.h"

#include "base/csv.h"
#include "print/page_text.h"

#include <QBuffer>
#include <QDir>
#include <QFileInfo>
#include <QPageSize>
#include <QPdfWriter>
#include <cmath>

namespace holdfast
{

namespace
{

QColor greyColour(double grey)
{
    return QColor::fromRgbF(static_cast<float>(grey), static_cast<float>(grey), static_cast<float>(grey));
}

/// The dark modules covered by few rectangles that do not overlap: each as wide as its run, then as tall as
/// it goes. A file of labels is mostly modules, and these are half as many as single rows.
std::vector<QRect> darkRectangles(const QrSymbol &symbol)
{
    const int n = symbol.modules;
    std::vector<bool> open = symbol.dark;
    const auto at = [n](int x, int y) {
        return static_cast<std::size_t>(y) * static_cast<std::size_t>(n) + static_cast<std::size_t>(x);
    };
    std::vector<QRect> found;
    for (int y = 0; y < n; ++y) {
        for (int x = 0; x < n; ++x) {
            if (!open[at(x, y)])
                continue;
            int right = x + 1;
            while (right < n && open[at(right, y)])
                ++right;
            const auto wholeRow = [&](int row) {
                for (int i = x; i < right; ++i) {
                    if (!open[at(i, row)])
                        return false;
                }
                return true;
            };
            int bottom = y;
            while (bottom < n && wholeRow(bottom)) {
                for (int i = x; i < right; ++i)
                    open[at(i, bottom)] = false;
                ++bottom;
            }
            found.emplace_back(x, y, right - x, bottom - y);
        }
    }
    return found;
}

class Marker
{
public:
    explicit Marker(QPainter &painter) : m_painter(painter) {}

    void operator()(const TextMark &mark) { paintText(mark, m_painter); }

    void operator()(const LineMark &mark)
    {
        m_painter.setPen(pen(mark.widthMm, mark.dashed, 0));
        m_painter.drawLine(mark.fromMm, mark.toMm);
    }

    void operator()(const BoxMark &mark)
    {
        m_painter.setPen(mark.lineMm > 0 ? pen(mark.lineMm, mark.dashed, 0) : QPen(Qt::NoPen));
        m_painter.setBrush(mark.grey >= 0 ? QBrush(greyColour(mark.grey)) : QBrush(Qt::NoBrush));
        if (mark.round)
            m_painter.drawEllipse(mark.rectMm);
        else
            m_painter.drawRect(mark.rectMm);
    }

    void operator()(const PathMark &mark)
    {
        m_painter.setPen(mark.lineMm > 0 ? pen(mark.lineMm, mark.dashed, mark.grey) : QPen(Qt::NoPen));
        m_painter.setBrush(mark.fillGrey >= 0 ? QBrush(greyColour(mark.fillGrey)) : QBrush(Qt::NoBrush));
        if (mark.closed)
            m_painter.drawPolygon(mark.pointsMm);
        else
            m_painter.drawPolyline(mark.pointsMm);
    }

    void operator()(const QrMark &mark)
    {
        // Edges are rounded in device units, one by one: with a module of whole dots all modules come out
        // alike, and on a screen of another resolution none is blurred.
        const QTransform toDevice = m_painter.worldTransform();
        m_painter.save();
        m_painter.resetTransform();
        m_painter.setRenderHint(QPainter::Antialiasing, false);
        m_painter.setPen(Qt::NoPen);
        m_painter.setBrush(Qt::black);
        // Neighbours share the same rounded edge: computed alike, it can't fall to two sides and leave a
        // seam.
        const auto edge = [&](int x, int y) {
            const QPointF p = toDevice.map(mark.topLeftMm + QPointF(x, y) * mark.moduleMm);
            return QPointF(std::round(p.x()), std::round(p.y()));
        };
        QVector<QRectF> dark;
        for (const QRect &run : darkRectangles(mark.symbol))
            dark.append(QRectF(edge(run.x(), run.y()), edge(run.x() + run.width(), run.y() + run.height()))
                            .normalized());
        m_painter.drawRects(dark);
        m_painter.restore();
    }

private:
    static QPen pen(double widthMm, bool dashed, double grey)
    {
        QPen p(greyColour(grey), widthMm);
        p.setJoinStyle(Qt::MiterJoin);
        p.setCapStyle(Qt::FlatCap);
        if (dashed)
            p.setDashPattern({4, 3});
        return p;
    }

    QPainter &m_painter;
};

Done checkTarget(const QString &path)
{
    const QFileInfo info(path);
    if (path.isEmpty() || info.isDir())
        return fail(
            ErrorKind::Usage,
            QStringLiteral("A PDF can't be written to \"%1\": that is a folder; name a file.").arg(path));
    if (!info.absoluteDir().exists())
        return fail(ErrorKind::NotFound, QStringLiteral("\"%1\" can't be written: there is no folder \"%2\".")
                                             .arg(path, info.absolutePath()));
    return {};
}

QPageSize pageSizeOf(const Page &page)
{
    return QPageSize(page.sizeMm, QPageSize::Millimeter, QString(), QPageSize::ExactMatch);
}

} // namespace

QrMark placeQr(const QrFit &fit, const QRectF &spaceMm, int printerDpi)
{
    const auto onDot = [printerDpi](double mm) {
        return std::round(mm * printerDpi / 25.4) * 25.4 / printerDpi;
    };
    const double quiet = qrQuietModules * fit.moduleMm;
    return QrMark{.symbol = fit.symbol,
                  .topLeftMm = QPointF(onDot(spaceMm.left() + (spaceMm.width() - fit.sideMm) / 2 + quiet),
                                       onDot(spaceMm.top() + (spaceMm.height() - fit.sideMm) / 2 + quiet)),
                  .moduleMm = fit.moduleMm};
}

void paintPage(const Page &page, QPainter &painter, double dotsPerMm)
{
    painter.save();
    painter.setRenderHints(QPainter::Antialiasing | QPainter::TextAntialiasing);
    painter.scale(dotsPerMm, dotsPerMm);
    Marker marker(painter);
    for (const PageMark &mark : page.marks)
        std::visit(marker, mark);
    painter.restore();
}

QImage renderPage(const Page &page, int dpi)
{
    const double dotsPerMm = std::clamp(dpi, 10, 2400) / 25.4;
    const QSize size(static_cast<int>(std::ceil(page.sizeMm.width() * dotsPerMm)),
                     static_cast<int>(std::ceil(page.sizeMm.height() * dotsPerMm)));
    QImage image(size, QImage::Format_RGB32);
    image.fill(Qt::white);
    image.setDotsPerMeterX(static_cast<int>(std::lround(dotsPerMm * 1000)));
    image.setDotsPerMeterY(image.dotsPerMeterX());
    QPainter painter(&image);
    paintPage(page, painter, dotsPerMm);
    return image;
}

Done paintDocument(const PageDocument &document, QPagedPaintDevice &device)
{
    if (document.pages.empty())
        return fail(ErrorKind::Usage, QStringLiteral("\"%1\" has no pages to print.").arg(document.title));
    device.setPageMargins(QMarginsF(0, 0, 0, 0));
    device.setPageSize(pageSizeOf(document.pages.front()));
    QPainter painter;
    if (!painter.begin(&device))
        return fail(ErrorKind::Unwritable,
                    QStringLiteral("\"%1\" can't be printed: the printer or file does not "
                                   "take it.")
                        .arg(document.title));
    const double dotsPerMm = device.logicalDpiX() / 25.4;
    for (std::size_t i = 0; i < document.pages.size(); ++i) {
        const Page &page = document.pages[i];
        if (i > 0) {
            device.setPageSize(pageSizeOf(page));
            if (!device.newPage())
                return fail(
                    ErrorKind::Unwritable,
                    QStringLiteral("Page %1 of \"%2\" could not be begun.").arg(i + 1).arg(document.title));
        }
        paintPage(page, painter, dotsPerMm);
    }
    if (!painter.end())
        return fail(ErrorKind::Unwritable,
                    QStringLiteral("\"%1\" could not be finished.").arg(document.title));
    return {};
}

Done writePdf(const PageDocument &document, const QString &path)
{
    if (auto good = checkTarget(path); !good)
        return good;
    // Into memory first: what could not be painted to its end must not replace a good file.
    QByteArray pdf;
    {
        QBuffer buffer(&pdf);
        buffer.open(QIODevice::WriteOnly);
        QPdfWriter writer(&buffer);
        writer.setResolution(document.printerDpi);
        writer.setTitle(document.title);
        writer.setCreator(QStringLiteral("Holdfast"));
        if (auto painted = paintDocument(document, writer); !painted)
            return painted;
    }
    return writeWhole(path, pdf);
}

} // namespace holdfast
