// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "print/label_stock.h"

namespace holdfast
{

// The label stocks at hand: those that came with the program, and a person's own, which stay when the program
// is replaced.

/// The folder of a person's own label stocks: "labels" in the folder that the environment variable
/// HOLDFAST_OWN_TEMPLATES names, else in the data folder of the account. It need not be there.
[[nodiscard]] QString ownStockFolder();

/// By name; a person's own come after those of the program. One bad file fails it, so that it is noticed.
[[nodiscard]] Result<std::vector<LabelStock>> labelStocks();
/// Error NotFound lists the names that are there.
[[nodiscard]] Result<LabelStock> labelStock(const QString &name);
/// The JSON of a stock, for changing it.
[[nodiscard]] Result<QByteArray> labelStockJson(const QString &name);
[[nodiscard]] bool isOwnStock(const QString &name);

/// Keeps a stock as the person's own; one of that name is replaced whole or not at all. Usage: a name that is
/// not letters, digits, '-' and '_', or that a stock of the program has. Malformed: what readLabelStock
/// refuses. Unwritable.
[[nodiscard]] Done saveOwnStock(const QString &name, const QByteArray &json);

} // namespace holdfast
