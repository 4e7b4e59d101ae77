// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/sheet_layout.h"

#include "print/template_reader.h"

#include <numeric>

namespace holdfast
{

namespace
{

const QString custody = QStringLiteral("custody");
const QString packing = QStringLiteral("packing-list");
const QString report = QStringLiteral("dive-report");

std::vector<QString> fromList(const QStringList &list)
{
    return {list.cbegin(), list.cend()};
}

QStringList toList(const std::vector<QString> &list)
{
    return {list.cbegin(), list.cend()};
}

QSizeF readPaper(TemplateObject &from)
{
    const QString paper =
        from.word(QStringLiteral("paper"), {QStringLiteral("A4"), QStringLiteral("Letter")});
    const bool landscape = from.word(QStringLiteral("turned"), {QStringLiteral("upright"),
                                                                QStringLiteral("landscape")}) == u"landscape";
    const QSizeF upright = paper == u"A4" ? QSizeF(210, 297) : QSizeF(215.9, 279.4);
    return landscape ? upright.transposed() : upright;
}

SheetColumn readColumn(TemplateObject &from, const QStringList &fields)
{
    SheetColumn column;
    column.field = from.word(QStringLiteral("field"), fields);
    column.head = from.text(QStringLiteral("head"), QString());
    column.widthMm = from.number(QStringLiteral("width_mm"), 5, 300);
    column.right = from.word(QStringLiteral("align"), {QStringLiteral("left"), QStringLiteral("right")},
                             QStringLiteral("left")) == u"right";
    column.bold = from.flag(QStringLiteral("bold"), false);
    from.finish();
    return column;
}

void checkWidths(TemplateObject &from, const SheetLayout &layout)
{
    const double sum = std::accumulate(layout.columns.begin(), layout.columns.end(), 0.0,
                                       [](double s, const SheetColumn &c) { return s + c.widthMm; });
    const double room = layout.pageMm.width() - 2 * layout.marginMm;
    if (sum > room + 0.01)
        from.addFault(QStringLiteral("columns"),
                      QStringLiteral("they are %1 mm wide together; the paper has %2 mm "
                                     "between its margins.")
                          .arg(sum)
                          .arg(room));
    if (layout.columns.empty())
        from.addFault(QStringLiteral("columns"), QStringLiteral("the table needs at least one column."));
}

} // namespace

std::vector<QString> sheetSections(const QString &sheet)
{
    if (sheet == custody)
        return fromList({QStringLiteral("dive"), QStringLiteral("plan"), QStringLiteral("dive-and-plan"),
                         QStringLiteral("samples"), QStringLiteral("hand-overs"), QStringLiteral("history"),
                         QStringLiteral("amendments"), QStringLiteral("proof")});
    if (sheet == packing)
        return fromList({QStringLiteral("shipment"), QStringLiteral("cautions"), QStringLiteral("packages"),
                         QStringLiteral("hazards"), QStringLiteral("permits"), QStringLiteral("hand-overs")});
    if (sheet == report)
        return fromList({QStringLiteral("numbers"), QStringLiteral("map"), QStringLiteral("depth"),
                         QStringLiteral("water"), QStringLiteral("samples"), QStringLiteral("lost"),
                         QStringLiteral("feeds"), QStringLiteral("permits")});
    return {};
}

std::vector<QString> sheetFields(const QString &sheet)
{
    if (sheet == custody || sheet == report)
        return fromList(
            {QStringLiteral("id"),           QStringLiteral("time"),        QStringLiteral("slot"),
             QStringLiteral("kind"),         QStringLiteral("description"), QStringLiteral("what"),
             QStringLiteral("collected_by"), QStringLiteral("depth"),       QStringLiteral("temperature"),
             QStringLiteral("salinity"),     QStringLiteral("oxygen"),      QStringLiteral("water_flag"),
             QStringLiteral("position"),     QStringLiteral("uncertainty"), QStringLiteral("preservative"),
             QStringLiteral("storage"),      QStringLiteral("hazard"),      QStringLiteral("note"),
             QStringLiteral("condition"),    QStringLiteral("empty")});
    if (sheet == packing)
        return fromList({QStringLiteral("id"), QStringLiteral("what"), QStringLiteral("containers"),
                         QStringLiteral("preservative"), QStringLiteral("liquid"), QStringLiteral("hazard"),
                         QStringLiteral("temperature"), QStringLiteral("permits"), QStringLiteral("note"),
                         QStringLiteral("packed"), QStringLiteral("empty")});
    return {};
}

Result<SheetLayout> readSheetLayout(const QByteArray &json, const QString &name, const QString &where)
{
    auto root = TemplateObject::parse(json, where);
    if (!root)
        return root.error();
    SheetLayout layout;
    layout.name = name;
    layout.title = root->text(QStringLiteral("title"));
    layout.sheet = root->word(QStringLiteral("sheet"), {custody, packing, report});
    layout.pageMm = readPaper(*root);
    layout.marginMm = root->number(QStringLiteral("margin_mm"), 5, 40, layout.marginMm);
    layout.textPt = root->number(QStringLiteral("text_pt"), 5, 20, layout.textPt);
    layout.smallestPt = root->number(QStringLiteral("smallest_pt"), 4, 20, layout.smallestPt);
    if (layout.smallestPt > layout.textPt)
        root->addFault(QStringLiteral("smallest_pt"), QStringLiteral("must not be above text_pt."));
    layout.rowMm = root->number(QStringLiteral("row_mm"), 4, 40, layout.rowMm);
    layout.planHeightMm = root->number(QStringLiteral("plan_height_mm"), 20, 200, layout.planHeightMm);
    layout.sections = fromList(root->words(QStringLiteral("sections"), toList(sheetSections(layout.sheet))));
    for (TemplateObject &column : root->objects(QStringLiteral("columns")))
        layout.columns.push_back(readColumn(column, toList(sheetFields(layout.sheet))));
    root->finish();
    checkWidths(*root, layout);
    if (const auto fault = root->fault())
        return *fault;
    return layout;
}

Result<SheetLayout> loadSheetLayout(const QString &folder, const QString &name)
{
    auto bytes = readTemplateFile(folder, name, QStringLiteral("sheet layout"));
    if (!bytes)
        return bytes.error();
    return readSheetLayout(*bytes, name, QStringLiteral("Sheet layout %1.json").arg(name));
}

} // namespace holdfast
