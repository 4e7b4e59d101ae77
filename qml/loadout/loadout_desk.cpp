// SPDX-License-Identifier: GPL-3.0-or-later
#include "loadout_desk.h"

#include "base/template_folder.h"
#include "base/user_templates.h"

#include <QRegularExpression>

namespace holdfast
{

namespace
{

constexpr std::size_t mostEarlier = 200;

QVariantMap placeOf(const QRect &area, const QSize &plan)
{
    return {{QStringLiteral("x"), double(area.x()) / plan.width()},
            {QStringLiteral("y"), double(area.y()) / plan.height()},
            {QStringLiteral("width"), double(area.width()) / plan.width()},
            {QStringLiteral("height"), double(area.height()) / plan.height()}};
}

QStringList wordsOf(const QString &text)
{
    static const QRegularExpression between(QStringLiteral("[\\s,]+"));
    return text.toLower().split(between, Qt::SkipEmptyParts);
}

} // namespace

void LoadoutDesk::say(const QString &said)
{
    m_said = said;
    emit changed();
}

void LoadoutDesk::keep()
{
    m_earlier.push_back(m_draft);
    if (m_earlier.size() > mostEarlier)
        m_earlier.erase(m_earlier.begin());
    m_said.clear();
}

BoxDraft *LoadoutDesk::box()
{
    return m_current < 0 || m_current >= static_cast<int>(m_draft.boxes.size())
               ? nullptr
               : &m_draft.boxes[static_cast<std::size_t>(m_current)];
}

void LoadoutDesk::begin(const QString &templateName)
{
    m_earlier.clear();
    m_draft = {};
    m_current = -1;
    m_said.clear();
    if (templateName.isEmpty())
        return addBox();
    const auto json = readTemplate(QStringLiteral("loadouts"), templateName);
    const auto loadout = json ? parseLoadout(*json, templateName) : Result<Loadout>(json.error());
    if (!loadout)
        return say(loadout.error().sentence);
    m_draft = draftOf(*loadout);
    m_current = m_draft.boxes.empty() ? -1 : 0;
    emit changed();
}

void LoadoutDesk::step(int by)
{
    const int n = static_cast<int>(m_draft.boxes.size());
    if (n == 0)
        return;
    m_current = (m_current + by + n) % n;
    emit changed();
}

void LoadoutDesk::addBox()
{
    keep();
    m_current = static_cast<int>(holdfast::addBox(m_draft));
    emit changed();
}

void LoadoutDesk::removeBox()
{
    if (!box())
        return;
    keep();
    m_draft.boxes.erase(m_draft.boxes.begin() + m_current);
    m_current = std::min(m_current, static_cast<int>(m_draft.boxes.size()) - 1);
    emit changed();
}

void LoadoutDesk::move(int dxMm, int dyMm)
{
    if (!box())
        return;
    keep();
    moveBox(m_draft, static_cast<std::size_t>(m_current), {dxMm, dyMm});
    emit changed();
}

void LoadoutDesk::stretch(int dxMm, int dyMm)
{
    if (!box())
        return;
    keep();
    stretchBox(m_draft, static_cast<std::size_t>(m_current), {dxMm, dyMm});
    emit changed();
}

void LoadoutDesk::setField(const QString &field, const QString &text)
{
    if (!box() || fields().value(field).toString() == text.trimmed())
        return;
    keep();
    BoxDraft &b = *box();
    const QString value = text.trimmed();
    if (field == QLatin1String("title"))
        b.title = value;
    else if (field == QLatin1String("container"))
        b.container = value;
    else if (field == QLatin1String("where"))
        b.where = value;
    else if (field == QLatin1String("accepts"))
        b.accepts = wordsOf(value);
    else if (field == QLatin1String("unload")) {
        bool whole = false;
        const int order = value.toInt(&whole);
        if (!whole || order < 0)
            return say(tr("The order of unloading is a whole number, 0 or more; the lowest comes first."));
        b.unload = order;
    } else if (field == QLatin1String("marks")) {
        const QStringList words = wordsOf(value);
        for (const QString &word : words) {
            if (word != QLatin1String("lid") && word != QLatin1String("mixing") &&
                word != QLatin1String("round"))
                return say(tr("\"%1\" is no mark of a box: lid, mixing and round are.").arg(word));
        }
        b.lid = words.contains(QLatin1String("lid"));
        b.mixing = words.contains(QLatin1String("mixing"));
        b.round = words.contains(QLatin1String("round"));
    } else if (field == QLatin1String("slots")) {
        const auto grid = parseSlotGrid(value);
        if (!grid)
            return say(grid.error().sentence);
        layOutSlots(b, *grid);
    }
    emit changed();
}

void LoadoutDesk::undo()
{
    if (m_earlier.empty())
        return;
    m_draft = std::move(m_earlier.back());
    m_earlier.pop_back();
    m_current = std::min(m_current, static_cast<int>(m_draft.boxes.size()) - 1);
    say({});
}

bool LoadoutDesk::save()
{
    const QStringList wrong = faults();
    if (!wrong.isEmpty()) {
        say(tr("Not saved. %1").arg(wrong.first()));
        return false;
    }
    const auto saved = saveUserTemplate(QStringLiteral("loadouts"), m_draft.name, jsonOf(m_draft));
    say(saved ? tr("Saved as %1; plan a dive with that name.").arg(m_draft.name) : saved.error().sentence);
    return saved.has_value();
}

void LoadoutDesk::setName(const QString &name)
{
    if (name == m_draft.name)
        return;
    keep();
    m_draft.name = name.trimmed();
    emit changed();
}

void LoadoutDesk::setTitle(const QString &title)
{
    if (title == m_draft.title)
        return;
    keep();
    m_draft.title = title.trimmed();
    emit changed();
}

double LoadoutDesk::aspect() const
{
    return double(m_draft.size.width()) / std::max(1, m_draft.size.height());
}

QVariantList LoadoutDesk::boxes() const
{
    QVariantList all;
    for (std::size_t i = 0; i < m_draft.boxes.size(); ++i) {
        const BoxDraft &b = m_draft.boxes[i];
        QVariantList slotList;
        for (const SlotSpec &slot : b.slotList) {
            QVariantMap place = placeOf(slot.area, m_draft.size);
            place.insert(QStringLiteral("code"), slot.code);
            slotList.append(place);
        }
        QVariantMap place = placeOf(b.area, m_draft.size);
        place.insert(QStringLiteral("title"), b.title);
        place.insert(QStringLiteral("round"), b.round);
        place.insert(QStringLiteral("chosen"), static_cast<int>(i) == m_current);
        place.insert(QStringLiteral("slots"), slotList);
        all.append(place);
    }
    return all;
}

QVariantMap LoadoutDesk::fields() const
{
    const auto *b = const_cast<LoadoutDesk *>(this)->box();
    if (!b)
        return {};
    QStringList codes;
    for (const SlotSpec &slot : b->slotList)
        codes << slot.code;
    QStringList marks;
    for (const auto &[word, on] : {std::pair{"lid", b->lid}, {"mixing", b->mixing}, {"round", b->round}}) {
        if (on)
            marks << QLatin1String(word);
    }
    return {{QStringLiteral("title"), b->title},
            {QStringLiteral("container"), b->container},
            {QStringLiteral("where"), b->where},
            {QStringLiteral("accepts"), b->accepts.join(QLatin1Char(' '))},
            {QStringLiteral("slots"), codes.join(QLatin1Char(' '))},
            {QStringLiteral("unload"), QString::number(b->unload)},
            {QStringLiteral("marks"), marks.join(QLatin1Char(' '))}};
}

QString LoadoutDesk::measures() const
{
    const auto *b = const_cast<LoadoutDesk *>(this)->box();
    return b ? tr("%1 x %2 mm at %3, %4")
                   .arg(b->area.width())
                   .arg(b->area.height())
                   .arg(b->area.x())
                   .arg(b->area.y())
             : QString();
}

} // namespace holdfast
