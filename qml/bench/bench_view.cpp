// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench_view.h"

#include "custody/custody_book.h"
#include "custody/custody_lists.h"
#include "custody/held_acts.h"
#include "custody/specimens.h"
#include "dive/readers.h"

#include <QCoreApplication>
#include <QSet>
#include <algorithm>
#include <cmath>

namespace holdfast
{

namespace
{

QString labelOf(const SpecimenInfo &s)
{
    QStringList words{s.details.material};
    for (const QString &w :
         {s.details.purpose, s.details.count ? QStringLiteral("× %1").arg(*s.details.count) : QString(),
          s.details.massG.isEmpty() ? QString() : s.details.massG + QStringLiteral(" g"),
          s.details.sizeMm.isEmpty() ? QString() : s.details.sizeMm + QStringLiteral(" mm"),
          s.details.description}) {
        if (!w.isEmpty())
            words << w;
    }
    return words.join(QStringLiteral(", "));
}

/// Name, preservative (also as `in`), place and holder, as far as they are known.
Result<QString> stateOf(const Database &db, const CustodyBook &book, const QString &id, QString &in)
{
    QStringList words;
    const auto names = readIdentifications(db, id);
    if (!names)
        return names.error();
    if (!names->empty())
        words << (names->back().qualifier + QLatin1Char(' ') + names->back().name).trimmed();
    const auto preserved = readPreservedNow(db, id);
    if (!preserved)
        return preserved.error();
    if (*preserved) {
        in = (*preserved)->preservative;
        words << ((*preserved)->item == id ? QStringLiteral("in %1").arg(in)
                                           : QStringLiteral("in %1, from %2").arg(in, (*preserved)->item));
    }
    const CustodyChain chain = book.chainOf(id);
    if (const CustodyPeriod *now = chain.last())
        words << custodyText(*now);
    return words.join(QStringLiteral(" · "));
}

/// Each item followed by what was split off it, in order of number.
void addBelow(const std::vector<SpecimenInfo> &all, const QString &parent, int level,
              std::vector<TreeItem> &out)
{
    std::vector<const SpecimenInfo *> here;
    for (const SpecimenInfo &s : all) {
        if (s.parent == parent)
            here.push_back(&s);
    }
    std::sort(here.begin(), here.end(), [](const auto *a, const auto *b) { return a->number < b->number; });
    for (const SpecimenInfo *s : here) {
        out.push_back(
            {s->id,
             s->details.material,
             s->details.purpose,
             s->state == QLatin1String("void") ? labelOf(*s) + QStringLiteral(" (void)") : labelOf(*s),
             {},
             {},
             level,
             !s->details.foundOn.isEmpty(),
             false});
        addBelow(all, s->id, level + 1, out);
    }
}

Result<std::vector<TreeItem>> treeOf(const Database &db, const QString &sampleId, const DueList &due)
{
    std::vector<TreeItem> tree;
    const auto sample = readSample(db, sampleId);
    if (!sample)
        return sample.error();
    QString label = sample->kind;
    if (sample->count > 1)
        label += QStringLiteral(" × %1").arg(sample->count);
    if (!sample->description.isEmpty())
        label += QStringLiteral(", ") + sample->description;
    tree.push_back({sample->id, sample->kind, {}, label, {}, {}, 0, false, false});
    const auto parts = readSpecimens(db, sampleId);
    if (!parts)
        return parts.error();
    addBelow(*parts, sampleId, 1, tree);
    const auto book = CustodyBook::readOf(db, sampleId);
    if (!book)
        return book.error();
    QSet<QString> over;
    for (const DueItem &d : due.due) {
        if (d.clock.state == ClockState::Over)
            over.insert(d.item.id);
    }
    for (TreeItem &item : tree) {
        auto state = stateOf(db, *book, item.id, item.in);
        if (!state)
            return state.error();
        item.state = *state;
        item.over = over.contains(item.id);
    }
    return tree;
}

} // namespace

Result<BenchView> readBench(const Database &db, const HoldingRules &rules, int dive, const QString &sample,
                            UtcTime now)
{
    BenchView view;
    auto due = readDue(db, rules, now);
    if (!due)
        return due.error();
    view.due = std::move(*due);
    const auto samples = readSamples(db, dive);
    if (!samples)
        return samples.error();
    for (const SampleInfo &s : *samples)
        view.samples << s.id;
    auto place =
        query(db.connection(),
              QStringLiteral("SELECT s.place FROM storage s JOIN ledger l ON l.uuid=s.entry ORDER BY "
                             "l.lamport DESC, l.station DESC, l.seq DESC LIMIT 1"));
    if (!place)
        return place.error();
    if (place->next())
        view.place = place->text(0);
    QString shown = sample;
    if (shown.isEmpty() && !view.due.due.empty())
        shown = view.due.due.front().item.sample;
    if (shown.isEmpty() && !view.samples.isEmpty())
        shown = view.samples.front();
    if (shown.isEmpty())
        return view;
    auto tree = treeOf(db, shown, view.due);
    if (!tree)
        return tree.error();
    view.tree = std::move(*tree);
    return view;
}

QString leftText(double minutes)
{
    const int whole = static_cast<int>(std::abs(minutes));
    const QString span = whole < 120    ? QStringLiteral("%1 min").arg(whole)
                         : whole < 2880 ? QStringLiteral("%1 h").arg(whole / 60)
                                        : QStringLiteral("%1 d").arg(whole / 1440);
    return minutes < 0 ? QCoreApplication::translate("BenchDesk", "over by %1").arg(span)
                       : QCoreApplication::translate("BenchDesk", "%1 left").arg(span);
}

} // namespace holdfast
