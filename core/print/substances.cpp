// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/substances.h"

#include "print/template_reader.h"

#include <QRegularExpression>
#include <QSet>

namespace holdfast
{

namespace
{

Substance readSubstance(TemplateObject &from)
{
    Substance s;
    s.key = from.text(QStringLiteral("key"));
    s.words = from.texts(QStringLiteral("words"), {});
    if (s.words.isEmpty() || s.words.contains(QString()))
        from.addFault(QStringLiteral("words"), QStringLiteral("give at least one word, none of them empty."));
    s.un = from.text(QStringLiteral("un"));
    s.shippingName = from.text(QStringLiteral("shipping_name"));
    s.hazardClass = from.text(QStringLiteral("class"));
    s.packingGroup = from.text(QStringLiteral("packing_group"));
    s.labelWord = from.text(QStringLiteral("label_word"), QString());
    s.caution = from.text(QStringLiteral("caution"));
    s.source = from.text(QStringLiteral("source"));
    from.finish();
    return s;
}

} // namespace

const Substance *SubstanceTable::find(const QString &key) const
{
    for (const Substance &s : substances) {
        if (s.key == key)
            return &s;
    }
    return nullptr;
}

const Substance *SubstanceTable::named(const QString &preservative) const
{
    // Small figures, as in HgCl2, are often written below the line.
    const QString plain = preservative.normalized(QString::NormalizationForm_KC);
    for (const Substance &s : substances) {
        for (const QString &word : s.words) {
            const QRegularExpression whole(QStringLiteral("\\b%1\\b").arg(QRegularExpression::escape(word)),
                                           QRegularExpression::CaseInsensitiveOption);
            if (whole.match(plain).hasMatch())
                return &s;
        }
    }
    return nullptr;
}

Result<SubstanceTable> readSubstances(const QByteArray &json, const QString &where)
{
    auto root = TemplateObject::parse(json, where);
    if (!root)
        return root.error();
    SubstanceTable table;
    table.title = root->text(QStringLiteral("title"));
    table.cautions = root->texts(QStringLiteral("cautions"), {});
    if (table.cautions.isEmpty())
        root->addFault(QStringLiteral("cautions"),
                       QStringLiteral("a packing list without its cautions is not printed."));
    QSet<QString> keys;
    for (TemplateObject &one : root->objects(QStringLiteral("substances"))) {
        table.substances.push_back(readSubstance(one));
        if (keys.contains(table.substances.back().key))
            one.addFault(QStringLiteral("key"),
                         QStringLiteral("\"%1\" stands twice.").arg(table.substances.back().key));
        keys.insert(table.substances.back().key);
    }
    root->finish();
    if (const auto fault = root->fault())
        return *fault;
    return table;
}

Result<SubstanceTable> loadSubstances(const QString &folder, const QString &name)
{
    auto bytes = readTemplateFile(folder, name, QStringLiteral("table of substances"));
    if (!bytes)
        return bytes.error();
    return readSubstances(*bytes, QStringLiteral("Substances %1.json").arg(name));
}

} // namespace holdfast
