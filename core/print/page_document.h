// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"
#include "print/qr.h"

#include <QImage>
#include <QPagedPaintDevice>
#include <QPainter>
#include <QPointF>
#include <QPolygonF>
#include <QRectF>
#include <QSizeF>
#include <QString>
#include <variant>
#include <vector>

namespace holdfast
{

// A page is a list of marks in millimetres from its top left corner: plain data, made once by a layout and
// painted alike on the screen, into a PDF and on a printer. Marks are black or grey; nothing is told by
// colour.

/// Where a line may break: nowhere, between words, or anywhere when a single word is too long.
enum class TextWrap { None, Words, Anywhere };

/// Text that has been fitted already (see page_text.h): it wraps at the width of its box and fits its height.
struct TextMark {
    QRectF boxMm = {};
    QString text = {};
    double sizePt = 9;
    bool bold = false;
    bool mono = false;
    bool white = false; ///< white on a dark box
    TextWrap wrap = TextWrap::None;
    Qt::Alignment align = Qt::AlignLeft | Qt::AlignTop;
    QRectF inkMm = {}; ///< the part of the box that its lines take up
};

struct LineMark {
    QPointF fromMm = {};
    QPointF toMm = {};
    double widthMm = 0.2;
    bool dashed = false;
};

/// A rectangle or an ellipse, outlined, filled or both.
struct BoxMark {
    QRectF rectMm = {};
    double lineMm = 0.2; ///< 0: no outline
    double grey = -1;    ///< fill, 0 black .. 1 white; below 0: none
    bool round = false;
    bool dashed = false;
};

/// A line through many points, or the area they enclose.
struct PathMark {
    QPolygonF pointsMm = {};
    double lineMm = 0.2;
    double grey = 0; ///< of the line
    bool closed = false;
    double fillGrey = -1; ///< below 0: none
    bool dashed = false;
};

/// A QR code; `topLeftMm` is the corner of its first module, the quiet zone lies outside.
struct QrMark {
    QrSymbol symbol = {};
    QPointF topLeftMm = {};
    double moduleMm = 0;
};

/// A fitted code in the middle of a square space, its corner on a whole dot of the printer.
[[nodiscard]] QrMark placeQr(const QrFit &fit, const QRectF &spaceMm, int printerDpi);

using PageMark = std::variant<TextMark, LineMark, BoxMark, PathMark, QrMark>;

struct Page {
    QSizeF sizeMm = {};
    std::vector<PageMark> marks = {};
};

/// What a layout makes: pages with a title, for a printer of `printerDpi`.
struct PageDocument {
    QString title = {};
    int printerDpi = 600; ///< QR modules are whole dots of this printer
    std::vector<Page> pages = {};
};

/// Paints one page with its top left corner at the painter's origin, `dotsPerMm` device units to a
/// millimetre. The edges of QR modules fall on whole device units. Needs a QGuiApplication (the offscreen
/// platform will do).
void paintPage(const Page &page, QPainter &painter, double dotsPerMm);

/// The page as a picture, white where nothing is printed; 10 .. 2400 dpi.
[[nodiscard]] QImage renderPage(const Page &page, int dpi);

/// Paints all pages on a PDF writer or a printer, each page with its own size and no margins. Error
/// Unwritable when the device can't begin.
[[nodiscard]] Done paintDocument(const PageDocument &document, QPagedPaintDevice &device);

/// Writes the document as PDF with its fonts embedded. The file appears whole under its name or not at all:
/// an existing one stays as it is when anything fails. Errors: Usage (no pages, or the path is a folder),
/// NotFound (no such folder), Unwritable.
[[nodiscard]] Done writePdf(const PageDocument &document, const QString &path);

} // namespace holdfast
