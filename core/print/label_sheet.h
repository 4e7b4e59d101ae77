// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "print/label_stock.h"
#include "print/page_document.h"

#include <optional>

namespace holdfast
{

/// What one label says. Everything but the id may be missing; what is missing is not printed. A pre-printed
/// label that is bound to a sample later by scanning has only id, cruise and dive.
struct LabelContent {
    QString id = {};          ///< without its check character: "TK26-04-017.2"
    QString cruise = {};      ///< "TK26"
    QString dive = {};        ///< "4"; printed as "dive 4"
    QString kind = {};        ///< "coral", "basalt"
    QString description = {}; ///< the words of the logger
    std::optional<UtcTime> time = {};
    std::optional<double> depthM = {};       ///< positive down
    std::optional<double> latitudeDeg = {};  ///< WGS 84, north positive
    std::optional<double> longitudeDeg = {}; ///< east positive
    QString slot = {};                       ///< "B2"
    QString preservative = {};               ///< with its concentration: "ethanol 95 %"
    QString hazard = {};                     ///< "FLAMMABLE"
    QString container = {};                  ///< "2 of 3"
    QString contact = {};                    ///< who to tell when it is found
    QString found = {}; ///< of a find: the span in which it was collected, instead of `time`
};

struct LabelJob {
    LabelStock stock = {};
    std::vector<LabelContent> labels = {};
    int startPosition = 1;               ///< the first free label of a part-used sheet, from 1
    std::optional<int> copies = {};      ///< instead of the stock's own copies
    std::optional<int> printerDpi = {};  ///< instead of the stock's own printer
    bool acceptFineCode = false;         ///< a person has accepted modules below the limits of qr.h
    std::vector<LabelStock> others = {}; ///< to name the nearest stock that works in a refusal
};

struct LabelSheets {
    PageDocument document;
    int printed = 0; ///< labels, with copies
    QStringList notes =
        {}; ///< one sentence for each thing a person should know: what was shortened, fine codes
};

/// Lays labels out on their stock. Errors: Usage (no labels, a start position or copies out of range, an id
/// that can't be printed), Refused (a code that is too fine and not accepted, with the reason and the nearest
/// stock that works; a text that may not be cut and does not fit). Needs a QGuiApplication.
[[nodiscard]] Result<LabelSheets> layoutLabels(const LabelJob &job);

/// The value of one field as printed; empty when it is missing. `copy` is the word of this copy.
[[nodiscard]] QString labelFieldText(const LabelContent &content, const QString &field,
                                     const QString &copy = {});

} // namespace holdfast
