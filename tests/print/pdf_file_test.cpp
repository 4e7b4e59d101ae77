// SPDX-License-Identifier: GPL-3.0-or-later
// The files as other programs see them, and pages against pictures that a person has looked at.
#include "print/custody_sheet.h"
#include "print/print_support.h"
#include "print/sample_papers.h"

#include <QDir>
#include <QFile>
#include <QProcess>
#include <QStandardPaths>
#include <QTemporaryDir>
#include <gtest/gtest.h>

using namespace holdfast;
using namespace holdfast::testing;

namespace
{

struct Ran {
    int exitCode = -1;
    QString output;
};

Ran run(const QString &program, const QStringList &arguments)
{
    QProcess process;
    process.setProcessChannelMode(QProcess::MergedChannels);
    process.start(program, arguments);
    process.waitForFinished(30000);
    return {process.exitCode(), QString::fromUtf8(process.readAll())};
}

QString written(const QTemporaryDir &dir, const PageDocument &document)
{
    const QString path = dir.filePath(QStringLiteral("paper.pdf"));
    const Done done = writePdf(document, path);
    EXPECT_TRUE(done) << done.error().sentence.toStdString();
    return path;
}

/// Share of pixels whose grey differs by more than a quarter of the scale, and the mean difference.
struct Difference {
    double share = 1;
    double mean = 255;
};

Difference between(const QImage &a, const QImage &b)
{
    if (a.size() != b.size())
        return {};
    qint64 off = 0;
    qint64 sum = 0;
    for (int y = 0; y < a.height(); ++y) {
        for (int x = 0; x < a.width(); ++x) {
            const int d = std::abs(qGray(a.pixel(x, y)) - qGray(b.pixel(x, y)));
            sum += d;
            off += d > 64;
        }
    }
    const double count = static_cast<double>(a.width()) * a.height();
    return {static_cast<double>(off) / count, static_cast<double>(sum) / count};
}

/// Compares with tests/golden/print/NAME.png; HOLDFAST_RENEW_GOLDEN=1 writes it instead.
void compareWithGolden(const Page &page, const QString &name)
{
    const QString path = qEnvironmentVariable("HOLDFAST_SOURCE_DIR") +
                         QStringLiteral("/tests/golden/print/") + name + QStringLiteral(".png");
    const QImage now = renderPage(page, 72).convertToFormat(QImage::Format_Grayscale8);
    if (qEnvironmentVariableIsSet("HOLDFAST_RENEW_GOLDEN")) {
        QDir().mkpath(QFileInfo(path).path());
        ASSERT_TRUE(now.save(path));
        return;
    }
    const QImage golden(path);
    ASSERT_FALSE(golden.isNull()) << path.toStdString();
    const Difference d = between(now, golden);
    EXPECT_LE(d.share, 0.004) << name.toStdString();
    EXPECT_LE(d.mean, 1.5) << name.toStdString();
}

} // namespace

TEST(PdfFile, PassesAnIndependentCheckOfItsStructure)
{
    if (QStandardPaths::findExecutable(QStringLiteral("qpdf")).isEmpty())
        GTEST_SKIP() << "qpdf is not installed";
    const QTemporaryDir dir;
    for (const PageDocument &document : samplePapers()) {
        const Ran ran = run(QStringLiteral("qpdf"), {QStringLiteral("--check"), written(dir, document)});
        EXPECT_EQ(ran.exitCode, 0) << document.title.toStdString() << ": " << ran.output.toStdString();
    }
}

TEST(PdfFile, EmbedsEveryFontWithItsCharacters)
{
    if (QStandardPaths::findExecutable(QStringLiteral("pdffonts")).isEmpty())
        GTEST_SKIP() << "pdffonts is not installed";
    const QTemporaryDir dir;
    for (const PageDocument &document : samplePapers()) {
        const QStringList lines = run(QStringLiteral("pdffonts"), {written(dir, document)})
                                      .output.split(QLatin1Char('\n'), Qt::SkipEmptyParts);
        ASSERT_GE(lines.size(), 3) << document.title.toStdString();
        for (qsizetype i = 2; i < lines.size(); ++i) {
            // name, type (one or more words), encoding, embedded, subset, unicode, object, generation
            const QStringList words = lines[i].simplified().split(QLatin1Char(' '));
            ASSERT_GE(words.size(), 7);
            EXPECT_EQ(words[words.size() - 5], QStringLiteral("yes")) << lines[i].toStdString();
            EXPECT_EQ(words[words.size() - 3], QStringLiteral("yes")) << lines[i].toStdString();
        }
    }
}

