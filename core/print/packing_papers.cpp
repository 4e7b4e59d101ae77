// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/packing_papers.h"

#include "custody/custody_lists.h"
#include "custody/item_cautions.h"
#include "custody/preservation.h"
#include "custody/specimens.h"
#include "print/dive_papers.h"
#include "print/page_text.h"
#include "print/template_reader.h"
#include "print/valued_samples.h"

#include <QDate>
#include <QJsonArray>
#include <QJsonDocument>
#include <QJsonObject>
#include <QMap>
#include <QTimeZone>
#include <algorithm>
#include <utility>

namespace holdfast
{

namespace
{

constexpr double mostKg = 100000;
constexpr double mostMl = 1e7;

QString key(const char *name)
{
    return QString::fromLatin1(name);
}

PlannedPackage readPackage(TemplateObject &from)
{
    PlannedPackage planned;
    ShippingPackage &p = planned.package;
    p.number = from.text(key("number"));
    p.kind = from.text(key("kind"), QString());
    if (from.has(key("gross_kg")))
        p.grossKg = from.number(key("gross_kg"), 0, mostKg);
    p.temperature = from.text(key("temperature"), QString());
    p.seals = from.text(key("seals"), QString());
    p.coolant = from.text(key("coolant"), QString());
    planned.ids = from.texts(key("items"), {});
    planned.place = from.text(key("place"), QString());
    for (TemplateObject &one : from.objects(key("liquids"))) {
        const QString id = one.text(key("item"));
        planned.liquidMl.insert(id, one.number(key("ml"), 0, mostMl));
        one.finish();
    }
    from.finish();
    return planned;
}

SheetPermit readPermit(TemplateObject &from)
{
    SheetPermit permit;
    permit.number = from.text(key("number"));
    permit.authority = from.text(key("authority"), QString());
    permit.covers = from.text(key("covers"), QString());
    const QString until = from.text(key("valid_until"), QString());
    if (!until.isEmpty()) {
        const QDate day = QDate::fromString(until, Qt::ISODate);
        if (day.isValid())
            permit.validUntil = parseIsoUtc((until + QStringLiteral("T00:00:00Z")).toStdString());
        else
            from.addFault(key("valid_until"),
                          QStringLiteral("expected a date as in 2027-01-31, found \"%1\".").arg(until));
    }
    from.finish();
    return permit;
}

/// Nobody chose these one by one: what can't be packed now is told, the rest is packed.
void noteLeftOut(const AtPlace &there, QStringList &notes)
{
    for (const QString &why : there.leftOut) {
        const QString note = QStringLiteral("Left out: %1").arg(why);
        if (!notes.contains(note))
            notes << note;
    }
}

/// Fills the packages of a list from the record.
class Packer
{
public:
    Packer(const Database &db, const HoldingTable &holding, PackingPapers &papers)
        : m_db(&db), m_holding(&holding), m_papers(&papers)
    {
    }

    Done add(const PlannedPackage &planned)
    {
        ShippingPackage package = planned.package;
        QStringList ids = planned.ids;
        if (!planned.place.trimmed().isEmpty()) {
            const auto there = readAtHand(*m_db, planned.place);
            if (!there)
                return there.error();
            noteLeftOut(*there, m_papers->notes);
            if (there->atHand.empty())
                return fail(ErrorKind::NotFound,
                            QStringLiteral("Nothing is stored at \"%1\" for package %2%3")
                                .arg(planned.place, package.number,
                                     there->leftOut.isEmpty()
                                         ? QStringLiteral(".")
                                         : QStringLiteral(" that is at hand. ") + there->leftOut.front()));
            for (const StorageInfo &stored : there->atHand)
                ids << stored.item;
        }
        for (const QString &typed : ids) {
            auto item = itemOf(typed, planned, package.number);
            if (!item)
                return item.error();
            package.items.push_back(std::move(*item));
        }
        package.coolant = coolantsOf(package.coolant);
        if (package.items.empty())
            return fail(ErrorKind::Usage,
                        QStringLiteral("Package %1 is empty: name items or a place.").arg(package.number));
        m_papers->content.packages.push_back(std::move(package));
        return {};
    }

