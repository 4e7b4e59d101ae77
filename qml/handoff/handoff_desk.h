// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "about_desk.h"
#include "completeness_model.h"
#include "package_choices.h"

#include <QThreadPool>
#include <atomic>
#include <stop_token>

namespace holdfast
{

/// A package as the window made it, and what its own check says, the sum first.
struct PackageMadeHere {
    QString path;
    QStringList report;
    bool good = false;
};

/// The Hand-off place: what an archive would miss, the package with its progress, and the package's own
/// check. All of it is computed on a thread of its own through a connection of its own.
class HandoffDesk : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(holdfast::CompletenessModel *grid READ grid CONSTANT FINAL)
    Q_PROPERTY(QStringList titles READ titles NOTIFY changed FINAL)
    Q_PROPERTY(int row READ row NOTIFY changed FINAL)
    Q_PROPERTY(int column READ column NOTIFY changed FINAL)
    Q_PROPERTY(bool onlyOpen READ onlyOpen WRITE setOnlyOpen NOTIFY changed FINAL)
    Q_PROPERTY(QString answer READ answer NOTIFY changed FINAL)     ///< "75 missing, 42 doubtful"
    Q_PROPERTY(QString sentence READ sentence NOTIFY changed FINAL) ///< about the cell in hand
    Q_PROPERTY(
        QString mend READ mend NOTIFY changed FINAL) ///< where it is mended; empty when nothing is open there
    Q_PROPERTY(bool judging READ judging NOTIFY changed FINAL)
    Q_PROPERTY(bool making READ making NOTIFY changed FINAL)
    Q_PROPERTY(double progress READ progress NOTIFY progressed FINAL) ///< 0 .. 1
    Q_PROPERTY(QString doing READ doing NOTIFY progressed FINAL)
    Q_PROPERTY(
        QStringList report READ report NOTIFY changed FINAL) ///< of the package just made, line by line
    Q_PROPERTY(bool reportGood READ reportGood NOTIFY changed FINAL)
    Q_PROPERTY(int finding READ finding WRITE setFinding NOTIFY changed FINAL) ///< row of the report in hand
    Q_PROPERTY(QString findingItem READ findingItem NOTIFY changed FINAL) ///< what it names; empty: nothing
    Q_PROPERTY(holdfast::AboutDesk *about READ about CONSTANT FINAL)
    Q_PROPERTY(holdfast::PackageChoices *choices READ choices CONSTANT FINAL)

public:
    explicit HandoffDesk(Desk &desk, QObject *parent = nullptr);
    ~HandoffDesk() override;

    /// While the screen is not shown nothing is judged.
    Q_INVOKABLE void setShown(bool shown);
    Q_INVOKABLE void move(int rows, int columns);
    Q_INVOKABLE void choose(int row, int column);
    /// The next open cell after the one in hand, row by row.
    Q_INVOKABLE void nextOpen();
    /// Goes to the place that mends the cell in hand, with its sample or specimen in hand there; to the page
    /// about the data set with its field in hand.
    Q_INVOKABLE void goMend();
    /// Makes the package as it was chosen, or stops the one being made.
    Q_INVOKABLE void makeOrStop();
    /// Slides in the record of the sample or specimen that the finding in hand names.
    Q_INVOKABLE void showFinding();

    [[nodiscard]] CompletenessModel *grid() { return &m_grid; }
    [[nodiscard]] QStringList titles() const { return m_grid.titles(); }
    [[nodiscard]] int row() const { return m_row; }
    [[nodiscard]] int column() const { return m_column; }
    [[nodiscard]] bool onlyOpen() const { return m_onlyOpen; }
    void setOnlyOpen(bool onlyOpen);
    [[nodiscard]] QString answer() const;
    [[nodiscard]] QString sentence() const;
    [[nodiscard]] QString mend() const;
    [[nodiscard]] bool judging() const { return m_judging; }
    [[nodiscard]] bool making() const { return m_making; }
    [[nodiscard]] double progress() const { return m_progress; }
    [[nodiscard]] QString doing() const { return m_doing; }
    [[nodiscard]] QStringList report() const { return m_report; }
    [[nodiscard]] bool reportGood() const { return m_reportGood; }
    [[nodiscard]] int finding() const { return m_finding; }
    void setFinding(int row);
    [[nodiscard]] QString findingItem() const;
    [[nodiscard]] AboutDesk *about() { return &m_about; }
    [[nodiscard]] PackageChoices *choices() { return &m_choices; }

signals:
    void changed();
    void progressed();

private:
    void judge();
    void receive(const Result<CompletenessGrid> &grid, int turn);
    void finished(const Result<PackageMadeHere> &made);
    [[nodiscard]] const CompletenessCell *cell() const;

    Desk *m_desk;
    CompletenessModel m_grid;
    AboutDesk m_about;
    PackageChoices m_choices;
    int m_finding = 0;
    int m_row = 0, m_column = 0;
    std::atomic<int> m_turn = 0; ///< looked at on the thread that judges
    bool m_onlyOpen = true, m_judging = false, m_making = false, m_shown = false, m_stale = true;
    double m_progress = 0;
    QString m_doing, m_trouble;
    QStringList m_report;
    bool m_reportGood = false;
    std::stop_source m_stop;
    QThreadPool m_pool; ///< last: waits for its work before the rest goes
};

} // namespace holdfast
