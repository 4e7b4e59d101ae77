// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/template_reader.h"

#include <QDir>
#include <QFile>
#include <QJsonArray>
#include <QJsonDocument>
#include <cmath>

namespace holdfast
{

namespace
{

QString shown(const QJsonValue &value)
{
    if (value.isUndefined())
        return QStringLiteral("nothing");
    QJsonArray wrapped;
    wrapped.append(value);
    const QString text = QString::fromUtf8(QJsonDocument(wrapped).toJson(QJsonDocument::Compact));
    const QString inner = text.mid(1, text.size() - 2);
    return inner.size() > 60 ? inner.left(60) + QStringLiteral("...") : inner;
}

QString listed(const QStringList &words)
{
    return words.join(QStringLiteral(", "));
}

} // namespace

Result<TemplateObject> TemplateObject::parse(const QByteArray &json, const QString &where)
{
    QJsonParseError error;
    const QJsonDocument document = QJsonDocument::fromJson(json, &error);
    if (error.error != QJsonParseError::NoError) {
        const QByteArray before = json.left(error.offset);
        const auto line = before.count('\n') + 1;
        const auto column = before.size() - before.lastIndexOf('\n');
        return fail(ErrorKind::Malformed, QStringLiteral("%1 is not JSON: %2 at line %3, column %4.")
                                              .arg(where, error.errorString())
                                              .arg(line)
                                              .arg(column));
    }
    if (!document.isObject())
        return fail(ErrorKind::Malformed,
                    QStringLiteral("%1 must hold one JSON object, in braces.").arg(where));
    auto fault = std::make_shared<Fault>();
    fault->where = where;
    return TemplateObject(document.object(), QString(), std::move(fault));
}

QString TemplateObject::pathOf(const QString &key) const
{
    return m_path.isEmpty() ? key : m_path + QLatin1Char('.') + key;
}

void TemplateObject::addFault(const QString &key, const QString &sentence)
{
    if (!m_fault->first)
        m_fault->first =
            fail(ErrorKind::Malformed,
                 QStringLiteral("%1, field \"%2\": %3").arg(m_fault->where, pathOf(key), sentence));
}

void TemplateObject::expected(const QString &key, const QString &what)
{
    addFault(key, QStringLiteral("expected %1, found %2.").arg(what, shown(m_object.value(key))));
}

std::optional<Error> TemplateObject::fault() const
{
    return m_fault->first;
}

QJsonValue TemplateObject::take(const QString &key)
{
    m_asked.insert(key);
    return m_object.value(key);
}

double TemplateObject::number(const QString &key, double least, double most, std::optional<double> otherwise)
{
    const QJsonValue value = take(key);
    if (value.isUndefined() && otherwise)
        return *otherwise;
    const double n = value.toDouble(std::nan(""));
    if (n >= least && n <= most)
        return n;
    expected(key, QStringLiteral("a number from %1 to %2").arg(least).arg(most));
    return otherwise.value_or(least);
}

int TemplateObject::whole(const QString &key, int least, int most, std::optional<int> otherwise)
{
    const QJsonValue value = take(key);
    if (value.isUndefined() && otherwise)
        return *otherwise;
    const double n = value.toDouble(std::nan(""));
    if (n >= least && n <= most && n == std::floor(n))
        return static_cast<int>(n);
    expected(key, QStringLiteral("a whole number from %1 to %2").arg(least).arg(most));
    return otherwise.value_or(least);
}

bool TemplateObject::flag(const QString &key, bool otherwise)
{
    const QJsonValue value = take(key);
    if (!value.isUndefined() && !value.isBool())
        expected(key, QStringLiteral("true or false"));
    return value.toBool(otherwise);
}

QString TemplateObject::text(const QString &key, const std::optional<QString> &otherwise)
{
    const QJsonValue value = take(key);
    if (value.isUndefined() && otherwise)
        return *otherwise;
    if (!value.isString() || (!otherwise && value.toString().trimmed().isEmpty()))
        expected(key, QStringLiteral("a text in quotes"));
    return value.toString();
}

QString TemplateObject::word(const QString &key, const QStringList &allowed,
                             const std::optional<QString> &otherwise)
{
    const QJsonValue value = take(key);
    if (value.isUndefined() && otherwise)
        return *otherwise;
    if (value.isString() && allowed.contains(value.toString()))
        return value.toString();
    expected(key, QStringLiteral("one of %1").arg(listed(allowed)));
    return allowed.front();
}

QStringList TemplateObject::words(const QString &key, const QStringList &allowed)
{
    const QStringList found = texts(key, {});
    for (const QString &one : found) {
        if (!allowed.contains(one))
            addFault(key,
                     QStringLiteral("\"%1\" is not known here; known are %2.").arg(one, listed(allowed)));
    }
    if (found.isEmpty())
        expected(key, QStringLiteral("a list of some of %1").arg(listed(allowed)));
    return found;
}

QStringList TemplateObject::texts(const QString &key, const QStringList &otherwise)
{
    const QJsonValue value = take(key);
    if (value.isUndefined())
        return otherwise;
    QStringList found;
    const QJsonArray array = value.toArray();
    for (const QJsonValue one : array) {
        if (!one.isString())
            expected(key, QStringLiteral("a list of texts in quotes"));
        found.append(one.toString());
    }
    if (!value.isArray())
        expected(key, QStringLiteral("a list of texts, in square brackets"));
    return found;
}

TemplateObject TemplateObject::object(const QString &key)
{
    const QJsonValue value = take(key);
    if (!value.isObject())
        expected(key, QStringLiteral("an object, in braces"));
    return TemplateObject(value.toObject(), pathOf(key), m_fault);
}

std::vector<TemplateObject> TemplateObject::objects(const QString &key)
{
    std::vector<TemplateObject> found;
    const QJsonValue value = take(key);
    if (value.isUndefined())
        return found;
    const QJsonArray array = value.toArray();
    for (qsizetype i = 0; i < array.size(); ++i) {
        if (!array.at(i).isObject())
            expected(key, QStringLiteral("a list of objects"));
        found.push_back(TemplateObject(array.at(i).toObject(),
                                       pathOf(QStringLiteral("%1[%2]").arg(key).arg(i)), m_fault));
    }
    if (!value.isArray())
        expected(key, QStringLiteral("a list, in square brackets"));
    return found;
}

void TemplateObject::finish()
{
    const QStringList keys = m_object.keys();
    for (const QString &key : keys) {
        if (m_asked.contains(key))
            continue;
        QStringList known(m_asked.cbegin(), m_asked.cend());
        known.sort();
        addFault(key, QStringLiteral("there is no such field here; known are %1.").arg(listed(known)));
    }
}

QStringList templateNamesIn(const QString &folder)
{
    const QDir dir(folder);
    QStringList names;
    const QStringList files = dir.entryList({QStringLiteral("*.json")}, QDir::Files, QDir::Name);
    for (const QString &file : files) {
        if (!file.endsWith(QLatin1String(".schema.json")))
            names.append(file.chopped(5));
    }
    return names;
}

Result<QByteArray> readTemplateFile(const QString &folder, const QString &name, const QString &what)
{
    const QStringList names = templateNamesIn(folder);
    if (!names.contains(name))
        return fail(
            ErrorKind::NotFound,
            names.isEmpty()
                ? QStringLiteral("There is no %1 \"%2\": \"%3\" holds no templates.").arg(what, name, folder)
                : QStringLiteral("There is no %1 \"%2\"; there are %3.").arg(what, name, listed(names)));
    QFile file(QDir(folder).filePath(name + QStringLiteral(".json")));
    if (!file.open(QIODevice::ReadOnly))
        return fail(ErrorKind::Unreadable,
                    QStringLiteral("\"%1\" can't be read: %2.").arg(file.fileName(), file.errorString()));
    return file.readAll();
}

} // namespace holdfast
