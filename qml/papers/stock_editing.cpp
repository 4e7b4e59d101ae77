// SPDX-License-Identifier: GPL-3.0-or-later
// The part of the Papers screen that changes a label stock with the page in sight.
#include "papers_desk.h"

#include "print/stock_shelf.h"

namespace holdfast
{

void PapersDesk::draftChanged(int typedRow)
{
    std::vector<FieldList::Field> fields{
        {tr("Stock"), tr("kept as"), m_draft->name(), tr("letters, digits, - and _"), false}};
    for (const StockDraft::Row &row : m_draft->rows())
        fields.push_back({row.part, row.label, row.value, row.hint, false});
    m_fields.update(fields, typedRow);
    const auto stock = m_draft->stock();
    m_trouble = stock ? QString() : stock.error().sentence;
    if (stock) {
        m_draftStock = *stock;
        m_typing.start();
    }
    emit changed(); // the page stays as it last was while the draft is wrong
}

void PapersDesk::edit()
{
    if (!isLabels() || editing())
        return;
    m_pool.start([this, name = paper()->name] {
        const auto json = labelStockJson(name);
        const auto draft = json ? StockDraft::fromJson(*json, name) : Result<StockDraft>(json.error());
        const bool own = isOwnStock(name);
        QMetaObject::invokeMethod(this, [this, draft, own, name] {
            if (!draft) {
                tell(draft.error());
                return;
            }
            if (editing() || !isLabels() || paper()->name != name)
                return; // another paper was chosen meanwhile
            m_draft = *draft;
            if (!own)
                m_draft->setName(QStringLiteral("my-") + name);
            m_draftStock.reset();
            showFields();
            draftChanged(-1);
            emit editBegan();
        });
    });
}

void PapersDesk::leaveEditing()
{
    m_draft.reset();
    m_draftStock.reset();
    m_trouble.clear();
    showFields();
    layOut();
}

void PapersDesk::addText()
{
    if (!m_draft)
        return;
    m_draft->addText();
    showFields();
    draftChanged(-1);
}

void PapersDesk::addLine()
{
    if (!m_draft)
        return;
    m_draft->addLine();
    showFields();
    draftChanged(-1);
}

void PapersDesk::removePart()
{
    if (!m_draft || m_inHand < 1 || !m_draft->remove(static_cast<std::size_t>(m_inHand - 1)))
        return;
    showFields();
    draftChanged(-1);
}

void PapersDesk::keepStock()
{
    if (!m_draft)
        return;
    m_pool.start([this, name = m_draft->name(), json = m_draft->json()] {
        const Done saved = saveOwnStock(name, json);
        QStringList faults;
        auto papers = saved ? papersAtHand(faults) : std::vector<Paper>();
        QMetaObject::invokeMethod(this, [this, saved, name, papers = std::move(papers), faults] {
            if (!saved) {
                m_trouble = saved.error().sentence;
                emit changed();
                return;
            }
            m_draft.reset();
            m_draftStock.reset();
            m_trouble.clear();
            takePapers(papers, faults, name);
            tell(tr("Kept as your own stock: %1").arg(name));
            emit stockKept();
        });
    });
}

QRectF PapersDesk::markedMm() const
{
    if (!m_draft || !m_draftStock || m_inHand < 1)
        return {};
    const QRectF place = m_draft->placeMm(static_cast<std::size_t>(m_inHand - 1));
    return place.isEmpty() ? QRectF() : place.translated(m_draftStock->labelRectMm(start() - 1).topLeft());
}

QRectF PapersDesk::closeUpMm() const
{
    constexpr double aroundMm = 2;
    if (markedMm().isEmpty())
        return {};
    return m_draftStock->labelRectMm(start() - 1).adjusted(-aroundMm, -aroundMm, aroundMm, aroundMm);
}

} // namespace holdfast
