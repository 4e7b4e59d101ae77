// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/sheet_flow.h"

#include <algorithm>

namespace holdfast
{

namespace
{

constexpr double headMm = 11;
constexpr double footMm = 6.5;
constexpr double cellPaddingMm = 0.9;
constexpr double headGrey = 0.88;
constexpr double strikeMm = 0.25;

TextMark must(const QString &text, TextBox box)
{
    box.mayCut = true;
    auto mark = fitText(text, box);
    // Not even "…" fits: the box is smaller than a letter, which the checks of the layout leave no way to.
    return mark ? std::move(*mark) : TextMark{.boxMm = box.boxMm};
}

} // namespace

SheetFlow::SheetFlow(const SheetLayout &layout, SheetFrame frame)
    : m_layout(layout), m_frame(std::move(frame))
{
    m_left = m_layout.marginMm;
    m_width = m_layout.pageMm.width() - 2 * m_layout.marginMm;
    m_top = m_layout.marginMm + headMm;
    m_bottom = m_layout.pageMm.height() - m_layout.marginMm - footMm;
    newPage();
}

void SheetFlow::newPage()
{
    m_document.pages.push_back(Page{.sizeMm = m_layout.pageMm, .marks = {}});
    m_y = m_top;
}

void SheetFlow::part(double leftMm, double widthMm, double topMm)
{
    m_left = leftMm;
    m_width = widthMm;
    m_y = topMm;
}

void SheetFlow::wholeWidth(double bottomMm)
{
    m_left = m_layout.marginMm;
    m_width = m_layout.pageMm.width() - 2 * m_layout.marginMm;
    m_y = bottomMm;
}

void SheetFlow::need(double heightMm)
{
    if (m_y > m_top && heightMm > roomMm())
        newPage();
}

void SheetFlow::gap(double heightMm)
{
    m_y = std::min(m_y + heightMm, m_bottom);
}

QRectF SheetFlow::take(double heightMm)
{
    need(heightMm);
    const QRectF taken(left(), m_y, width(), heightMm);
    m_y += heightMm;
    return taken;
}

void SheetFlow::add(PageMark mark)
{
    m_document.pages.back().marks.push_back(std::move(mark));
}

void SheetFlow::add(std::vector<PageMark> marks)
{
    auto &all = m_document.pages.back().marks;
    all.insert(all.end(), std::make_move_iterator(marks.begin()), std::make_move_iterator(marks.end()));
}

void SheetFlow::text(const QRectF &boxMm, const QString &text, double sizePt, bool bold, Qt::Alignment align,
                     bool wrap)
{
    if (!text.isEmpty())
        add(must(text, TextBox{.boxMm = boxMm,
                               .largestPt = sizePt,
                               .smallestPt = std::min(sizePt, m_layout.smallestPt),
                               .bold = bold,
                               .wrap = wrap,
                               .align = align}));
}

void SheetFlow::heading(const QString &words, double withMm)
{
    need(9 + withMm);
    gap(3);
    text(take(5.5), words, m_layout.textPt + 2, true, Qt::AlignLeft | Qt::AlignVCenter);
}

void SheetFlow::paragraph(const QString &words, double sizePt)
{
    const double height = textHeightMm(words, width(), sizePt);
    text(take(std::min(height, pageRoomMm())), words, sizePt);
    gap(1);
}

void SheetFlow::pairs(const std::vector<std::pair<QString, QString>> &pairs, int columns)
{
    constexpr double nameMm = 3;
    const double columnMm = width() / columns;
    const auto perRow = static_cast<std::size_t>(columns);
    for (std::size_t first = 0; first < pairs.size(); first += perRow) {
        const std::size_t last = std::min(first + perRow, pairs.size());
        double valueMm = 4;
        for (std::size_t i = first; i < last; ++i)
            valueMm =
                std::max(valueMm, textHeightMm(pairs[i].second, columnMm - 2, m_layout.textPt + 0.5, true));
        valueMm = std::min(valueMm, 30.0);
        const QRectF row = take(nameMm + valueMm + 1.2);
        for (std::size_t i = first; i < last; ++i) {
            const double x = row.left() + columnMm * static_cast<double>(i - first);
            text(QRectF(x, row.top(), columnMm - 2, nameMm), pairs[i].first, 6.5, false,
                 Qt::AlignLeft | Qt::AlignBottom, false);
            text(QRectF(x, row.top() + nameMm, columnMm - 2, valueMm + 0.1), pairs[i].second,
                 m_layout.textPt + 0.5, true);
        }
    }
}

std::vector<TextMark> SheetFlow::fitRow(const std::vector<SheetColumn> &columns, const QStringList &cells,
                                        double sizePt, bool bold) const
{
    std::vector<TextMark> marks;
    double x = left();
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const SheetColumn &column = columns[i];
        const TextBox box{
            .boxMm = QRectF(x + cellPaddingMm, 0, column.widthMm - 2 * cellPaddingMm, pageRoomMm() * 0.6),
            .largestPt = sizePt,
            .smallestPt = std::min(sizePt, m_layout.smallestPt),
            .bold = bold || column.bold,
            .align = (column.right ? Qt::AlignRight : Qt::AlignLeft) | Qt::AlignTop};
        marks.push_back(must(cells.value(static_cast<qsizetype>(i)), box));
        x += column.widthMm;
    }
    return marks;
}

