// SPDX-License-Identifier: GPL-3.0-or-later
#include "undo_list.h"

namespace holdfast
{

UndoList::UndoList(Desk &desk, QObject *parent) : QObject(parent), m_desk(&desk)
{
    connect(m_desk, &Desk::leaving, this, [this] { // the steps belong to the file that is left
        m_steps.clear();
        m_path.clear();
        emit changed();
    });
    connect(m_desk, &Desk::refreshed, this, &UndoList::begin);
}

void UndoList::begin()
{
    if (m_desk->path() == m_path)
        return;
    m_path = m_desk->path();
    m_steps.clear(); // those of another file
    if (const SnapshotPtr s = m_desk->snapshot(); s && s->lastUndo)
        m_steps.push_back(
            {tr("%1, done before this window was opened").arg(s->lastUndo->sentence), s->lastUndo->work});
    emit changed();
}

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
