// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "print/page_document.h"
#include "print/page_text.h"
#include "print/sheet_layout.h"

#include <QStringList>
#include <functional>

namespace holdfast
{

/// What stands on top and at the foot of every page.
struct SheetFrame {
    QString title = {};
    QString subtitle = {};
    QString warning = {}; ///< in a box on every page, for a draft; empty: none
    QString footLeft = {};
    QString footMiddle = {};
};

/// One row of a table: a text for each column, drawn by the caller where `drawCell` says so.
struct SheetRow {
    QStringList cells = {};
    bool struck = false;     ///< lines through the cells
    int unstruckColumn = -1; ///< the cell with the reason stays clear
};

/// Puts blocks one below the other on as many pages as they take: the mechanics of every sheet.
class SheetFlow
{
public:
    SheetFlow(const SheetLayout &layout, SheetFrame frame);

    /// Left edge, width and remaining height of the body of the current page; mm.
    [[nodiscard]] double left() const { return m_left; }
    [[nodiscard]] double width() const { return m_width; }
    [[nodiscard]] double y() const { return m_y; }
    [[nodiscard]] double roomMm() const { return m_bottom - m_y; }
    [[nodiscard]] double pageRoomMm() const { return m_bottom - m_top; }

    /// What follows stands in a part of the width, from `topMm` down; wholeWidth() ends it below `bottomMm`.
    void part(double leftMm, double widthMm, double topMm);
    void wholeWidth(double bottomMm);
    /// A new page unless `heightMm` fits on this one (or the page is still empty).
    void need(double heightMm);
    void gap(double heightMm);
    /// Takes `heightMm` off the page and gives its rectangle.
    QRectF take(double heightMm);
    void add(PageMark mark);
    void add(std::vector<PageMark> marks);
    /// A text in a rectangle; "…" at its end when it does not fit at the smallest size.
    void text(const QRectF &boxMm, const QString &text, double sizePt, bool bold = false,
              Qt::Alignment align = Qt::AlignLeft | Qt::AlignTop, bool wrap = true);
    /// The heading of a section, kept with at least `withMm` of what follows.
    void heading(const QString &text, double withMm);
    /// A paragraph over the whole width.
    void paragraph(const QString &text, double sizePt);
    /// Named values in columns, each name small above its value.
    void pairs(const std::vector<std::pair<QString, QString>> &pairs, int columns);

    /// Draws a cell itself (tick boxes); says whether it did, else the cell's text is set.
    using DrawCell =
        std::function<bool(SheetFlow &, std::size_t row, const SheetColumn &, const QRectF &cellMm)>;
    /// A table whose head stands again on each page it reaches.
    void table(const std::vector<SheetColumn> &columns, const std::vector<SheetRow> &rows, double leastRowMm,
               const DrawCell &drawCell = {});

    /// The finished pages with their frames: "page x of y" is known only now.
    [[nodiscard]] PageDocument finish(const QString &title) &&;

private:
    void newPage();
    void strike(const TextMark &mark);
    void tableHead(const std::vector<SheetColumn> &columns);
    [[nodiscard]] std::vector<TextMark> fitRow(const std::vector<SheetColumn> &columns,
                                               const QStringList &cells, double sizePt, bool bold) const;
    void frame(Page &page, std::size_t number, std::size_t of) const;

    SheetLayout m_layout;
    SheetFrame m_frame;
    PageDocument m_document;
    double m_left = 0;
    double m_width = 0;
    double m_top = 0;
    double m_bottom = 0;
    double m_y = 0;
};

} // namespace holdfast
