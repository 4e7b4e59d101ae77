// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/vocabulary.h"

#include "base/template_folder.h"
#include "handoff/sample_tables.h"

#include <QJsonArray>
#include <QRegularExpression>
#include <QSet>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

QString uri(const char *collection, const QString &code)
{
    return QStringLiteral("http://vocab.nerc.ac.uk/collection/%1/current/%2/").arg(q(collection), code);
}

const char *const statusWords = "resolved|seen|memory";

bool isQuantity(const QString &name)
{
    const WaterValues none;
    for (const WaterQuantity &known : quantitiesOf(none)) {
        if (name == q(known.name))
            return true;
    }
    return false;
}

Result<VocabularyTerm> termOf(const QJsonObject &o, const QString &where)
{
    VocabularyTerm t;
    t.quantity = o.value(q("quantity")).toString();
    const auto wrong = [&](const char *key, const char *what) {
        return fail(
            ErrorKind::Malformed,
            QStringLiteral("%1: quantity \"%2\": \"%3\" %4.").arg(where, t.quantity, q(key), q(what)));
    };
    if (!isQuantity(t.quantity))
        return wrong("quantity", "is none of a sample's water values");
    const std::pair<const char *, QString *> texts[] = {
        {"type", &t.type},     {"p01", &t.p01},       {"p01Meaning", &t.p01Meaning},
        {"unit", &t.unit},     {"p06", &t.p06},       {"p06Meaning", &t.p06Meaning},
        {"method", &t.method}, {"status", &t.status}, {"source", &t.source}};
    for (const auto &[key, text] : texts) {
        *text = o.value(q(key)).toString();
        if (text->isEmpty())
            return wrong(key, "must not be empty");
    }
    static const QRegularExpression code8(QStringLiteral("\\A[A-Z0-9]{8}\\z"));
    static const QRegularExpression code4(QStringLiteral("\\A[A-Z0-9]{4}\\z"));
    if (!code8.match(t.p01).hasMatch())
        return wrong("p01", "must be eight capital letters and digits");
    if (!code4.match(t.p06).hasMatch())
        return wrong("p06", "must be four capital letters and digits");
    if (!q(statusWords).split(QLatin1Char('|')).contains(t.status))
        return wrong("status", "must be resolved, seen or memory");
    t.factor = o.value(q("factor")).toDouble(1);
    if (!(t.factor > 0))
        return wrong("factor", "must be a number above 0");
    return t;
}

} // namespace

QString VocabularyTerm::p01Uri() const
{
    return uri("P01", p01);
}

QString VocabularyTerm::p06Uri() const
{
    return uri("P06", p06);
}

Result<std::vector<VocabularyTerm>> parseVocabulary(const QJsonObject &json, const QString &where)
{
    const QJsonArray list = json.value(q("quantities")).toArray();
    if (list.isEmpty())
        return fail(ErrorKind::Malformed,
                    QStringLiteral("%1: \"quantities\" must be a list of quantities.").arg(where));
    std::vector<VocabularyTerm> terms;
    QSet<QString> names;
    for (const QJsonValue &v : list) {
        auto term = termOf(v.toObject(), where);
        if (!term)
            return term.error();
        if (names.contains(term->quantity))
            return fail(ErrorKind::Malformed,
                        QStringLiteral("%1: quantity \"%2\" stands there twice.").arg(where, term->quantity));
        names.insert(term->quantity);
        terms.push_back(std::move(*term));
    }
    return terms;
}

Result<std::vector<VocabularyTerm>> loadVocabulary()
{
    const auto json = readTemplate(q("handoff"), q("vocabulary"));
    if (!json)
        return json.error();
    return parseVocabulary(*json, q("templates/handoff/vocabulary.json"));
}

const TableSpec &vocabularyTable()
{
    constexpr auto text = CellType::Text;
    static const TableSpec spec{
        "vocabulary_codes",
        "What the codes of quantities and units in data/dwca mean, and who has looked them up",
        "",
        {{"quantity", text, "", "Water value, as in sample_values.", "", true},
         {"quantity_code", text, "", "Code in NERC vocabulary P01.", "", true},
         {"quantity_meaning", text, "", "What the code stands for.", "", true},
         {"quantity_uri", text, "", "Its address.", "", true},
         {"unit", text, "", "Unit in data/dwca.", "", true},
         {"unit_code", text, "", "Code in NERC vocabulary P06.", "", true},
         {"unit_meaning", text, "", "What the code stands for.", "", true},
         {"unit_uri", text, "", "Its address.", "", true},
         {"status", text, "",
          "resolved: looked up at the vocabulary server; seen: found in use elsewhere; memory: neither.",
          statusWords, true},
         {"source", text, "", "Where code and meaning are from.", "", true}},
        {"quantity"}};
    return spec;
}

Done writeVocabularyTable(PackageWriter &package, const std::vector<VocabularyTerm> &terms)
{
    auto table = TableWriter::begin(package, vocabularyTable());
    if (!table)
        return table.error();
    for (const VocabularyTerm &t : terms) {
        if (auto done = table->row({t.quantity, t.p01, t.p01Meaning, t.p01Uri(), t.unit, t.p06, t.p06Meaning,
                                    t.p06Uri(), t.status, t.source});
            !done)
            return done;
    }
    return table->end();
}

} // namespace holdfast
