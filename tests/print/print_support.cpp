// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/print_support.h"

#define ZX_USE_UTF8 // results as std::string
#include <QPainter>
#include <ZXing/BarcodeFormat.h>
#include <ZXing/DecodeHints.h>
#include <ZXing/ReadBarcode.h>
#include <gtest/gtest.h>
#include <memory>
#include <poppler-document.h>
#include <poppler-page-renderer.h>
#include <poppler-page.h>

namespace holdfast::testing
{

QString templatesFolder(const QString &kind)
{
    return qEnvironmentVariable("HOLDFAST_SOURCE_DIR") + QStringLiteral("/templates/") + kind;
}

LabelStock stock(const char *name)
{
    auto read = loadLabelStock(templatesFolder(QStringLiteral("labels")), QString::fromLatin1(name));
    if (!read) {
        ADD_FAILURE() << read.error().sentence.toStdString();
        return {};
    }
    return *read;
}

LabelContent fullLabel(int number)
{
    return LabelContent{.id = QStringLiteral("TK26-04-%1").arg(number, 3, 10, QLatin1Char('0')),
                        .cruise = QStringLiteral("TK26"),
                        .dive = QStringLiteral("4"),
                        .kind = QStringLiteral("coral"),
                        .description = QStringLiteral("white fan on basalt"),
                        .time = parseIsoUtc("2026-03-12T14:22:07.300Z"),
                        .depthM = 1432.62,
                        .latitudeDeg = -21.0758683,
                        .longitudeDeg = -173.2147333,
                        .slot = QStringLiteral("B2"),
                        .preservative = QStringLiteral("ethanol 95 %"),
                        .hazard = QStringLiteral("FLAMMABLE"),
                        .container = QStringLiteral("1 of 2"),
                        .contact = QStringLiteral("Deck lab")};
}

std::string decodedByZxing(const QImage &image)
{
    const QImage grey = image.convertToFormat(QImage::Format_Grayscale8);
    const ZXing::ImageView view(grey.constBits(), grey.width(), grey.height(), ZXing::ImageFormat::Lum,
                                static_cast<int>(grey.bytesPerLine()));
    ZXing::DecodeHints hints;
    hints.setFormats(ZXing::BarcodeFormat::QRCode);
    hints.setTryHarder(true);
    QStringList found;
    for (const ZXing::Result &result : ZXing::ReadBarcodes(view, hints)) {
        if (result.isValid())
            found.append(QString::fromStdString(result.text()));
    }
    found.removeDuplicates(); // a label may carry its code twice
    return found.join(QLatin1Char(' ')).toStdString();
}

namespace
{

QRect labelPixels(const LabelStock &stock, int position, int dpi)
{
    const QRectF mm = stock.labelRectMm(position);
    const double dots = dpi / 25.4;
    return QRectF(mm.left() * dots, mm.top() * dots, mm.width() * dots, mm.height() * dots).toAlignedRect();
}

} // namespace

QImage labelPicture(const Page &page, const LabelStock &stock, int position, int dpi)
{
    const QRect cut = labelPixels(stock, position, dpi);
    QImage picture(cut.size(), QImage::Format_RGB32);
    picture.fill(Qt::white);
    QPainter painter(&picture);
    painter.translate(-cut.topLeft());
    paintPage(page, painter, dpi / 25.4);
    return picture;
}

QImage labelPicture(const QImage &page, const LabelStock &stock, int position, int dpi)
{
    return page.copy(labelPixels(stock, position, dpi));
}

std::string overlapsOnPage(const Page &page)
{
    const QRectF paper(QPointF(0, 0), page.sizeMm);
    std::vector<const TextMark *> texts;
    for (const PageMark &mark : page.marks) {
        const auto *text = std::get_if<TextMark>(&mark);
        if (!text || text->text.isEmpty())
            continue;
        if (!paper.contains(text->inkMm))
            return "leaves the page: " + text->text.toStdString();
        for (const TextMark *other : texts) {
            const QRectF common = text->inkMm & other->inkMm;
            if (common.width() > 0.15 && common.height() > 0.15)
                return text->text.toStdString() + " upon " + other->text.toStdString();
        }
        texts.push_back(text);
    }
    return {};
}

QStringList pdfText(const QString &path)
{
    const std::unique_ptr<poppler::document> document(poppler::document::load_from_file(path.toStdString()));
    QStringList pages;
    for (int i = 0; document && i < document->pages(); ++i) {
        const std::unique_ptr<poppler::page> page(document->create_page(i));
        const auto bytes = page->text(poppler::rectf(), poppler::page::raw_order_layout).to_utf8();
        pages.append(QString::fromUtf8(bytes.data(), static_cast<qsizetype>(bytes.size())).simplified());
    }
    return pages;
}

QImage pdfPage(const QString &path, int page, int dpi)
{
    const std::unique_ptr<poppler::document> document(poppler::document::load_from_file(path.toStdString()));
    if (!document)
        return {};
    const std::unique_ptr<poppler::page> one(document->create_page(page));
    poppler::page_renderer renderer;
    poppler::image drawn = renderer.render_page(one.get(), dpi, dpi);
    return QImage(reinterpret_cast<const uchar *>(drawn.const_data()), drawn.width(), drawn.height(),
                  drawn.bytes_per_row(), QImage::Format_RGB32)
        .copy();
}

} // namespace holdfast::testing