TEST(PdfFile, HasTheSizeOfItsPaper)
{
    const QTemporaryDir dir;
    for (const PageDocument &document : samplePapers()) {
        const QImage drawn = pdfPage(written(dir, document), 0, 254);
        EXPECT_NEAR(drawn.width() / 10.0, document.pages[0].sizeMm.width(), 0.4)
            << document.title.toStdString();
        EXPECT_NEAR(drawn.height() / 10.0, document.pages[0].sizeMm.height(), 0.4)
            << document.title.toStdString();
    }
}

TEST(PdfFile, LooksLikeThePreview)
{
    const QTemporaryDir dir;
    for (const PageDocument &document : samplePapers()) {
        // Both fine, then coarse: what is compared is ink and place, not how a renderer smooths a letter.
        const QImage fine = renderPage(document.pages[0], 300);
        const QSize coarse = fine.size() / 6;
        const QImage preview = fine.scaled(coarse, Qt::IgnoreAspectRatio, Qt::SmoothTransformation);
        // Qt rounds a PDF page to whole points, at its right and lower edge; the paper's edge is not
        // compared.
        const QImage drawn = pdfPage(written(dir, document), 0, 300)
                                 .copy(fine.rect())
                                 .scaled(coarse, Qt::IgnoreAspectRatio, Qt::SmoothTransformation);
        const Difference d = between(preview, drawn);
        // poppler's smoothing widens each dark module by a quarter of a pixel, which is much of a module of 3
        // pixels.
        const bool tiny = document.pages[0].sizeMm.width() < 50;
        EXPECT_LE(d.mean, tiny ? 14 : 5) << document.title.toStdString();
        EXPECT_LE(d.share, tiny ? 0.03 : 0.015) << document.title.toStdString();
    }
}

TEST(Golden, PagesLookAsTheyDidWhenAPersonLookedAtThem)
{
    for (const PageDocument &document : samplePapers()) {
        QString name = document.title.toLower();
        name.replace(QLatin1Char(' '), QLatin1Char('-'));
        const QSizeF size = document.pages.at(0).sizeMm;
        if (std::max(size.width(), size.height()) > 279 && std::max(size.width(), size.height()) < 280)
            name += QStringLiteral("-letter");
        for (std::size_t i = 0; i < document.pages.size() && i < 4; ++i)
            compareWithGolden(document.pages[i], QStringLiteral("%1-%2").arg(name).arg(i + 1));
    }
}

// What is printed must say all in black on white: a page is grey scale throughout, and no text is set in a
// grey that a poor printer loses.
TEST(Golden, PagesNeedNoColour)
{
    const QTemporaryDir dir;
    for (const PageDocument &document : samplePapers()) {
        const QImage drawn = pdfPage(written(dir, document), 0, 100);
        for (int y = 0; y < drawn.height(); ++y) {
            for (int x = 0; x < drawn.width(); ++x) {
                const QRgb p = drawn.pixel(x, y);
                ASSERT_LE(std::max({qRed(p), qGreen(p), qBlue(p)}) - std::min({qRed(p), qGreen(p), qBlue(p)}),
                          2)
                    << document.title.toStdString();
            }
        }
    }
}

// The painted boxes themselves: on every paper, A4 and Letter, no ink of one text on another's, none off the
// page, none beyond its box.
TEST(Golden, NoTextOverlapsOrLeavesItsBox)
{
    for (const PageDocument &document : samplePapers()) {
        for (const Page &page : document.pages) {
            EXPECT_EQ(overlapsOnPage(page), "") << document.title.toStdString();
            for (const PageMark &mark : page.marks) {
                const auto *text = std::get_if<TextMark>(&mark);
                if (!text || text->text.isEmpty())
                    continue;
                EXPECT_TRUE(text->boxMm.adjusted(-0.05, -0.05, 0.05, 0.05).contains(text->inkMm))
                    << document.title.toStdString() << ": " << text->text.toStdString();
            }
        }
    }
}
