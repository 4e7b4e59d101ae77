// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/report_blocks.h"

#include <algorithm>
#include <array>

namespace holdfast
{

namespace
{

QString number(double v)
{
    return QString::number(v, 'f', 3);
}

QString greyOf(double grey)
{
    const int v = static_cast<int>(std::clamp(grey, 0.0, 1.0) * 255 + 0.5);
    return QStringLiteral("#%1%1%1").arg(v, 2, 16, QLatin1Char('0'));
}

class SvgWriter
{
public:
    [[nodiscard]] QString take() { return std::move(m_out); }

    void operator()(const TextMark &mark)
    {
        if (mark.text.isEmpty())
            return;
        constexpr double mmPerPt = 25.4 / 72;
        const QStringList lines = mark.text.split(QChar(QChar::LineSeparator));
        double x = mark.inkMm.left();
        QString anchor = QStringLiteral("start");
        if (mark.align & Qt::AlignHCenter) {
            x = mark.inkMm.center().x();
            anchor = QStringLiteral("middle");
        } else if (mark.align & Qt::AlignRight) {
            x = mark.inkMm.right();
            anchor = QStringLiteral("end");
        }
        const double lineMm = mark.inkMm.height() / static_cast<double>(lines.size());
        for (qsizetype i = 0; i < lines.size(); ++i) {
            const double y = mark.inkMm.top() + lineMm * (static_cast<double>(i) + 0.78);
            m_out +=
                QStringLiteral("<text x=\"%1\" y=\"%2\" font-size=\"%3\" text-anchor=\"%4\"%5>%6</text>\n")
                    .arg(number(x), number(y), number(mark.sizePt * mmPerPt), anchor,
                         mark.bold ? QStringLiteral(" font-weight=\"bold\"") : QString(),
                         lines[i].toHtmlEscaped());
        }
    }

    void operator()(const LineMark &mark)
    {
        m_out +=
            QStringLiteral(
                "<line x1=\"%1\" y1=\"%2\" x2=\"%3\" y2=\"%4\" stroke=\"#000\" stroke-width=\"%5\"%6/>\n")
                .arg(number(mark.fromMm.x()), number(mark.fromMm.y()), number(mark.toMm.x()),
                     number(mark.toMm.y()), number(mark.widthMm), dashes(mark.dashed, mark.widthMm));
    }

    void operator()(const BoxMark &mark)
    {
        const QString style = QStringLiteral("fill=\"%1\" stroke=\"%2\" stroke-width=\"%3\"%4")
                                  .arg(mark.grey >= 0 ? greyOf(mark.grey) : QStringLiteral("none"),
                                       mark.lineMm > 0 ? QStringLiteral("#000") : QStringLiteral("none"),
                                       number(mark.lineMm), dashes(mark.dashed, mark.lineMm));
        const QRectF r = mark.rectMm;
        if (mark.round)
            m_out += QStringLiteral("<ellipse cx=\"%1\" cy=\"%2\" rx=\"%3\" ry=\"%4\" %5/>\n")
                         .arg(number(r.center().x()), number(r.center().y()), number(r.width() / 2),
                              number(r.height() / 2), style);
        else
            rectangle(r, style);
    }

    void operator()(const PathMark &mark)
    {
        QString points;
        for (const QPointF &p : mark.pointsMm)
            points += QStringLiteral("%1,%2 ").arg(number(p.x()), number(p.y()));
        m_out +=
            QStringLiteral("<%1 points=\"%2\" fill=\"%3\" stroke=\"%4\" stroke-width=\"%5\"/>\n")
                .arg(mark.closed ? QStringLiteral("polygon") : QStringLiteral("polyline"), points.trimmed(),
                     mark.fillGrey >= 0 ? greyOf(mark.fillGrey) : QStringLiteral("none"),
                     mark.lineMm > 0 ? greyOf(mark.grey) : QStringLiteral("none"), number(mark.lineMm));
    }