namespace
{

double rowHeight(const std::vector<TextMark> &marks, double least)
{
    double height = least;
    for (const TextMark &mark : marks)
        height = std::max(height, mark.inkMm.height() + 2 * cellPaddingMm);
    return height;
}

/// A mark that was fitted at the top of the page, moved into the middle of its row.
TextMark inRow(TextMark mark, double top, double height)
{
    const double down = top + (height - mark.inkMm.height()) / 2;
    mark.inkMm.moveTop(down);
    mark.boxMm = QRectF(mark.boxMm.left(), top, mark.boxMm.width(), height);
    mark.align = (mark.align & Qt::AlignHorizontal_Mask) | Qt::AlignVCenter;
    return mark;
}

double totalWidth(const std::vector<SheetColumn> &columns)
{
    double sum = 0;
    for (const SheetColumn &column : columns)
        sum += column.widthMm;
    return sum;
}

} // namespace

void SheetFlow::tableHead(const std::vector<SheetColumn> &columns)
{
    QStringList heads;
    for (const SheetColumn &column : columns)
        heads.append(column.head);
    auto marks = fitRow(columns, heads, m_layout.textPt - 1, true);
    const double height = rowHeight(marks, 5);
    const QRectF row = take(height);
    add(BoxMark{.rectMm = QRectF(row.left(), row.top(), totalWidth(columns), height),
                .lineMm = 0.25,
                .grey = headGrey});
    for (TextMark &mark : marks)
        add(inRow(std::move(mark), row.top(), height));
}

void SheetFlow::strike(const TextMark &mark)
{
    if (mark.text.isEmpty())
        return;
    const double lineMm = textHeightMm(QStringLiteral("0"), 100, mark.sizePt, mark.bold);
    for (double y = mark.inkMm.top() + lineMm / 2; y < mark.inkMm.bottom(); y += lineMm)
        add(LineMark{.fromMm = QPointF(mark.inkMm.left() - 0.4, y),
                     .toMm = QPointF(mark.inkMm.right() + 0.4, y),
                     .widthMm = strikeMm});
}

