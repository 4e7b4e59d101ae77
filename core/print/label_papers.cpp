// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/label_papers.h"

#include "custody/items.h"
#include "custody/not_found.h"
#include "custody/specimens.h"
#include "print/page_text.h"
#include "print/stock_shelf.h"
#include "print/valued_samples.h"

#include <QHash>
#include <algorithm>

namespace holdfast
{

namespace
{

/// Makes labels one by one; knows the cruise and remembers the dives it has read.
class LabelMaker
{
public:
    [[nodiscard]] static Result<LabelMaker> begin(const Database &db, const QString &contact)
    {
        const auto cruise = readCruise(db);
        if (!cruise)
            return cruise.error();
        auto table = substanceTable();
        if (!table)
            return table.error();
        auto missing = readNotFound(db);
        if (!missing)
            return missing.error();
        LabelMaker maker(db, cruise->code, std::move(*table), contact);
        maker.m_notFound = std::move(*missing);
        return maker;
    }

    /// A sample that was not there on deck; null for all others.
    [[nodiscard]] const NotFound *notFound(const QString &sample) const
    {
        const auto one = std::find_if(m_notFound.begin(), m_notFound.end(),
                                      [&sample](const NotFound &n) { return n.sample == sample; });
        return one == m_notFound.end() ? nullptr : &*one;
    }

    [[nodiscard]] LabelContent blank(const QString &id, int dive) const
    {
        return {.id = id, .cruise = m_cruise, .dive = QString::number(dive), .contact = m_contact};
    }

    Result<LabelContent> ofSample(const ValuedSample &v)
    {
        LabelContent label = blank(v.sample.id, v.sample.dive);
        label.kind = v.sample.kind;
        label.description = v.sample.description;
        label.slot = v.sample.slot;
        addMoment(v, label);
        return withKeeping(std::move(label));
    }

    Result<LabelContent> ofSpecimen(const SpecimenInfo &specimen, const ValuedSample &v)
    {
        LabelContent label = blank(specimen.id, v.sample.dive);
        label.kind = specimen.details.material;
        label.description = joinedValues({specimen.details.purpose, specimen.details.description});
        addMoment(v, label);
        return withKeeping(std::move(label));
    }

    Result<const std::vector<ValuedSample> *> samplesOf(int dive)
    {
        if (!m_dives.contains(dive)) {
            auto samples = valuedSamples(*m_db, dive);
            if (!samples)
                return samples.error();
            m_dives.insert(dive, std::move(*samples));
        }
        return &m_dives[dive];
    }

    Result<LabelContent> ofItem(const Item &item)
    {
        const auto samples = samplesOf(item.dive);
        if (!samples)
            return samples.error();
        const auto found = std::find_if((*samples)->begin(), (*samples)->end(),
                                        [&](const ValuedSample &v) { return v.sample.id == item.sample; });
        if (found == (*samples)->end())
            return fail(ErrorKind::NotFound, QStringLiteral("Sample %1 is not there.").arg(item.sample));
        if (item.parent.isEmpty())
            return ofSample(*found);
        const auto specimen = readSpecimen(*m_db, item.id);
        if (!specimen)
            return specimen.error();
        return ofSpecimen(*specimen, *found);
    }

private:
    LabelMaker(const Database &db, QString cruise, SubstanceTable table, QString contact)
        : m_db(&db), m_cruise(std::move(cruise)), m_table(std::move(table)), m_contact(std::move(contact))
    {
    }

    static void addMoment(const ValuedSample &v, LabelContent &label)
    {
        if (v.span)
            label.found = foundText(*v.span);
        else
            label.time = v.sample.time;
        label.depthM = v.depthM();
        label.latitudeDeg = v.fix.latitudeDeg;
        label.longitudeDeg = v.fix.longitudeDeg;
    }

    Result<LabelContent> withKeeping(LabelContent label)
    {
        const auto kept = keptNow(*m_db, label.id, m_table);
        if (!kept)
            return kept.error();
        label.preservative = kept->preservative;
        label.hazard = kept->hazard;
        label.container = kept->containerOf();
        return label;
    }

