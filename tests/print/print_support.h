// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "print/label_sheet.h"

#include <QImage>
#include <QStringList>

namespace holdfast::testing
{

/// The templates folder of the repository.
[[nodiscard]] QString templatesFolder(const QString &kind);

/// A stock of the repository; fails the test when it can't be read.
[[nodiscard]] LabelStock stock(const char *name);

/// A label with every field filled.
[[nodiscard]] LabelContent fullLabel(int number);

/// What ZXing-C++ and zbar read in a picture of one label; several texts with a blank between, "" for none.
[[nodiscard]] std::string decodedByZxing(const QImage &image);
[[nodiscard]] std::string decodedByZbar(const QImage &image);

/// One label of a page as it comes out at `dpi`, as a scanner is held to it.
[[nodiscard]] QImage labelPicture(const Page &page, const LabelStock &stock, int position, int dpi);
/// The same cut out of a picture of the whole page.
[[nodiscard]] QImage labelPicture(const QImage &page, const LabelStock &stock, int position, int dpi);

/// Tells the first two texts of a page whose inks overlap, or a mark that leaves the page; "" when all is
/// well.
[[nodiscard]] std::string overlapsOnPage(const Page &page);

/// Text of each page of a PDF as poppler reads it in the order of painting; one string a page, white space
/// made single blanks.
[[nodiscard]] QStringList pdfText(const QString &path);
/// A page of a PDF as poppler's renderer draws it.
[[nodiscard]] QImage pdfPage(const QString &path, int page, int dpi);

} // namespace holdfast::testing
