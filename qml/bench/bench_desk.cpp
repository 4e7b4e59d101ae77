// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench_desk.h"

#include "custody/entry_amendment.h"
#include "custody/specimens.h"

#include <algorithm>

namespace holdfast
{

namespace
{

struct ActForm {
    QString act, title;
    QStringList fields;
};

QString t(const char *text)
{
    return QString::fromUtf8(text);
}

const std::vector<ActForm> &forms()
{
    static const std::vector<ActForm> all{
        {t("split"),
         t("Split off"),
         {t("material"), t("purpose"), t("count"), t("mass, g"), t("size, mm"), t("words"),
          t("found on (id of its host)")}},
        {t("preserve"),
         t("Preserve"),
         {t("preservative"), t("percent"), t("base (formalin or formaldehyde)"), t("container")}},
        {t("identify"),
         t("Identify"),
         {t("name"), t("rank"), t("qualifier"), t("identified by"), t("remark")}},
        {t("photograph"), t("Photograph"), {t("image file"), t("what it shows")}},
        {t("store"), t("Store"), {t("place, from the largest part to the smallest"), t("temperature, C")}},
        {t("correct"),
         t("Correct"),
         {t("field (material, purpose, count, mass, size, description, kind)"), t("right value"),
          t("reason")}},
        {t("void"), t("Void what was split by mistake"), {t("reason; its number is not given again")}},
    };
    return all;
}

const ActForm *formOf(const QString &act)
{
    const auto form =
        std::find_if(forms().begin(), forms().end(), [&act](const ActForm &f) { return f.act == act; });
    return form == forms().end() ? nullptr : &*form;
}

} // namespace

BenchDesk::BenchDesk(Desk &desk, QObject *parent) : QObject(parent), m_desk(&desk)
{
    auto rules = HoldingRules::load();
    if (rules)
        m_rules.emplace(std::move(*rules));
    else
        m_desk->notices().say(t("holding"), Notices::Weight::Problem, rules.error().sentence);
    connect(m_desk, &Desk::refreshed, this, &BenchDesk::read);
    // Minutes run down without anybody writing.
    m_clock.setInterval(30000);
    connect(&m_clock, &QTimer::timeout, this, &BenchDesk::read);
    m_clock.start();
}

void BenchDesk::read()
{
    if (!m_desk->isOpen() || !m_rules)
        return;
    if (m_desk->dive() != m_dive) {
        m_dive = m_desk->dive();
        m_sample.clear();
        m_row = -1;
    }
    const quint64 turn = ++m_turn;
    m_reader.read<BenchView>(
        m_desk->path(),
        [rules = *m_rules, dive = m_dive, sample = m_sample, now = m_desk->act().now](
            const CruiseFile &file) { return readBench(file.db(), rules, dive, sample, now); },
        this,
        [this, turn](const Result<BenchView> &view) {
            if (turn != m_turn)
                return;
            if (!view)
                return m_desk->notices().say(t("bench"), Notices::Weight::Problem, view.error().sentence);
            receive(*view);
        });
}

void BenchDesk::receive(const BenchView &view)
{
    m_view = view;
    const QString before = m_wanted.isEmpty() && m_row >= 0 && m_row < m_tree.rowCount()
                               ? m_tree.items()[static_cast<std::size_t>(m_row)].id
                               : m_wanted;
    m_tree.update(m_view.tree);
    m_sample = m_view.tree.empty() ? QString() : m_view.tree.front().id;
    m_wanted.clear();
    m_row = std::max(m_tree.rowOf(before), m_tree.rowCount() > 0 ? 0 : -1);
    emit changed();
}

void BenchDesk::showSample(const QString &sample, const QString &item)
{
    m_sample = sample;
    m_wanted = item;
    m_tree.clearMarks();
    m_row = -1; // until the wanted one has been read, no key may act on the one before
    read();
    emit changed();
}

void BenchDesk::show(const Item &item)
{
    cancel();
    showSample(item.sample, item.id);
}

void BenchDesk::openDue(int row)
{
    if (row >= 0 && row < static_cast<int>(m_view.due.due.size())) {
        const Item &item = m_view.due.due[static_cast<std::size_t>(row)].item;
        showSample(item.sample, item.id);
    }
}

void BenchDesk::nextSample(int step)
{
    if (m_view.samples.isEmpty())
        return;
    const auto here = m_view.samples.indexOf(m_sample);
    const auto to = std::clamp<qsizetype>(here + step, 0, m_view.samples.size() - 1);
    showSample(m_view.samples.at(to), m_view.samples.at(to));
}

void BenchDesk::setRow(int row)
{
    const int bounded = std::clamp(row, m_tree.rowCount() > 0 ? 0 : -1, m_tree.rowCount() - 1);
    if (bounded == m_row)
        return;
    m_row = bounded;
    emit changed();
}

void BenchDesk::mark()
{
    m_tree.mark(m_row);
    emit changed();
}

QStringList BenchDesk::chosen() const
{
    QStringList ids = m_tree.marked();
    if (ids.isEmpty() && m_row >= 0 && m_row < m_tree.rowCount())
        ids << m_tree.items()[static_cast<std::size_t>(m_row)].id;
    for (const QString &id : m_scanned) {
        if (!ids.contains(id))
            ids << id;
    }
    return ids;
}

void BenchDesk::begin(const QString &act)
{
    if (m_busy || chosen().isEmpty() || !formOf(act))
        return;
    m_act = act;
    m_scanned.clear();
    m_trouble.clear();
    m_cautions.clear();
    m_values = QStringList(QList<QString>(formOf(act)->fields.size()));
    m_proposal.clear();
    m_itemCautions = {};
    propose();
    readCautions();
    emit troubleChanged();
    emit cautionsChanged();
    emit actChanged();
}

/// Fills in what the holding table and the last act say; a person may change all of it.
void BenchDesk::propose()
{
    const QString id = chosen().front();
    const int row = m_tree.rowOf(id);
    const HoldingLimit *limit = nullptr;
    Item item;
    if (row >= 0) {
        item.what = m_tree.items()[static_cast<std::size_t>(row)].what;
        item.purpose = m_tree.items()[static_cast<std::size_t>(row)].purpose;
    }
    if (m_rules)
        limit = m_rules->of(item);
    if (m_act == t("split"))
        m_values[0] = item.what;
    if (m_act == t("identify"))
        m_values[3] = m_desk->person();
    if (m_act == t("preserve") && limit && !limit->preservatives.isEmpty()) {
        m_values[0] = limit->preservatives.front();
        typed(0, m_values[0]);
    }
    if (m_act == t("store"))
        m_values[0] = m_view.place;
    if (!limit || (m_act != t("preserve") && m_act != t("store")))
        return;
    QStringList words;
    if (m_act == t("preserve") && !limit->preservatives.isEmpty())
        words << tr("usual: %1").arg(limit->preservatives.join(tr(" or ")));
    words << tr("held at %1 to %2 C").arg(limit->lowestC).arg(limit->highestC);
    if (!limit->note.isEmpty())
        words << limit->note;
    m_proposal = words.join(QStringLiteral("; ")) + QStringLiteral(" (%1)").arg(limit->source);
}

void BenchDesk::typed(int field, const QString &text)
{
    if (field < 0 || field >= m_values.size())
        return;
    m_values[field] = text;
    if (field != 0 || !m_rules || (m_act != t("preserve") && m_act != t("store")))
        return;
    const QStringList cautions = m_rules->limits.cautionsFor(text);
    if (cautions == m_cautions)
        return;
    m_cautions = cautions;
    emit cautionsChanged();
}

/// Of what the chosen things are in and of what they are: a jar is opened to split what is in it.
void BenchDesk::readCautions()
{
    if (!m_rules)
        return;
    m_reader.read<ItemCautions>(
        m_desk->path(),
        [ids = chosen(), table = m_rules->limits](const CruiseFile &file) {
            return cautionsOfItems(file.db(), ids, table);
        },
        this,
        [this, act = m_act](const Result<ItemCautions> &cautions) {
            if (m_act != act || !cautions)
                return;
            m_itemCautions = *cautions;
            emit cautionsChanged();
        });
}

QStringList BenchDesk::cautions() const
{
    QStringList all = m_cautions;
    const bool moved = m_act == t("split") || m_act == t("store");
    for (const QString &caution : moved ? m_itemCautions.all() : m_itemCautions.substances) {
        if (!all.contains(caution))
            all << caution;
    }
    return all;
}

void BenchDesk::cancel()
{
    if (m_busy)
        return;
    leave();
}

void BenchDesk::leave()
{
    m_act.clear();
    m_scanned.clear();
    emit actChanged();
    emit changed();
}

CruiseWriter::Work BenchDesk::workOf(std::shared_ptr<HeldNotice> notice) const
{
    const Act act = m_desk->act();
    const QStringList ids = chosen();
    const QStringList v = m_values;
    const auto at = [v](int i) { return v.value(i).trimmed(); };
    const auto held = [notice](const Result<HeldNotice> &result) -> Done {
        if (!result)
            return result.error();
        *notice = *result;
        return {};
    };
    if (m_act == t("preserve"))
        return [=, rules = *m_rules](CruiseFile &file) -> Done {
            return held(
                preserveItems(file, act, ids, {at(0), at(1), at(2).toLower(), at(3), 1, 1, act.now}, rules));
        };
    if (m_act == t("store"))
        return [=, rules = *m_rules](CruiseFile &file) -> Done {
            return held(storeItems(file, act, ids, at(0), at(1), act.now, rules));
        };
    if (m_act == t("identify"))
        return [=](CruiseFile &file) -> Done {
            return identifyItems(file, act, ids, {{}, at(0), at(1), at(2), at(3), {}, at(4), {}, {}});
        };
    if (m_act == t("correct"))
        return [=](CruiseFile &file) -> Done {
            const auto kinds = KindTable::load();
            if (!kinds)
                return kinds.error();
            return amendItems(file, act, ids, at(0), at(1), at(2), *kinds);
        };
    if (m_act == t("void"))
        return [=](CruiseFile &file) -> Done { return voidSpecimens(file, act, ids, at(0)); };
    return [=](CruiseFile &file) -> Done {
        SpecimenDetails d;
        d.material = at(0);
        d.purpose = at(1);
        if (!at(2).isEmpty()) {
            bool whole = false;
            d.count = at(2).toInt(&whole);
            if (!whole)
                return fail(ErrorKind::Usage,
                            QStringLiteral("The count must be a whole number, not \"%1\".").arg(at(2)));
        }
        d.massG = at(3);
        d.sizeMm = at(4);
        d.description = at(5);
        d.foundOn = at(6);
        const auto made = splitSpecimens(file, act, ids, d);
        return made ? Done() : Done(made.error());
    };
}

void BenchDesk::give()
{
    if (m_busy || m_act.isEmpty() || chosen().isEmpty())
        return;
    // One act is recorded once, however often the key is pressed before it is saved.
    m_busy = true;
    emit busyChanged();
    if (m_act == t("photograph"))
        return givePhotograph();
    const auto notice = std::make_shared<HeldNotice>();
    const ActForm *form = formOf(m_act);
    m_desk->write(form->title, workOf(notice),
                  [this, notice](const Done &result) { finish(result, *notice); });
}

/// A film takes seconds to read: stamps must not wait for that on the writer's thread.
void BenchDesk::givePhotograph()
{
    const QString cruise = m_desk->path();
    m_reader.read<Photograph>(
        cruise, [path = value(0)](const CruiseFile &) { return readPhotograph(path); }, this,
        [this, cruise, act = m_desk->act(), ids = chosen(), caption = value(1),
         title = formOf(m_act)->title](const Result<Photograph> &seen) {
            if (!seen)
                return finish(seen.error(), {});
            if (m_desk->path() != cruise)
                return finish(
                    fail(ErrorKind::Refused, tr("Another cruise was opened: no photograph was linked.")), {});
            m_desk->write(
                title,
                [act, ids, caption, photo = *seen](CruiseFile &file) -> Done {
                    const auto linked = linkPhotographs(file, act, ids, photo, caption);
                    return linked ? Done() : Done(linked.error());
                },
                [this](const Done &result) { finish(result, {}); });
        });
}

void BenchDesk::finish(const Done &result, const HeldNotice &notice)
{
    m_busy = false;
    emit busyChanged();
    m_trouble = result ? QString() : result.error().sentence;
    emit troubleChanged();
    if (!result)
        return;
    if (notice.warnings.isEmpty())
        m_desk->notices().settle(t("bench"));
    else
        m_desk->notices().say(t("bench"), Notices::Weight::Care,
                              tr("Recorded, with a warning: %1.").arg(notice.warnings.join(t("; "))));
    const QString act = m_act;
    m_tree.clearMarks();
    leave();
    emit done(act);
}

void BenchDesk::take(const Item &item)
{
    if (m_act.isEmpty())
        return showSample(item.sample, item.id);
    if (!chosen().contains(item.id))
        m_scanned << item.id;
    readCautions();
    emit changed();
    emit actChanged();
}

QString BenchDesk::answer() const
{
    if (!m_desk->isOpen())
        return tr("no cruise is open");
    if (m_view.due.due.empty())
        return tr("nothing is due");
    const DueItem &first = m_view.due.due.front();
    return tr("%1 %2, %3").arg(first.item.id, first.clock.what, leftText(first.clock.leftMinutes));
}

QStringList BenchDesk::due() const
{
    QStringList lines;
    for (const DueItem &d : m_view.due.due)
        lines << QStringLiteral("%1  %2  %3 · %4%5")
                     .arg(d.clock.state == ClockState::Over      ? t("!!")
                          : d.clock.state == ClockState::Warning ? t("!")
                                                                 : t("·"),
                          leftText(d.clock.leftMinutes), d.item.id, d.clock.what,
                          d.question.isEmpty() ? QString() : QStringLiteral(" · ") + d.question);
    return lines;
}

QStringList BenchDesk::dueWeights() const
{
    QStringList words;
    for (const DueItem &d : m_view.due.due)
        words << clockWord(d.clock.state);
    return words;
}

QString BenchDesk::actTitle() const
{
    const ActForm *form = formOf(m_act);
    return form ? QStringLiteral("%1: %2").arg(form->title, chosen().join(t(", "))) : QString();
}

QStringList BenchDesk::fieldNames() const
{
    const ActForm *form = formOf(m_act);
    return form ? form->fields : QStringList();
}

} // namespace holdfast
