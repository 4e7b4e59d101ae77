// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "print/label_stock.h"

#include <QJsonObject>

namespace holdfast
{

/// A label stock while a person changes it: every field as a row of text, whatever stands in it, so that a
/// half typed number is no loss. What is wrong is told by stock().
class StockDraft
{
public:
    struct Row {
        QString part;  ///< what it belongs to, for people: "Label", "Text 2: kind, description"
        QString label; ///< with its unit: "width (mm)"
        QString value;
        QString hint;  ///< what may stand here: the words, or "when empty: …"
        QString group; ///< the part for the program: "texts[1]"; empty for the stock itself
    };

    StockDraft() = default;
    /// Error Malformed when it is not one JSON object.
    [[nodiscard]] static Result<StockDraft> fromJson(const QByteArray &json, const QString &name);

    [[nodiscard]] const QString &name() const { return m_name; }
    void setName(const QString &name) { m_name = name; }
    /// All fields in the order of the README of templates/labels; those that are absent are empty rows.
    [[nodiscard]] std::vector<Row> rows() const;
    /// Puts a text into row `row` of rows(): a number, a word, "yes" or "no", a list with commas, as the
    /// field wants it. An empty text takes the field away. What does not suit is kept as it is, for stock()
    /// to refuse.
    void set(std::size_t row, const QString &text);

    /// A new text with the id, or a new pencil line, in a free corner at best; it may need to be moved.
    void addText();
    void addLine();
    /// Takes away the code, text or line that a row belongs to. False when the row belongs to the stock
    /// itself.
    bool remove(std::size_t row);

    /// The stock, or the sentence that says which field is wrong and what was expected.
    [[nodiscard]] Result<LabelStock> stock() const;
    [[nodiscard]] QByteArray json() const;
    /// Where the part of a row lies on a label, mm; empty for the stock itself.
    [[nodiscard]] QRectF placeMm(std::size_t row) const;

private:
    QString m_name;
    QJsonObject m_root;
};

} // namespace holdfast
