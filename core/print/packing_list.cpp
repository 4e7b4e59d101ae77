// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/packing_list.h"

#include "base/check_character.h"
#include "base/ids.h"
#include "print/hand_over_block.h"
#include "print/sheet_flow.h"
#include "print/value_text.h"

#include <QMap>
#include <QSet>

namespace holdfast
{

namespace
{

QString orMissing(const QString &text)
{
    return text.isEmpty() ? missingText() : text;
}

const Substance *substanceOf(const PackingListContent &content, const PackingItem &item)
{
    return item.substance.isEmpty() ? content.substances.named(item.preservative)
                                    : content.substances.find(item.substance);
}

/// Adds up one package's share of a substance.
class HazardAdder
{
public:
    explicit HazardAdder(const PackingListContent &content) : m_content(content) {}

    void addPackage(const ShippingPackage &package)
    {
        QSet<QString> here;
        for (const PackingItem &item : package.items) {
            if (item.preservative.isEmpty() && item.substance.isEmpty())
                continue;
            HazardSum &sum = sumOf(substanceOf(m_content, item), item.preservative, here);
            sum.containers += item.containers.value_or(1);
            if (item.liquidMl)
                sum.liquidMl += *item.liquidMl;
            else
                ++sum.withoutQuantity;
        }
        for (const QString &coolant : package.coolant.split(QStringLiteral("; "), Qt::SkipEmptyParts))
            ++sumOf(m_content.substances.named(coolant), coolant, here).withoutQuantity;
    }

    [[nodiscard]] std::vector<HazardSum> sums() const
    {
        std::vector<HazardSum> all;
        for (const Substance &s : m_content.substances.substances) {
            if (const auto found = m_known.constFind(s.key); found != m_known.cend())
                all.push_back(*found);
        }
        for (const HazardSum &sum : m_unknown)
            all.push_back(sum);
        return all;
    }

private:
    HazardSum &sumOf(const Substance *substance, const QString &name, QSet<QString> &here)
    {
        HazardSum &sum = substance ? m_known[substance->key] : m_unknown[name.toLower()];
        sum.substance = substance;
        if (sum.name.isEmpty())
            sum.name = name;
        const QString key = substance ? substance->key : QStringLiteral("?") + name.toLower();
        if (!here.contains(key))
            ++sum.packages;
        here.insert(key);
        return sum;
    }

    const PackingListContent &m_content;
    QMap<QString, HazardSum> m_known;
    QMap<QString, HazardSum> m_unknown;
};

class PackingListPages
{
public:
    PackingListPages(const PackingListContent &content, const SheetLayout &layout)
        : m_content(content), m_layout(layout), m_flow(layout, frameOf(content))
    {
    }

    PageDocument make()
    {
        for (const QString &section : m_layout.sections) {
            if (section == u"shipment")
                drawShipment();
            else if (section == u"cautions")
                drawCautions();
            else if (section == u"packages")
                drawPackages();
            else if (section == u"hazards")
                drawHazards();
            else if (section == u"permits")
                drawPermits();
            else if (section == u"hand-overs")
                drawHandOvers();
        }
        return std::move(m_flow).finish(QStringLiteral("Packing list %1").arg(m_content.shipment));
    }

private:
    static SheetFrame frameOf(const PackingListContent &c)
    {
        SheetFrame frame;
        frame.title = QStringLiteral("Packing list");
        frame.subtitle = joinedValues({c.shipment, c.cruise});
        frame.warning = c.closed ? QString() : QStringLiteral("DRAFT: packages are open");
        frame.footLeft =
            QStringLiteral("printed by %1, %2").arg(orMissing(c.printedBy), dateTimeText(c.printedAt));
        frame.footMiddle = c.remark;
        return frame;
    }

    void drawShipment()
    {
        qsizetype items = 0;
        for (const ShippingPackage &p : m_content.packages)
            items += static_cast<qsizetype>(p.items.size());
        m_flow.pairs({{QStringLiteral("from"), orMissing(m_content.consignor)},
                      {QStringLiteral("to"), orMissing(m_content.consignee)},
                      {QStringLiteral("carrier"), orMissing(m_content.carrier)},
                      {QStringLiteral("waybill"), orMissing(m_content.waybill)},
                      {QStringLiteral("packages"), QString::number(m_content.packages.size())},
                      {QStringLiteral("samples and specimens"), QString::number(items)}},
                     2);
    }

