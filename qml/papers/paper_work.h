// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"
#include "print/label_papers.h"
#include "print/packing_papers.h"

#include <QMap>
#include <QPrinter>
#include <memory>

namespace holdfast
{

// What the Papers screen does off the window's thread: lists the papers there are, lays one out, prints it.

/// A paper that can be chosen: a sheet by its layout, or labels on a stock.
struct Paper {
    enum class Kind { Custody, Report, HandOver, History, Packing, Labels };
    Kind kind = Kind::Custody;
    QString name, title, use;
    int perPage = 0; ///< labels on a page; 0: a sheet
};
/// The layouts of templates/sheets by kind, then the label stocks, a person's own last. What can't be read is
/// told in `faults`, a sentence each.
[[nodiscard]] std::vector<Paper> papersAtHand(QStringList &faults);

/// One thing that a person may fill in for a kind of paper.
struct PaperSetting {
    QString key, label, hint, value;
};
[[nodiscard]] std::vector<PaperSetting> settingsOf(Paper::Kind kind);

/// What is laid out: the paper, and the settings as typed.
struct PaperJob {
    QString path; ///< of the cruise file
    int dive = 0;
    Act act;
    Paper paper;
    QMap<QString, QString> settings;
    std::optional<LabelStock> draft;             ///< the stock while it is changed
    BlankRange blank = {.first = 1, .count = 0}; ///< numbers that were given away for this print
    [[nodiscard]] bool wantsBlank() const;
};
struct LaidPaper {
    std::shared_ptr<const PageDocument> document;
    QStringList notes;
    int labels = 0;
};
/// Opens a connection of its own. Errors: those of the papers; Usage for a setting that is no number.
[[nodiscard]] Result<LaidPaper> layOutPaper(const PaperJob &job);
/// How many blank labels are wanted. Usage when that is no number of 1 or more.
[[nodiscard]] Result<int> blankCount(const PaperJob &job);
/// The plan that the settings make of the packing list, for keeping it beside the cruise file.
[[nodiscard]] QString packingPlanPath(const QString &cruisePath);
[[nodiscard]] Result<PackingPlan> packingPlanOf(const PaperJob &job);

/// Prints on a printer, or into its PDF file: each page at its own size from the edge of the paper, dots as
/// the document wants them.
[[nodiscard]] Done printPages(const PageDocument &document, QPrinter &printer);

} // namespace holdfast
