// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/stock_draft.h"

#include <QJsonArray>
#include <QJsonDocument>
#include <array>

namespace holdfast
{

namespace
{

enum class Form { Text, Number, YesNo, List };

struct Field {
    const char *key;
    const char *label;
    Form form;
    const char *hint;
};

constexpr std::array stockFields{
    Field{"title", "title", Form::Text, "for the list of stocks"},
    Field{"use", "good for", Form::Text, ""},
    Field{"media", "media", Form::Text, "sheet or roll"},
    Field{"printer_dpi", "printer (dots per inch)", Form::Number, "72 to 4800"},
    Field{"shape", "shape", Form::Text, "rectangle or round; empty: rectangle"},
    Field{"outline", "print the edge", Form::YesNo, "yes or no"},
    Field{"copies", "copies", Form::List, "a word for each, as in jar, inside, field sheet; empty: one"},
};
constexpr std::array pageFields{
    Field{"width_mm", "width (mm)", Form::Number, ""},
    Field{"height_mm", "height (mm)", Form::Number, "sheets only"},
};
constexpr std::array gridFields{
    Field{"columns", "columns", Form::Number, ""},
    Field{"rows", "rows", Form::Number, "sheets only"},
    Field{"label_width_mm", "label width (mm)", Form::Number, ""},
    Field{"label_height_mm", "label height (mm)", Form::Number, ""},
    Field{"left_mm", "left margin (mm)", Form::Number, ""},
    Field{"top_mm", "top margin (mm)", Form::Number, "sheets only"},
    Field{"column_gap_mm", "gap between columns (mm)", Form::Number, ""},
    Field{"row_gap_mm", "gap between rows (mm)", Form::Number, ""},
};
constexpr std::array codeFields{
    Field{"x_mm", "from the left (mm)", Form::Number, "empty all three: no code"},
    Field{"y_mm", "from the top (mm)", Form::Number, ""},
    Field{"side_mm", "side with quiet zone (mm)", Form::Number, ""},
};
constexpr std::array textFields{
    Field{"fields", "says", Form::List,
          "id, id_start, id_end, cruise, dive, kind, description, time, date, depth, position, "
          "slot, preservative, hazard, container, contact, copy"},
    Field{"before", "words before it", Form::Text, ""},
    Field{"x_mm", "from the left (mm)", Form::Number, ""},
    Field{"y_mm", "from the top (mm)", Form::Number, ""},
    Field{"width_mm", "width (mm)", Form::Number, ""},
    Field{"height_mm", "height (mm)", Form::Number, ""},
    Field{"size_pt", "largest size (pt)", Form::Number, ""},
    Field{"smallest_pt", "smallest size (pt)", Form::Number, "it shrinks down to this"},
    Field{"bold", "bold", Form::YesNo, "yes or no"},
    Field{"wrap", "wrap", Form::YesNo, "yes or no; empty: yes"},
    Field{"may_cut", "may be cut", Form::YesNo, "yes or no; empty: no, it is refused when it does not fit"},
    Field{"framed", "framed", Form::YesNo, "yes or no"},
    Field{"align", "across", Form::Text, "left, centre or right"},
    Field{"align_down", "down", Form::Text, "top, middle or bottom"},
};
constexpr std::array lineFields{
    Field{"x_mm", "from the left (mm)", Form::Number, ""},
    Field{"y_mm", "from the top (mm)", Form::Number, ""},
    Field{"width_mm", "width (mm)", Form::Number, ""},
    Field{"height_mm", "height (mm)", Form::Number, ""},
    Field{"caption", "caption", Form::Text, ""},
};

QString shown(const QJsonValue &value)
{
    if (value.isBool())
        return value.toBool() ? QStringLiteral("yes") : QStringLiteral("no");
    if (value.isDouble())
        return QString::number(value.toDouble(), 'g', 12);
    if (!value.isArray())
        return value.toString();
    QStringList words;
    const QJsonArray list = value.toArray();
    for (const QJsonValue one : list)
        words << one.toString();
    return words.join(QStringLiteral(", "));
}

QJsonValue parsed(const QString &text, Form form)
{
    const QString t = text.trimmed();
    if (form == Form::Number) {
        bool good = false;
        const double number = t.toDouble(&good);
        return good ? QJsonValue(number) : QJsonValue(text);
    }
    if (form == Form::YesNo && (t == u"yes" || t == u"no"))
        return t == u"yes";
    if (form != Form::List)
        return text;
    QJsonArray words;
    const QStringList parts = t.split(QLatin1Char(','));
    for (const QString &part : parts) {
        if (!part.trimmed().isEmpty() || form == Form::List)
            words.append(part.trimmed());
    }
    return words;
}

/// A field with the way to it: an object of the root, or an element of one of its lists.
struct Place {
    QString object; ///< "page", "texts"; empty: the root
    int index = -1; ///< in a list
    Field field = stockFields[0];
};

QString key(const Field &field)
{
    return QString::fromLatin1(field.key);
}

template <std::size_t n>
void add(std::vector<Place> &places, const QString &object, int index, const std::array<Field, n> &fields)
{
    for (const Field &field : fields)
        places.push_back({object, index, field});
}

std::vector<Place> placesOf(const QJsonObject &root)
{
    std::vector<Place> places;
    add(places, {}, -1, stockFields);
    add(places, QStringLiteral("page"), -1, pageFields);
    add(places, QStringLiteral("grid"), -1, gridFields);
    add(places, QStringLiteral("code"), -1, codeFields);
    add(places, QStringLiteral("second_code"), -1, codeFields);
    for (int i = 0; i < root.value(QStringLiteral("texts")).toArray().size(); ++i)
        add(places, QStringLiteral("texts"), i, textFields);
    for (int i = 0; i < root.value(QStringLiteral("pencil_lines")).toArray().size(); ++i)
        add(places, QStringLiteral("pencil_lines"), i, lineFields);
    return places;
}

QJsonObject objectAt(const QJsonObject &root, const Place &place)
{
    if (place.object.isEmpty())
        return root;
    const QJsonValue value = root.value(place.object);
    return place.index < 0 ? value.toObject() : value.toArray().at(place.index).toObject();
}

void putObject(QJsonObject &root, const Place &place, const QJsonObject &object)
{
    if (place.object.isEmpty()) {
        root = object;
    } else if (place.index >= 0) {
        QJsonArray list = root.value(place.object).toArray();
        list[place.index] = object;
        root.insert(place.object, list);
    } else if (object.isEmpty()) {
        root.remove(place.object);
    } else {
        root.insert(place.object, object);
    }
}

QString partName(const QJsonObject &root, const Place &place)
{
    if (place.object.isEmpty())
        return QStringLiteral("Stock");
    if (place.object == u"page")
        return QStringLiteral("Page");
    if (place.object == u"grid")
        return QStringLiteral("Labels on the page");
    if (place.object == u"code")
        return QStringLiteral("QR code");
    if (place.object == u"second_code")
        return QStringLiteral("Second QR code");
    if (place.object == u"texts")
        return QStringLiteral("Text %1: %2")
            .arg(place.index + 1)
            .arg(shown(objectAt(root, place).value(QStringLiteral("fields"))));
    return QStringLiteral("Pencil line %1").arg(place.index + 1);
}

bool isPart(const Place &place)
{
    return place.index >= 0 || place.object.endsWith(QLatin1String("code"));
}

QString groupOf(const Place &place)
{
    if (!isPart(place))
        return {};
    return place.index < 0 ? place.object : QStringLiteral("%1[%2]").arg(place.object).arg(place.index);
}

void append(QJsonObject &root, const QString &list, const QJsonObject &object)
{
    QJsonArray all = root.value(list).toArray();
    all.append(object);
    root.insert(list, all);
}

} // namespace

Result<StockDraft> StockDraft::fromJson(const QByteArray &json, const QString &name)
{
    QJsonParseError error;
    const QJsonDocument document = QJsonDocument::fromJson(json, &error);
    if (!document.isObject())
        return fail(
            ErrorKind::Malformed,
            QStringLiteral("Label stock %1 can't be changed here: %2.").arg(name, error.errorString()));
    StockDraft draft;
    draft.m_name = name;
    draft.m_root = document.object();
    return draft;
}

std::vector<StockDraft::Row> StockDraft::rows() const
{
    std::vector<Row> rows;
    for (const Place &place : placesOf(m_root))
        rows.push_back({.part = partName(m_root, place),
                        .label = QString::fromUtf8(place.field.label),
                        .value = shown(objectAt(m_root, place).value(key(place.field))),
                        .hint = QString::fromUtf8(place.field.hint),
                        .group = groupOf(place)});
    return rows;
}

void StockDraft::set(std::size_t row, const QString &text)
{
    const auto places = placesOf(m_root);
    if (row >= places.size())
        return;
    const Place &place = places[row];
    QJsonObject object = objectAt(m_root, place);
    if (text.trimmed().isEmpty())
        object.remove(key(place.field));
    else
        object.insert(key(place.field), parsed(text, place.field.form));
    putObject(m_root, place, object);
}

void StockDraft::addText()
{
    append(m_root, QStringLiteral("texts"),
           {{QStringLiteral("fields"), QJsonArray{QStringLiteral("id")}},
            {QStringLiteral("x_mm"), 0},
            {QStringLiteral("y_mm"), 0},
            {QStringLiteral("width_mm"), 10},
            {QStringLiteral("height_mm"), 3},
            {QStringLiteral("size_pt"), 7},
            {QStringLiteral("smallest_pt"), 4}});
}

void StockDraft::addLine()
{
    append(m_root, QStringLiteral("pencil_lines"),
           {{QStringLiteral("x_mm"), 0},
            {QStringLiteral("y_mm"), 0},
            {QStringLiteral("width_mm"), 10},
            {QStringLiteral("height_mm"), 3}});
}

bool StockDraft::remove(std::size_t row)
{
    const auto places = placesOf(m_root);
    if (row >= places.size() || !isPart(places[row]))
        return false;
    const Place &place = places[row];
    if (place.index < 0) {
        m_root.remove(place.object);
        return true;
    }
    QJsonArray list = m_root.value(place.object).toArray();
    list.removeAt(place.index);
    m_root.insert(place.object, list);
    return true;
}

Result<LabelStock> StockDraft::stock() const
{
    return readLabelStock(json(), m_name, QStringLiteral("Label stock %1").arg(m_name));
}

QByteArray StockDraft::json() const
{
    return QJsonDocument(m_root).toJson();
}

QRectF StockDraft::placeMm(std::size_t row) const
{
    const auto places = placesOf(m_root);
    if (row >= places.size() || !isPart(places[row]))
        return {};
    const QJsonObject o = objectAt(m_root, places[row]);
    const auto number = [&o](const char *name) { return o.value(QLatin1String(name)).toDouble(); };
    const double side = number("side_mm");
    return QRectF(number("x_mm"), number("y_mm"), side > 0 ? side : number("width_mm"),
                  side > 0 ? side : number("height_mm"));
}

} // namespace holdfast
