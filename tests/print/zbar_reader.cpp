// SPDX-License-Identifier: GPL-3.0-or-later
// A file of its own: ZXing-C++ defines macros that break zbar's header.
#include "print/print_support.h"

#include <zbar.h>

namespace holdfast::testing
{

std::string decodedByZbar(const QImage &image)
{
    const QImage grey = image.convertToFormat(QImage::Format_Grayscale8);
    QByteArray packed;
    for (int y = 0; y < grey.height(); ++y)
        packed.append(reinterpret_cast<const char *>(grey.constScanLine(y)), grey.width());
    zbar::ImageScanner scanner;
    scanner.set_config(zbar::ZBAR_NONE, zbar::ZBAR_CFG_ENABLE, 0);
    scanner.set_config(zbar::ZBAR_QRCODE, zbar::ZBAR_CFG_ENABLE, 1);
    zbar::Image view(static_cast<unsigned>(grey.width()), static_cast<unsigned>(grey.height()), "Y800",
                     packed.constData(), static_cast<unsigned long>(packed.size()));
    scanner.scan(view);
    QStringList found;
    for (auto symbol = view.symbol_begin(); symbol != view.symbol_end(); ++symbol)
        found.append(QString::fromStdString(symbol->get_data()));
    found.removeDuplicates(); // a label may carry its code twice
    return found.join(QLatin1Char(' ')).toStdString();
}

} // namespace holdfast::testing