    [[nodiscard]] const QMap<QString, QString> &packed() const { return m_packed; }

private:
    /// The coolant of the plan, and those that the places of the items name: what lay in a dry ice box may
    /// travel in it.
    QString coolantsOf(const QString &planned)
    {
        const SubstanceTable &table = m_papers->content.substances;
        QStringList coolants = planned.split(QStringLiteral("; "), Qt::SkipEmptyParts);
        for (const QString &place : std::exchange(m_places, {})) {
            const Substance *const substance = table.named(place);
            const bool known = std::any_of(coolants.begin(), coolants.end(),
                                           [&](const QString &one) { return table.named(one) == substance; });
            if (substance && !known)
                coolants << QStringLiteral("stored at %1").arg(place);
        }
        return coolants.join(QStringLiteral("; "));
    }

    Result<PackingItem> itemOf(const QString &typed, const PlannedPackage &planned, const QString &package)
    {
        const auto item = readItemAtHand(*m_db, typed);
        if (!item)
            return item.error();
        if (const QString other = m_packed.value(item->id); !other.isEmpty())
            return fail(
                ErrorKind::Duplicate,
                QStringLiteral("%1 is in package %2 and again in package %3.").arg(item->id, other, package));
        m_packed.insert(item->id, package);
        const auto sample = readSample(*m_db, item->sample);
        if (!sample)
            return sample.error();
        const auto kept = keptNow(*m_db, item->id, m_papers->content.substances);
        if (!kept)
            return kept.error();
        if (!kept->place.isEmpty() && !m_places.contains(kept->place))
            m_places << kept->place;
        if (auto done = noteProtected(item->id); !done)
            return done.error();
        PackingItem out;
        out.id = item->id;
        out.what = joinedValues({item->what, item->parent.isEmpty() ? sample->description : item->purpose});
        if (!kept->container.isEmpty())
            out.containers = 1;
        out.preservative = joinedValues({kept->preservativeInFull, kept->container});
        // The words of the container must not be read as those of a substance.
        if (const Substance *s = m_papers->content.substances.named(kept->preservative))
            out.substance = s->key;
        out.temperature = kept->temperature;
        if (!sample->permit.isEmpty())
            out.permits << sample->permit;
        if (planned.liquidMl.contains(typed))
            out.liquidMl = planned.liquidMl.value(typed);
        else if (planned.liquidMl.contains(item->id))
            out.liquidMl = planned.liquidMl.value(item->id);
        return out;
    }

    /// Kinds that may be protected: the caution stands on the list, once.
    Done noteProtected(const QString &id)
    {
        const auto cautions = cautionsOfItems(*m_db, {id}, *m_holding);
        if (!cautions)
            return cautions.error();
        QStringList &all = m_papers->content.substances.cautions;
        for (const QString &caution : cautions->kinds) {
            if (!all.contains(caution))
                all << caution;
        }
        return {};
    }

