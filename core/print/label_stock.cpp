// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/label_stock.h"

#include "print/template_reader.h"

#include <cmath>

namespace holdfast
{

namespace
{

constexpr double largestPageMm = 2000;
constexpr double slackMm = 0.011; // sheet makers round to a hundredth of a millimetre

QRectF readBox(TemplateObject &from)
{
    const double x = from.number(QStringLiteral("x_mm"), 0, largestPageMm);
    const double y = from.number(QStringLiteral("y_mm"), 0, largestPageMm);
    const double width = from.number(QStringLiteral("width_mm"), 0.5, largestPageMm);
    const double height = from.number(QStringLiteral("height_mm"), 0.5, largestPageMm);
    return QRectF(x, y, width, height);
}

Qt::Alignment readAlign(TemplateObject &from)
{
    const QString across = from.word(
        QStringLiteral("align"), {QStringLiteral("left"), QStringLiteral("centre"), QStringLiteral("right")},
        QStringLiteral("left"));
    const QString down =
        from.word(QStringLiteral("align_down"),
                  {QStringLiteral("top"), QStringLiteral("middle"), QStringLiteral("bottom")},
                  QStringLiteral("middle"));
    Qt::Alignment align;
    align |= across == u"left" ? Qt::AlignLeft : across == u"centre" ? Qt::AlignHCenter : Qt::AlignRight;
    align |= down == u"top" ? Qt::AlignTop : down == u"middle" ? Qt::AlignVCenter : Qt::AlignBottom;
    return align;
}

LabelText readText(TemplateObject &from)
{
    LabelText text;
    text.fields = from.words(QStringLiteral("fields"), labelFieldNames());
    text.before = from.text(QStringLiteral("before"), QString());
    text.boxMm = readBox(from);
    text.largestPt = from.number(QStringLiteral("size_pt"), 2, 200);
    text.smallestPt = from.number(QStringLiteral("smallest_pt"), 2, 200, std::min(text.largestPt, 5.0));
    if (text.smallestPt > text.largestPt)
        from.addFault(QStringLiteral("smallest_pt"), QStringLiteral("must not be above size_pt."));
    text.bold = from.flag(QStringLiteral("bold"), false);
    text.wrap = from.flag(QStringLiteral("wrap"), true);
    text.mayCut = from.flag(QStringLiteral("may_cut"), false);
    text.framed = from.flag(QStringLiteral("framed"), false);
    text.align = readAlign(from);
    from.finish();
    return text;
}

PencilLine readLine(TemplateObject &from)
{
    PencilLine line;
    line.boxMm = readBox(from);
    line.caption = from.text(QStringLiteral("caption"), QString());
    from.finish();
    return line;
}

void readGrid(TemplateObject &from, LabelStock &stock)
{
    stock.columns = from.whole(QStringLiteral("columns"), 1, 100, 1);
    stock.rows = stock.roll ? 1 : from.whole(QStringLiteral("rows"), 1, 200, 1);
    stock.labelMm = QSizeF(from.number(QStringLiteral("label_width_mm"), 4, largestPageMm),
                           from.number(QStringLiteral("label_height_mm"), 4, largestPageMm));
    stock.leftMm = from.number(QStringLiteral("left_mm"), 0, largestPageMm, 0);
    stock.topMm = stock.roll ? 0 : from.number(QStringLiteral("top_mm"), 0, largestPageMm, 0);
    stock.columnGapMm = from.number(QStringLiteral("column_gap_mm"), 0, largestPageMm, 0);
    stock.rowGapMm = from.number(QStringLiteral("row_gap_mm"), 0, largestPageMm, 0);
    from.finish();
}

void readPage(TemplateObject &from, LabelStock &stock)
{
    stock.pageMm.setWidth(from.number(QStringLiteral("width_mm"), 5, largestPageMm));
    if (!stock.roll)
        stock.pageMm.setHeight(from.number(QStringLiteral("height_mm"), 5, largestPageMm));
    from.finish();
}

/// The square of a code; empty when the stock has none of this name.
QRectF readCode(TemplateObject &root, const QString &key)
{
    if (!root.has(key))
        return {};
    auto from = root.object(key);
    const double side = from.number(QStringLiteral("side_mm"), 3, largestPageMm);
    const QRectF square(from.number(QStringLiteral("x_mm"), 0, largestPageMm),
                        from.number(QStringLiteral("y_mm"), 0, largestPageMm), side, side);
    from.finish();
    return square;
}

/// Inside the label; on a round one inside its circle.
bool isOnLabel(const LabelStock &stock, const QRectF &box)
{
    const QRectF label(QPointF(0, 0), stock.labelMm);
    if (!label.adjusted(-slackMm, -slackMm, slackMm, slackMm).contains(box))
        return false;
    if (!stock.round)
        return true;
    const QPointF centre = label.center();
    const double radius = std::min(label.width(), label.height()) / 2 + slackMm;
    for (const QPointF corner : {box.topLeft(), box.topRight(), box.bottomLeft(), box.bottomRight()}) {
        if (std::hypot(corner.x() - centre.x(), corner.y() - centre.y()) > radius)
            return false;
    }
    return true;
}

bool overlap(const QRectF &a, const QRectF &b)
{
    const QRectF common = a & b;
    return common.width() > slackMm && common.height() > slackMm;
}

/// Parts that lie beside the label or upon each other would print over each other.
void checkParts(TemplateObject &from, const LabelStock &stock)
{
    struct Part {
        QString key;
        QRectF box;
    };
    std::vector<Part> parts;
    if (!stock.codeMm.isEmpty())
        parts.push_back({QStringLiteral("code"), stock.codeMm});
    if (!stock.secondCodeMm.isEmpty())
        parts.push_back({QStringLiteral("second_code"), stock.secondCodeMm});
    for (std::size_t i = 0; i < stock.texts.size(); ++i)
        parts.push_back({QStringLiteral("texts[%1]").arg(i), stock.texts[i].boxMm});
    for (std::size_t i = 0; i < stock.lines.size(); ++i)
        parts.push_back({QStringLiteral("pencil_lines[%1]").arg(i), stock.lines[i].boxMm});
    for (std::size_t i = 0; i < parts.size(); ++i) {
        if (!isOnLabel(stock, parts[i].box))
            from.addFault(parts[i].key,
                          QStringLiteral("it reaches beyond the label of %1 x %2 mm%3.")
                              .arg(stock.labelMm.width())
                              .arg(stock.labelMm.height())
                              .arg(stock.round ? QStringLiteral(", which is round") : QString()));
        for (std::size_t k = 0; k < i; ++k) {
            if (overlap(parts[i].box, parts[k].box))
                from.addFault(parts[i].key, QStringLiteral("it lies upon %1.").arg(parts[k].key));
        }
    }
    if (parts.empty())
        from.addFault(QStringLiteral("texts"),
                      QStringLiteral("nothing would be printed; give a code or texts."));
}

void checkGrid(TemplateObject &from, const LabelStock &stock)
{
    const QRectF last = stock.labelRectMm(stock.labelsPerPage() - 1);
    if (last.right() > stock.pageMm.width() + slackMm)
        from.addFault(QStringLiteral("grid"),
                      QStringLiteral("its columns end at %1 mm, beyond the page of %2 mm.")
                          .arg(last.right())
                          .arg(stock.pageMm.width()));
    if (last.bottom() > stock.pageMm.height() + slackMm)
        from.addFault(QStringLiteral("grid"),
                      QStringLiteral("its rows end at %1 mm, beyond the page of %2 mm.")
                          .arg(last.bottom())
                          .arg(stock.pageMm.height()));
}

} // namespace

QRectF LabelStock::labelRectMm(int position) const
{
    const int column = position % columns;
    const int row = position / columns;
    return QRectF(leftMm + column * (labelMm.width() + columnGapMm),
                  topMm + row * (labelMm.height() + rowGapMm), labelMm.width(), labelMm.height());
}

QStringList labelFieldNames()
{
    return {QStringLiteral("id"),           QStringLiteral("id_start"), QStringLiteral("id_end"),
            QStringLiteral("cruise"),       QStringLiteral("dive"),     QStringLiteral("kind"),
            QStringLiteral("description"),  QStringLiteral("time"),     QStringLiteral("date"),
            QStringLiteral("depth"),        QStringLiteral("position"), QStringLiteral("slot"),
            QStringLiteral("preservative"), QStringLiteral("hazard"),   QStringLiteral("container"),
            QStringLiteral("contact"),      QStringLiteral("copy")};
}

Result<LabelStock> readLabelStock(const QByteArray &json, const QString &name, const QString &where)
{
    auto root = TemplateObject::parse(json, where);
    if (!root)
        return root.error();
    LabelStock stock;
    stock.name = name;
    stock.title = root->text(QStringLiteral("title"));
    stock.use = root->text(QStringLiteral("use"), QString());
    stock.roll =
        root->word(QStringLiteral("media"), {QStringLiteral("sheet"), QStringLiteral("roll")}) == u"roll";
    stock.printerDpi = root->whole(QStringLiteral("printer_dpi"), 72, 4800);
    stock.round = root->word(QStringLiteral("shape"), {QStringLiteral("rectangle"), QStringLiteral("round")},
                             QStringLiteral("rectangle")) == u"round";
    stock.outline = root->flag(QStringLiteral("outline"), false);
    stock.copies = root->texts(QStringLiteral("copies"), {QString()});
    if (stock.copies.isEmpty() || stock.copies.size() > 20)
        root->addFault(QStringLiteral("copies"), QStringLiteral("give 1 to 20 words, one for each copy."));
    auto page = root->object(QStringLiteral("page"));
    readPage(page, stock);
    auto grid = root->object(QStringLiteral("grid"));
    readGrid(grid, stock);
    if (stock.roll)
        stock.pageMm.setHeight(stock.labelMm.height() + stock.rowGapMm);
    stock.codeMm = readCode(*root, QStringLiteral("code"));
    stock.secondCodeMm = readCode(*root, QStringLiteral("second_code"));
    if (stock.codeMm.isEmpty() && !stock.secondCodeMm.isEmpty())
        root->addFault(QStringLiteral("second_code"), QStringLiteral("there is no first one; call it code."));
    for (TemplateObject &text : root->objects(QStringLiteral("texts")))
        stock.texts.push_back(readText(text));
    for (TemplateObject &line : root->objects(QStringLiteral("pencil_lines")))
        stock.lines.push_back(readLine(line));
    root->finish();
    checkGrid(*root, stock);
    checkParts(*root, stock);
    if (const auto fault = root->fault())
        return *fault;
    return stock;
}

Result<LabelStock> loadLabelStock(const QString &folder, const QString &name)
{
    auto bytes = readTemplateFile(folder, name, QStringLiteral("label stock"));
    if (!bytes)
        return bytes.error();
    return readLabelStock(*bytes, name, QStringLiteral("Label stock %1.json").arg(name));
}

Result<std::vector<LabelStock>> loadLabelStocks(const QString &folder)
{
    std::vector<LabelStock> stocks;
    const QStringList names = templateNamesIn(folder);
    for (const QString &name : names) {
        auto stock = loadLabelStock(folder, name);
        if (!stock)
            return stock.error();
        stocks.push_back(std::move(*stock));
    }
    return stocks;
}

} // namespace holdfast
