// SPDX-License-Identifier: GPL-3.0-or-later
#include "undo_list.h"

namespace holdfast
{

void UndoList::remember(Step step)
{
    m_steps.push_back(std::move(step));
    if (m_steps.size() > mostSteps)
        m_steps.erase(m_steps.begin());
    emit changed();
}

void UndoList::undo()
{
    if (m_steps.empty())
        return;
    const Step last = m_steps.back();
    m_steps.pop_back();
    emit changed();
    const auto work = [last, now = m_desk->act()](CruiseFile &file) { return last.work(file, now); };
    m_desk->write(tr("Taking back %1").arg(last.sentence), work, [this, last](const Done &done) {
        if (done)
            m_desk->notices().say(QStringLiteral("undo"), Notices::Weight::Note,
                                  tr("Taken back: %1. The record keeps both.").arg(last.sentence));
        else
            remember(last);
    });
}

} // namespace holdfast