    const Database *m_db;
    const HoldingTable *m_holding;
    PackingPapers *m_papers;
    QMap<QString, QString> m_packed; ///< id, package
    QStringList m_places;            ///< where the items of the package in hand lie
};

/// A package for each place where something is stored.
Result<std::vector<PlannedPackage>> packagesByPlace(const Database &db, QStringList &notes)
{
    const auto stored = readAtHand(db, {});
    if (!stored)
        return stored.error();
    noteLeftOut(*stored, notes);
    std::vector<PlannedPackage> packages;
    for (const StorageInfo &one : stored->atHand) {
        if (packages.empty() || packages.back().package.kind != one.place) {
            PlannedPackage next;
            next.package.number = QString::number(packages.size() + 1);
            next.package.kind = one.place;
            packages.push_back(next);
        }
        packages.back().ids << one.item;
    }
    if (packages.empty())
        return fail(ErrorKind::NotFound,
                    QStringLiteral("Nothing is stored anywhere yet; store samples at places, or name the "
                                   "packages in a plan."));
    return packages;
}

/// Samples that are neither on the list nor stored away as parts on it.
Done noteWhatIsLeft(const Database &db, const QMap<QString, QString> &packed, QStringList &notes)
{
    const auto dives = readDives(db);
    if (!dives)
        return dives.error();
    QStringList left;
    for (const DiveInfo &dive : *dives) {
        const auto samples = readSamples(db, dive.number);
        if (!samples)
            return samples.error();
        for (const SampleInfo &s : *samples) {
            if (s.state == QLatin1String("held") && !packed.contains(s.id))
                left << s.id;
        }
    }
    if (!left.isEmpty())
        notes << QStringLiteral("%1 held %2 not on this list: %3%4.")
                     .arg(left.size())
                     .arg(left.size() == 1 ? QStringLiteral("sample is") : QStringLiteral("samples are"))
                     .arg(left.mid(0, 6).join(QStringLiteral(", ")),
                          left.size() > 6 ? QStringLiteral(" and %1 more").arg(left.size() - 6) : QString());
    return {};
}

} // namespace

Result<PackingPlan> readPackingPlan(const QByteArray &json, const QString &where)
{
    auto root = TemplateObject::parse(json, where);
    if (!root)
        return root.error();
    PackingPlan plan;
    plan.shipment = root->text(key("shipment"), QString());
    plan.consignor = root->text(key("consignor"), QString());
    plan.consignee = root->text(key("consignee"), QString());
    plan.carrier = root->text(key("carrier"), QString());
    plan.waybill = root->text(key("waybill"), QString());
    plan.closed = root->flag(key("closed"), false);
    for (TemplateObject &one : root->objects(key("packages")))
        plan.packages.push_back(readPackage(one));
    for (TemplateObject &one : root->objects(key("permits")))
        plan.permits.push_back(readPermit(one));
    root->finish();
    if (const auto fault = root->fault())
        return *fault;
    return plan;
}

QByteArray packingPlanJson(const PackingPlan &plan)
{
    QJsonArray packages;
    for (const PlannedPackage &p : plan.packages) {
        QJsonArray liquids;
        for (auto it = p.liquidMl.cbegin(); it != p.liquidMl.cend(); ++it)
            liquids.append(QJsonObject{{key("item"), it.key()}, {key("ml"), it.value()}});
        QJsonObject one{{key("number"), p.package.number},
                        {key("kind"), p.package.kind},
                        {key("temperature"), p.package.temperature},
                        {key("seals"), p.package.seals},
                        {key("coolant"), p.package.coolant},
                        {key("items"), QJsonArray::fromStringList(p.ids)},
                        {key("place"), p.place},
                        {key("liquids"), liquids}};
        if (p.package.grossKg)
            one.insert(key("gross_kg"), *p.package.grossKg);
        packages.append(one);
    }
    QJsonArray permits;
    for (const SheetPermit &p : plan.permits)
        permits.append(
            QJsonObject{{key("number"), p.number},
                        {key("authority"), p.authority},
                        {key("covers"), p.covers},
                        {key("valid_until"), p.validUntil ? toIso(*p.validUntil).left(10) : QString()}});
    return QJsonDocument(QJsonObject{{key("shipment"), plan.shipment},
                                     {key("consignor"), plan.consignor},
                                     {key("consignee"), plan.consignee},
                                     {key("carrier"), plan.carrier},
                                     {key("waybill"), plan.waybill},
                                     {key("closed"), plan.closed},
                                     {key("packages"), packages},
                                     {key("permits"), permits}})
        .toJson();
}

Result<PackingPapers> packingList(const Database &db, const PackingPlan &plan, const QString &printedBy,
                                  UtcTime printedAt)
{
    const auto cruise = readCruise(db);
    if (!cruise)
        return cruise.error();
    auto table = substanceTable();
    if (!table)
        return table.error();
    PackingPapers papers;
    PackingListContent &content = papers.content;
    content.shipment = plan.shipment;
    content.cruise = cruise->code;
    content.consignor = plan.consignor;
    content.consignee = plan.consignee;
    content.carrier = plan.carrier;
    content.waybill = plan.waybill;
    content.closed = plan.closed;
    content.permits = plan.permits;
    content.substances = std::move(*table);
    content.printedBy = printedBy;
    content.printedAt = printedAt;
    std::vector<PlannedPackage> packages = plan.packages;
    if (packages.empty()) {
        auto byPlace = packagesByPlace(db, papers.notes);
        if (!byPlace)
            return byPlace.error();
        packages = std::move(*byPlace);
    }
    const auto holding = HoldingTable::load();
    if (!holding)
        return holding.error();
    Packer packer(db, *holding, papers);
    for (const PlannedPackage &package : packages) {
        if (auto done = packer.add(package); !done)
            return done.error();
    }
    if (auto done = noteWhatIsLeft(db, packer.packed(), papers.notes); !done)
        return done.error();
    return papers;
}

Result<PackingPages> packingListPages(const Database &db, const PackingPlan &plan, const QString &layout,
                                      const QString &printedBy, UtcTime printedAt)
{
    const auto found = sheetLayout(layout);
    if (!found)
        return found.error();
    auto papers = packingList(db, plan, printedBy, printedAt);
    if (!papers)
        return papers.error();
    auto document = layoutPackingList(papers->content, *found);
    if (!document)
        return document.error();
    return PackingPages{std::move(*document), std::move(papers->notes)};
}

} // namespace holdfast
