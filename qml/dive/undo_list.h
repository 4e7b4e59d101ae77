// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "desk.h"

#include <functional>

namespace holdfast
{

/// What can be taken back in this window, the last first. Taking back is an amendment: the record keeps both.
/// A file that was just opened gives the last thing that was done at its station (core/dive/last_undo.h).
class UndoList : public QObject
{
    Q_OBJECT
public:
    struct Step {
        QString sentence; ///< what is taken back: "the stamp of 14:22:07"
        std::function<Done(CruiseFile &, const Act &)> work;
    };
    static constexpr std::size_t mostSteps = 50;

    explicit UndoList(Desk &desk, QObject *parent = nullptr);

    void remember(Step step);
    /// Takes the last one back; when that is refused it stays.
    void undo();
    /// What undo() would take back; empty: nothing.
    [[nodiscard]] QString next() const { return m_steps.empty() ? QString() : m_steps.back().sentence; }

signals:
    void changed();

private:
    void begin();

    Desk *m_desk;
    QString m_path; ///< of the file that the steps are of
    std::vector<Step> m_steps;
};

} // namespace holdfast
