// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/page_text.h"

#include <QFont>
#include <QFontMetricsF>
#include <QHash>
#include <QTextLayout>
#include <cmath>

namespace holdfast
{

namespace
{

// Text is laid out in hundredths of a millimetre, the same for every device, so that lines break alike on the
// screen, in the PDF and on the printer.
constexpr double unitsPerMm = 100;
constexpr double mmPerPt = 25.4 / 72;

QFont fontOf(double sizePt, bool bold, bool mono)
{
    QFont font;
    font.setFamilies(mono ? QStringList{QStringLiteral("DejaVu Sans Mono"), QStringLiteral("Noto Sans Mono")}
                          : QStringList{QStringLiteral("DejaVu Sans"), QStringLiteral("Noto Sans")});
    font.setPixelSize(static_cast<int>(std::lround(sizePt * mmPerPt * unitsPerMm)));
    font.setBold(bold);
    font.setHintingPreference(QFont::PreferNoHinting);
    font.setStyleStrategy(QFont::PreferAntialias);
    // Any letter spacing keeps the shaper from joining "fi" into one character, which could not be found in
    // the PDF; this one is a sixth of a micrometre.
    font.setLetterSpacing(QFont::AbsoluteSpacing, 1.0 / 64);
    return font;
}

/// Breaks `layout` into lines of `widthMm`; gives the inked rectangle in units from the top left.
QRectF breakLines(QTextLayout &layout, double widthMm, TextWrap wrap, Qt::Alignment align)
{
    QTextOption option(align & Qt::AlignHorizontal_Mask);
    option.setWrapMode(wrap == TextWrap::None    ? QTextOption::NoWrap
                       : wrap == TextWrap::Words ? QTextOption::WordWrap
                                                 : QTextOption::WrapAtWordBoundaryOrAnywhere);
    layout.setTextOption(option);
    QRectF ink;
    double y = 0;
    layout.beginLayout();
    for (QTextLine line = layout.createLine(); line.isValid(); line = layout.createLine()) {
        line.setLineWidth(widthMm * unitsPerMm);
        line.setPosition(QPointF(0, y));
        y += line.height();
        ink = ink.united(line.naturalTextRect());
    }
    layout.endLayout();
    return QRectF(ink.left(), 0, ink.width(), y);
}

/// A text at one size in its box.
struct Trial {
    double sizePt = 0;
    TextWrap wrap = TextWrap::None;
    QRectF inkUnits;
    bool fits = false;
};

Trial tryAt(const QString &text, const TextBox &box, double sizePt, TextWrap wrap)
{
    QTextLayout layout(text, fontOf(sizePt, box.bold, box.mono));
    Trial trial{.sizePt = sizePt, .wrap = wrap, .inkUnits = {}, .fits = false};
    trial.inkUnits = breakLines(layout, box.boxMm.width(), wrap, box.align);
    const double slack = 0.5; // units: 0.005 mm, for sums of fractions
    trial.fits = trial.inkUnits.height() <= box.boxMm.height() * unitsPerMm + slack &&
                 trial.inkUnits.width() <= box.boxMm.width() * unitsPerMm + slack;
    return trial;
}

/// The largest size that fits with this way of wrapping, in quarter points from the largest down. What fits
/// at a size fits at every smaller one, so the steps are halved; a single line scales with its size, so its
/// step is guessed first.
std::optional<Trial> largestThatFits(const QString &text, const TextBox &box, TextWrap wrap)
{
    constexpr double stepPt = 0.25;
    const Trial largest = tryAt(text, box, box.largestPt, wrap);
    if (largest.fits)
        return largest;
    int tooLarge = 0;
    int smallest = static_cast<int>(std::ceil((box.largestPt - box.smallestPt) / stepPt - 1e-9));
    const auto at = [&](int step) {
        return tryAt(text, box, std::max(box.largestPt - step * stepPt, box.smallestPt), wrap);
    };
    int next = (tooLarge + smallest + 1) / 2;
    if (wrap == TextWrap::None && largest.inkUnits.width() > 0) {
        const double ratio = std::min(box.boxMm.width() * unitsPerMm / largest.inkUnits.width(),
                                      box.boxMm.height() * unitsPerMm / largest.inkUnits.height());
        next = static_cast<int>(std::ceil(box.largestPt * (1 - ratio) / stepPt));
    }
    std::optional<Trial> best;
    while (smallest > tooLarge) {
        next = std::clamp(next, tooLarge + 1, smallest);
        Trial trial = at(next);
        if (trial.fits) {
            best = trial;
            smallest = next;
        } else {
            tooLarge = next;
            if (!best && next == smallest)
                return {};
        }
        // After a good guess the next larger step is the likely end.
        next = wrap == TextWrap::None ? (trial.fits ? next - 1 : next + 1) : (tooLarge + smallest) / 2;
        if (smallest == tooLarge + 1 && best)
            break;
    }
    return best;
}

double topOf(const QRectF &boxMm, double inkHeightMm, Qt::Alignment align)
{
    if (align & Qt::AlignBottom)
        return boxMm.bottom() - inkHeightMm;
    if (align & Qt::AlignVCenter)
        return boxMm.center().y() - inkHeightMm / 2;
    return boxMm.top();
}

TextMark markOf(const QString &text, const TextBox &box, const Trial &trial)
{
    TextMark mark{.boxMm = box.boxMm,
                  .text = text,
                  .sizePt = trial.sizePt,
                  .bold = box.bold,
                  .mono = box.mono,
                  .white = box.white,
                  .wrap = trial.wrap,
                  .align = box.align,
                  .inkMm = {}};
    const double height = trial.inkUnits.height() / unitsPerMm;
    mark.inkMm = QRectF(box.boxMm.left() + trial.inkUnits.left() / unitsPerMm,
                        topOf(box.boxMm, height, box.align), trial.inkUnits.width() / unitsPerMm, height);
    return mark;
}

/// The longest beginning of `text` that still fits with "…" after it; nothing when not even that fits.
std::optional<TextMark> cutToFit(const QString &text, const TextBox &box)
{
    const TextWrap wrap = box.wrap ? TextWrap::Anywhere : TextWrap::None;
    const auto beginning = [&text](qsizetype length) {
        if (length > 0 && text.at(length - 1).isHighSurrogate())
            --length;
        return text.left(length).trimmed() + QChar(0x2026);
    };
    std::optional<TextMark> best;
    qsizetype low = 0;
    qsizetype high = text.size();
    while (low <= high) {
        const qsizetype middle = (low + high) / 2;
        const Trial trial = tryAt(beginning(middle), box, box.smallestPt, wrap);
        if (trial.fits) {
            best = markOf(beginning(middle), box, trial);
            low = middle + 1;
        } else {
            high = middle - 1;
        }
    }
    return best;
}

/// Whether any installed font can draw the character; asked of the fonts once a thread and character.
bool hasGlyph(char32_t c)
{
    thread_local QHash<char32_t, bool> known;
    const auto found = known.constFind(c);
    if (found != known.cend())
        return *found;
    const bool has = QFontMetricsF(fontOf(9, false, false)).inFontUcs4(static_cast<uint>(c));
    known.insert(c, has);
    return has;
}

/// Marks and joiners that are not drawn by themselves.
bool isInvisible(QChar::Category category, char32_t c)
{
    const bool variationSelector = (c >= 0xFE00 && c <= 0xFE0F) || (c >= 0xE0100 && c <= 0xE01EF);
    return category == QChar::Other_Format || variationSelector;
}

} // namespace

QString printableText(const QString &text)
{
    QString out;
    out.reserve(text.size());
    const auto points = text.toUcs4();
    for (const char32_t c : points) {
        const auto category = QChar::category(c);
        if (c >= 0x20 && c < 0x7F)
            out += QChar(static_cast<char16_t>(c));
        else if (c == u'\n' || c == 0x2028 || c == 0x2029)
            out += QChar(QChar::LineSeparator);
        else if (category == QChar::Other_Control)
            out += QLatin1Char(' ');
        else if (isInvisible(category, c) || hasGlyph(c))
            out += QString::fromUcs4(&c, 1);
        else
            out += QStringLiteral("[U+%1]").arg(static_cast<uint>(c), 4, 16, QLatin1Char('0')).toUpper();
    }
    return out;
}

std::optional<TextMark> fitText(const QString &text, const TextBox &box)
{
    const QString printable = printableText(text);
    if (printable.isEmpty())
        return markOf(printable, box, Trial{.sizePt = box.largestPt, .wrap = TextWrap::None, .inkUnits = {}});
    for (const TextWrap wrap : {TextWrap::Words, TextWrap::Anywhere}) {
        if (const auto trial = largestThatFits(printable, box, box.wrap ? wrap : TextWrap::None))
            return markOf(printable, box, *trial);
        if (!box.wrap)
            break;
    }
    if (box.mayCut)
        return cutToFit(printable, box);
    return {};
}

double textHeightMm(const QString &text, double widthMm, double sizePt, bool bold)
{
    QTextLayout layout(printableText(text), fontOf(sizePt, bold, false));
    return breakLines(layout, widthMm, TextWrap::Anywhere, Qt::AlignLeft).height() / unitsPerMm;
}

double textWidthMm(const QString &text, double sizePt, bool bold)
{
    QTextLayout layout(printableText(text), fontOf(sizePt, bold, false));
    return breakLines(layout, 10000, TextWrap::None, Qt::AlignLeft).width() / unitsPerMm;
}

QString joinedValues(const QStringList &values)
{
    QStringList present;
    for (const QString &value : values) {
        if (value.isEmpty())
            continue;
        // First strong isolate .. pop: a right-to-left name must not turn its neighbours around.
        present.append(value.isRightToLeft() ? QChar(0x2068) + value + QChar(0x2069) : value);
    }
    return present.join(QStringLiteral(" \u00B7 "));
}

void paintText(const TextMark &mark, QPainter &painter)
{
    if (mark.text.isEmpty())
        return;
    QTextLayout layout(mark.text, fontOf(mark.sizePt, mark.bold, mark.mono));
    breakLines(layout, mark.boxMm.width(), mark.wrap, mark.align);
    painter.save();
    painter.setPen(mark.white ? Qt::white : Qt::black);
    painter.translate(mark.boxMm.left(), mark.inkMm.top());
    painter.scale(1 / unitsPerMm, 1 / unitsPerMm);
    layout.draw(&painter, QPointF(0, 0));
    painter.restore();
}

} // namespace holdfast