    void drawCautions()
    {
        m_flow.heading(QStringLiteral("Read first"), 12);
        for (const QString &caution : m_content.substances.cautions)
            m_flow.paragraph(caution, m_layout.textPt);
    }

    [[nodiscard]] QString cell(const PackingItem &item, const QString &field) const
    {
        if (field == u"id")
            return printedId(item.id);
        if (field == u"what")
            return orMissing(item.what);
        if (field == u"containers")
            return item.containers ? QString::number(*item.containers) : missingText();
        if (field == u"preservative")
            return orMissing(item.preservative);
        if (field == u"liquid")
            return numberText(item.liquidMl, 0);
        if (field == u"hazard") {
            if (const Substance *s = substanceOf(m_content, item))
                return s->un + QStringLiteral(", class ") + s->hazardClass;
            return item.preservative.isEmpty() ? missingText() : QStringLiteral("not in the table");
        }
        if (field == u"temperature")
            return orMissing(item.temperature);
        if (field == u"permits")
            return orMissing(item.permits.join(QStringLiteral(", ")));
        if (field == u"note")
            return item.note;
        return {};
    }

    void drawPackages()
    {
        for (const ShippingPackage &package : m_content.packages) {
            m_flow.heading(
                joinedValues({QStringLiteral("Package ") + orMissing(package.number), package.kind}), 26);
            m_flow.pairs({{QStringLiteral("gross mass (kg)"), numberText(package.grossKg, 1)},
                          {QStringLiteral("keep at"), orMissing(package.temperature)},
                          {QStringLiteral("coolant"), orMissing(package.coolant)},
                          {QStringLiteral("seal numbers"), orMissing(package.seals)}},
                         4);
            std::vector<SheetRow> rows;
            for (const PackingItem &item : package.items) {
                SheetRow row;
                for (const SheetColumn &column : m_layout.columns)
                    row.cells.append(cell(item, column.field));
                rows.push_back(std::move(row));
            }
            m_flow.table(m_layout.columns, rows, m_layout.rowMm,
                         [](SheetFlow &flow, std::size_t, const SheetColumn &column, const QRectF &area) {
                             if (column.field != u"packed")
                                 return false;
                             flow.add(BoxMark{
                                 .rectMm = QRectF(area.center().x() - 1.7, area.center().y() - 1.7, 3.4, 3.4),
                                 .lineMm = 0.25});
                             return true;
                         });
        }
    }

    [[nodiscard]] static QString quantity(const HazardSum &sum)
    {
        QStringList parts;
        if (sum.liquidMl > 0)
            parts.append(numberText(sum.liquidMl, 0) + QStringLiteral(" ml"));
        if (sum.withoutQuantity > 0)
            parts.append(QStringLiteral("%1 without a quantity").arg(sum.withoutQuantity));
        return parts.join(QStringLiteral(" and "));
    }

    void drawHazards()
    {
        const auto sums = sumHazards(m_content);
        m_flow.heading(QStringLiteral("Dangerous goods in all packages"), 22);
        if (sums.empty()) {
            m_flow.paragraph(
                QStringLiteral(
                    "No preservative or coolant is recorded for anything in these packages. That is no "
                    "word that there is none: ask whoever packed them before they travel."),
                m_layout.textPt);
            return;
        }
        const double w = m_flow.width() / 100;
        const std::vector<SheetColumn> columns{
            {{}, QStringLiteral("UN number"), 11 * w, false, true},
            {{}, QStringLiteral("Proper shipping name"), 20 * w, false, false},
            {{}, QStringLiteral("Class"), 7 * w, false, false},
            {{}, QStringLiteral("Packing group"), 9 * w, false, false},
            {{}, QStringLiteral("Packages"), 8 * w, true, false},
            {{}, QStringLiteral("Containers"), 8.5 * w, true, false},
            {{}, QStringLiteral("Quantity"), 12.5 * w, false, true},
            {{}, QStringLiteral("Reminder"), 24 * w, false, false}};
        std::vector<SheetRow> rows;
        for (const HazardSum &sum : sums) {
            const Substance *s = sum.substance;
            const QString packages = QString::number(sum.packages);
            const QString containers = sum.containers > 0 ? QString::number(sum.containers) : missingText();
            rows.push_back(SheetRow{
                .cells =
                    s ? QStringList{s->un, s->shippingName, s->hazardClass, s->packingGroup, packages,
                                    containers, quantity(sum), s->caution + QLatin1Char('\n') + s->source}
                      : QStringList{missingText(), sum.name, missingText(), missingText(), packages,
                                    containers, quantity(sum),
                                    QStringLiteral(
                                        "Not in the table: see its safety data sheet before it travels.")}});
        }
        m_flow.table(columns, rows, m_layout.rowMm);
    }