    const Database *m_db;
    QString m_cruise;
    SubstanceTable m_table;
    QString m_contact;
    std::vector<NotFound> m_notFound;
    QHash<int, std::vector<ValuedSample>> m_dives;
};

Result<std::vector<LabelContent>> blankContents(const Database &db, const LabelOrder &order,
                                                LabelMaker &maker)
{
    const auto ids = blankLabelIds(db, order.dive, order.blank);
    if (!ids)
        return ids.error();
    std::vector<LabelContent> labels;
    for (const QString &id : *ids)
        labels.push_back(maker.blank(id, order.dive));
    return labels;
}

Result<std::vector<LabelContent>> listedContents(const Database &db, const LabelOrder &order,
                                                 LabelMaker &maker)
{
    std::vector<LabelContent> labels;
    for (const QString &typed : order.ids) {
        const auto item = readItem(db, typed);
        if (!item)
            return item.error();
        if (item->state == QLatin1String("void"))
            return fail(ErrorKind::Refused,
                        QStringLiteral("%1 is void; no label is printed for it.").arg(item->id));
        if (const NotFound *one = maker.notFound(item->sample))
            return fail(ErrorKind::Refused,
                        QStringLiteral("%1 %2; no label is printed until it is recorded where it is.")
                            .arg(one->sample, notFoundWords(*one)));
        auto label = maker.ofItem(*item);
        if (!label)
            return label.error();
        labels.push_back(std::move(*label));
    }
    return labels;
}

Result<std::vector<LabelContent>> diveContents(const Database &db, const LabelOrder &order, LabelMaker &maker)
{
    const auto samples = maker.samplesOf(order.dive);
    if (!samples)
        return samples.error();
    std::vector<LabelContent> labels;
    for (const ValuedSample &v : **samples) {
        if (v.sample.state != QLatin1String("held") || maker.notFound(v.sample.id))
            continue;
        if (order.of != LabelOrder::Of::Specimens) {
            auto label = maker.ofSample(v);
            if (!label)
                return label.error();
            labels.push_back(std::move(*label));
        }
        if (order.of == LabelOrder::Of::Samples)
            continue;
        auto specimens = readSpecimens(db, v.sample.id);
        if (!specimens)
            return specimens.error();
        std::sort(specimens->begin(), specimens->end(),
                  [](const SpecimenInfo &a, const SpecimenInfo &b) { return a.id < b.id; });
        for (const SpecimenInfo &specimen : *specimens) {
            if (specimen.state == QLatin1String("void"))
                continue;
            auto label = maker.ofSpecimen(specimen, v);
            if (!label)
                return label.error();
            labels.push_back(std::move(*label));
        }
    }
    if (labels.empty())
        return fail(ErrorKind::NotFound,
                    QStringLiteral("Dive %1 has no %2 yet, so there is no label to print.")
                        .arg(order.dive)
                        .arg(order.of == LabelOrder::Of::Specimens ? QStringLiteral("specimens")
                                                                   : QStringLiteral("samples")));
    return labels;
}

} // namespace

Result<std::vector<LabelContent>> labelContents(const Database &db, const LabelOrder &order)
{
    auto maker = LabelMaker::begin(db, order.contact);
    if (!maker)
        return maker.error();
    if (order.blank.count == 0 && !order.ids.isEmpty())
        return listedContents(db, order, *maker);
    if (auto known = readDive(db, order.dive); !known)
        return known.error();
    return order.blank.count > 0 ? blankContents(db, order, *maker) : diveContents(db, order, *maker);
}

Result<LabelSheets> labelSheets(const Database &db, const LabelOrder &order)
{
    LabelJob job;
    job.startPosition = order.startPosition;
    job.copies = order.copies;
    job.printerDpi = order.printerDpi;
    job.acceptFineCode = order.acceptFineCode;
    if (order.draft) {
        job.stock = *order.draft;
    } else {
        auto found = labelStock(order.stock);
        if (!found)
            return found.error();
        job.stock = std::move(*found);
    }
    // The others only serve to name one that works; a bad file among them must not stop this print.
    auto others = labelStocks();
    if (others)
        job.others = std::move(*others);
    auto labels = labelContents(db, order);
    if (!labels)
        return labels.error();
    job.labels = std::move(*labels);
    auto sheets = layoutLabels(job);
    if (sheets && order.blank.count == 0 && order.ids.isEmpty()) {
        const auto missing = readNotFound(db);
        if (!missing)
            return missing.error();
        for (const NotFound &one : *missing) {
            if (one.dive == order.dive)
                sheets->notes << QStringLiteral(
                                     "%1 %2; no label is printed for it until it is recorded where it is.")
                                     .arg(one.sample, notFoundWords(one));
        }
    }
    if (sheets && !others)
        sheets->notes << others.error().sentence;
    return sheets;
}

} // namespace holdfast