    void operator()(const QrMark &mark)
    {
        for (int y = 0; y < mark.symbol.modules; ++y) {
            for (int x = 0; x < mark.symbol.modules; ++x) {
                if (mark.symbol.isDark(x, y))
                    rectangle(QRectF(mark.topLeftMm + QPointF(x, y) * mark.moduleMm,
                                     QSizeF(mark.moduleMm, mark.moduleMm)),
                              QStringLiteral("fill=\"#000\" shape-rendering=\"crispEdges\""));
            }
        }
    }

private:
    static QString dashes(bool dashed, double widthMm)
    {
        return dashed ? QStringLiteral(" stroke-dasharray=\"%1 %2\"")
                            .arg(number(widthMm * 4), number(widthMm * 3))
                      : QString();
    }
    void rectangle(const QRectF &r, const QString &style)
    {
        m_out += QStringLiteral("<rect x=\"%1\" y=\"%2\" width=\"%3\" height=\"%4\" %5/>\n")
                     .arg(number(r.left()), number(r.top()), number(r.width()), number(r.height()), style);
    }

    QString m_out;
};

class PageBlocks
{
public:
    PageBlocks(SheetFlow &flow, const SheetLayout &layout) : m_flow(flow), m_layout(layout) {}

    /// Height that must fit below a heading for it to stay on the page.
    double keptWith = 18;

    void operator()(const ReportHeading &block) { m_flow.heading(block.text, keptWith); }
    void operator()(const ReportParagraph &block) { m_flow.paragraph(block.text, m_layout.textPt); }
    void operator()(const ReportPairs &block) { m_flow.pairs(block.pairs, block.columns); }
    void operator()(const ReportTable &block)
    {
        std::vector<SheetColumn> columns = block.columns;
        double sum = 0;
        for (const SheetColumn &c : columns)
            sum += c.widthMm;
        // Columns say their shares; only those of the layout are millimetres already.
        if (sum > m_flow.width() || sum < m_flow.width() * 0.7) {
            for (SheetColumn &c : columns)
                c.widthMm *= m_flow.width() / sum;
        }
        m_flow.table(columns, block.rows, m_layout.rowMm);
    }
    void operator()(const ReportFigure &block)
    {
        m_flow.add(block.draw(m_flow.take(std::min(block.heightMm, m_flow.pageRoomMm()))));
        m_flow.gap(2);
    }

private:
    SheetFlow &m_flow;
    const SheetLayout &m_layout;
};

class HtmlBlocks
{
public:
    explicit HtmlBlocks(double widthMm) : m_widthMm(widthMm) {}
    [[nodiscard]] QString take() { return std::move(m_out); }

    void operator()(const ReportHeading &block)
    {
        m_out += QStringLiteral("<h2>%1</h2>\n").arg(block.text.toHtmlEscaped());
    }
    void operator()(const ReportParagraph &block)
    {
        m_out += QStringLiteral("<p>%1</p>\n").arg(lines(block.text));
    }
    void operator()(const ReportPairs &block)
    {
        m_out += QStringLiteral("<dl>\n");
        for (const auto &[name, value] : block.pairs)
            m_out +=
                QStringLiteral("<div><dt>%1</dt><dd>%2</dd></div>\n").arg(name.toHtmlEscaped(), lines(value));
        m_out += QStringLiteral("</dl>\n");
    }
    void operator()(const ReportTable &block)
    {
        m_out += QStringLiteral("<table>\n<thead><tr>");
        for (const SheetColumn &c : block.columns)
            m_out += QStringLiteral("<th%1 scope=\"col\">%2</th>").arg(classOf(c), c.head.toHtmlEscaped());
        m_out += QStringLiteral("</tr></thead>\n<tbody>\n");
        for (const SheetRow &row : block.rows) {
            m_out += QStringLiteral("<tr>");
            for (std::size_t i = 0; i < block.columns.size(); ++i) {
                const QString text = lines(row.cells.value(static_cast<qsizetype>(i)));
                const bool struck = row.struck && static_cast<int>(i) != row.unstruckColumn;
                m_out += QStringLiteral("<td%1>%2</td>")
                             .arg(classOf(block.columns[i]),
                                  struck ? QStringLiteral("<s>%1</s>").arg(text) : text);
            }
            m_out += QStringLiteral("</tr>\n");
        }
        m_out += QStringLiteral("</tbody>\n</table>\n");
    }
    void operator()(const ReportFigure &block)
    {
        const QSizeF size(m_widthMm, block.heightMm);
        QString svg = svgOf(block.draw(QRectF(QPointF(0, 0), size)), size);
        svg.insert(4, QStringLiteral(" role=\"img\" aria-label=\"%1\"").arg(block.name.toHtmlEscaped()));
        m_out += QStringLiteral("<figure>\n%1</figure>\n").arg(svg);
    }

private:
    static QString lines(const QString &text)
    {
        return text.toHtmlEscaped().replace(QLatin1Char('\n'), QStringLiteral("<br>"));
    }
    static QString classOf(const SheetColumn &column)
    {
        return column.right ? QStringLiteral(" class=\"n\"") : QString();
    }