    void drawPermits()
    {
        m_flow.heading(QStringLiteral("Permits"), 14);
        const double w = m_flow.width() / 100;
        const std::vector<SheetColumn> columns{{{}, QStringLiteral("Number"), 22 * w, false, true},
                                               {{}, QStringLiteral("Authority"), 30 * w, false, false},
                                               {{}, QStringLiteral("Valid until"), 14 * w, false, false},
                                               {{}, QStringLiteral("Covers"), 34 * w, false, false}};
        std::vector<SheetRow> rows;
        QSet<QString> described;
        for (const SheetPermit &p : m_content.permits) {
            rows.push_back(SheetRow{.cells = {orMissing(p.number), orMissing(p.authority),
                                              p.validUntil ? dateText(*p.validUntil) : missingText(),
                                              orMissing(p.covers)}});
            described.insert(p.number);
        }
        if (!rows.empty())
            m_flow.table(columns, rows, m_layout.rowMm);
        drawPermitWarnings(described);
    }

    void drawPermitWarnings(const QSet<QString> &described)
    {
        QMap<QString, int> undescribed;
        int without = 0;
        for (const ShippingPackage &package : m_content.packages) {
            for (const PackingItem &item : package.items) {
                without += item.permits.isEmpty();
                for (const QString &number : item.permits) {
                    if (!described.contains(number))
                        ++undescribed[number];
                }
            }
        }
        m_flow.gap(1.5);
        for (auto it = undescribed.cbegin(); it != undescribed.cend(); ++it)
            m_flow.paragraph(
                QStringLiteral("Permit %1 is named by %2 of the items but is not described here.")
                    .arg(it.key())
                    .arg(it.value()),
                m_layout.textPt);
        if (without > 0)
            m_flow.paragraph(QStringLiteral("%1 of the items name no permit. Find out whether they need one.")
                                 .arg(without),
                             m_layout.textPt);
    }

    void drawHandOvers()
    {
        if (m_content.blankHandOvers < 1)
            return;
        m_flow.heading(QStringLiteral("Hand-over of the closed packages"), handOverHeightMm());
        for (int i = 0; i < m_content.blankHandOvers; ++i)
            drawHandOver(m_flow, HandOver{}, i + 1);
    }

    const PackingListContent &m_content;
    const SheetLayout &m_layout;
    SheetFlow m_flow;
};

} // namespace

std::vector<HazardSum> sumHazards(const PackingListContent &content)
{
    HazardAdder adder(content);
    for (const ShippingPackage &package : content.packages)
        adder.addPackage(package);
    return adder.sums();
}

Result<PageDocument> layoutPackingList(const PackingListContent &content, const SheetLayout &layout)
{
    if (layout.sheet != u"packing-list")
        return fail(ErrorKind::Usage,
                    QStringLiteral("The layout %1 is for another sheet (%2), not for a packing list.")
                        .arg(layout.name, layout.sheet));
    if (content.packages.empty())
        return fail(ErrorKind::Usage, QStringLiteral("There are no packages to list."));
    for (const ShippingPackage &package : content.packages) {
        for (const PackingItem &item : package.items) {
            if (!checkCharacter(item.id))
                return fail(ErrorKind::Usage,
                            QStringLiteral("\"%1\" in package %2 can't be printed as an id.")
                                .arg(item.id, package.number));
            if (!item.substance.isEmpty() && !content.substances.find(item.substance))
                return fail(ErrorKind::Usage,
                            QStringLiteral("%1 is said to be in \"%2\", which is not in the table of "
                                           "substances.")
                                .arg(item.id, item.substance));
        }
    }
    return PackingListPages(content, layout).make();
}

} // namespace holdfast