void SheetFlow::table(const std::vector<SheetColumn> &columns, const std::vector<SheetRow> &rows,
                      double leastRowMm, const DrawCell &drawCell)
{
    need(2 * leastRowMm + 6);
    tableHead(columns);
    for (std::size_t r = 0; r < rows.size(); ++r) {
        auto marks = fitRow(columns, rows[r].cells, m_layout.textPt, false);
        const double height = rowHeight(marks, leastRowMm);
        if (height > roomMm()) {
            newPage();
            tableHead(columns);
        }
        const QRectF row = take(height);
        for (std::size_t c = 0; c < columns.size(); ++c) {
            const QRectF cell(marks[c].boxMm.left() - cellPaddingMm, row.top(), columns[c].widthMm, height);
            add(BoxMark{.rectMm = cell, .lineMm = 0.12});
            if (drawCell && drawCell(*this, r, columns[c], cell))
                continue;
            const TextMark placed = inRow(std::move(marks[c]), row.top(), height);
            if (rows[r].struck && static_cast<int>(c) != rows[r].unstruckColumn)
                strike(placed);
            add(placed);
        }
    }
}

void SheetFlow::frame(Page &page, std::size_t number, std::size_t of) const
{
    const double x = m_layout.marginMm;
    const double pageWidth = m_layout.pageMm.width() - 2 * m_layout.marginMm;
    const double right = x + pageWidth;
    const double top = m_layout.marginMm;
    const auto put = [&page](const QRectF &box, const QString &words, double largest, bool bold,
                             Qt::Alignment align) {
        if (!words.isEmpty())
            page.marks.push_back(must(words, TextBox{.boxMm = box,
                                                     .largestPt = largest,
                                                     .smallestPt = 5.5,
                                                     .bold = bold,
                                                     .wrap = false,
                                                     .align = align}));
    };
    const double warningMm =
        m_frame.warning.isEmpty() ? 0 : std::min(textWidthMm(m_frame.warning, 11, true) + 6, pageWidth / 3);
    constexpr double behindTitleMm = 5;
    const double titleMm = std::min(textWidthMm(m_frame.title, 14, true) + 1 + behindTitleMm, pageWidth / 2);
    put(QRectF(x, top, titleMm - behindTitleMm, 8), m_frame.title, 14, true,
        Qt::AlignLeft | Qt::AlignVCenter);
    put(QRectF(x + titleMm, top, pageWidth - titleMm - warningMm - 3, 8), m_frame.subtitle, 11, false,
        Qt::AlignLeft | Qt::AlignVCenter);
    if (warningMm > 0) {
        const QRectF box(right - warningMm, top, warningMm, 8);
        page.marks.push_back(BoxMark{.rectMm = box, .lineMm = 0.6, .dashed = true});
        put(box.adjusted(1.5, 0.5, -1.5, -0.5), m_frame.warning, 11, true, Qt::AlignCenter);
    }
    page.marks.push_back(
        LineMark{.fromMm = QPointF(x, top + 9.2), .toMm = QPointF(right, top + 9.2), .widthMm = 0.4});
    const double foot = m_layout.pageMm.height() - m_layout.marginMm - footMm + 1.8;
    const double height = footMm - 2;
    page.marks.push_back(LineMark{.fromMm = QPointF(x, foot), .toMm = QPointF(right, foot), .widthMm = 0.2});
    const double third = pageWidth / 3;
    put(QRectF(x, foot + 0.5, third - 2, height), m_frame.footLeft, 7.5, false,
        Qt::AlignLeft | Qt::AlignVCenter);
    put(QRectF(x + third, foot + 0.5, third, height), m_frame.footMiddle, 7.5, false, Qt::AlignCenter);
    put(QRectF(x + 2 * third + 2, foot + 0.5, third - 2, height),
        QStringLiteral("page %1 of %2").arg(number).arg(of), 8.5, true, Qt::AlignRight | Qt::AlignVCenter);
}

PageDocument SheetFlow::finish(const QString &title) &&
{
    m_document.title = title;
    const std::size_t count = m_document.pages.size();
    for (std::size_t i = 0; i < count; ++i)
        frame(m_document.pages[i], i + 1, count);
    return std::move(m_document);
}

} // namespace holdfast