    double m_widthMm;
    QString m_out;
};

constexpr auto styles =
    "body{font-family:'DejaVu Sans','Noto Sans',sans-serif;color:#000;background:#fff;margin:1.5rem "
    "auto;max-width:60rem;"
    "padding:0 1rem;line-height:1.4}"
    "h1{font-size:1.5rem;margin:0}h2{font-size:1.1rem;margin:1.6rem 0 .4rem}"
    ".draft{border:3px dashed #000;padding:.2rem .6rem;font-weight:bold;display:inline-block}"
    "dl{display:grid;grid-template-columns:repeat(auto-fill,minmax(12rem,1fr));gap:.6rem;margin:0}"
    "dt{font-size:.75rem}dd{margin:0;font-weight:bold}"
    "table{border-collapse:collapse;width:100%;font-size:.8rem}th,td{border:1px solid #555;padding:.2rem "
    ".35rem;"
    "text-align:left;vertical-align:top}th{background:#e2e2e2}.n{text-align:right;font-variant-numeric:"
    "tabular-nums}"
    "figure{margin:.6rem 0}svg{width:100%;height:auto}footer{border-top:1px solid "
    "#000;margin-top:2rem;font-size:.75rem}"
    "@media print{thead{display:table-header-group}tr,figure{break-inside:avoid}}";

} // namespace

void flowBlocks(SheetFlow &flow, const std::vector<ReportBlock> &blocks, const SheetLayout &layout)
{
    PageBlocks pages(flow, layout);
    for (std::size_t i = 0; i < blocks.size(); ++i) {
        const auto *next = i + 1 < blocks.size() ? std::get_if<ReportFigure>(&blocks[i + 1]) : nullptr;
        pages.keptWith = next ? std::min(next->heightMm, flow.pageRoomMm() - 10) : 18;
        std::visit(pages, blocks[i]);
    }
}

QString svgOf(const std::vector<PageMark> &marks, const QSizeF &sizeMm)
{
    SvgWriter writer;
    for (const PageMark &mark : marks)
        std::visit(writer, mark);
    return QStringLiteral("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %1 %2\" "
                          "font-family=\"DejaVu Sans, Noto Sans, sans-serif\">\n%3</svg>\n")
        .arg(number(sizeMm.width()), number(sizeMm.height()), writer.take());
}

QString htmlOf(const SheetFrame &frame, const std::vector<ReportBlock> &blocks, double widthMm)
{
    HtmlBlocks html(widthMm);
    for (const ReportBlock &block : blocks)
        std::visit(html, block);
    const QString draft =
        frame.warning.isEmpty()
            ? QString()
            : QStringLiteral("<p class=\"draft\">%1</p>\n").arg(frame.warning.toHtmlEscaped());
    return QStringLiteral("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                          "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                          "<title>%1 %2</title>\n<style>%3</style>\n</head>\n<body>\n"
                          "<header>\n<h1>%1</h1>\n<p>%2</p>\n%4</header>\n<main>\n%5</main>\n"
                          "<footer><p>%6</p><p>%7</p></footer>\n</body>\n</html>\n")
        .arg(frame.title.toHtmlEscaped(), frame.subtitle.toHtmlEscaped(), QString::fromLatin1(styles), draft,
             html.take(), frame.footLeft.toHtmlEscaped(), frame.footMiddle.toHtmlEscaped());
}

} // namespace holdfast
