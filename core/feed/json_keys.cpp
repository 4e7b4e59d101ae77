// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/json_keys.h"

namespace holdfast::detail
{

using namespace Qt::StringLiterals;

void JsonKeys::wrong(const QString &key, const QString &expected)
{
    if (m_fault.isEmpty())
        m_fault = u"%1: \"%2\" should be %3."_s.arg(m_from, key, expected);
}

void JsonKeys::allowOnly(const QJsonObject &object, const QString &where, const QStringList &keys)
{
    for (const QString &key : object.keys()) {
        if (!keys.contains(key) && m_fault.isEmpty())
            m_fault = u"%1: \"%2\" is not a key of %3. Its keys are %4."_s.arg(
                m_from, key, where.isEmpty() ? m_whole : u"\""_s + where + u"\""_s, keys.join(u", "_s));
    }
}

QJsonObject JsonKeys::objectAt(const QJsonObject &object, const QString &key, bool required)
{
    const QJsonValue value = object.value(key);
    if (!value.isObject() && (required || !value.isUndefined()))
        wrong(key, u"an object { … }"_s);
    return value.toObject();
}

QString JsonKeys::characterAt(const QJsonObject &object, const QString &where, const QString &key,
                              const QString &otherwise)
{
    const QJsonValue value = object.value(key);
    if (value.isUndefined())
        return otherwise;
    const QString text = value.toString();
    if (!value.isString() || text.size() != 1 || text[0].unicode() > 126)
        wrong(where + u"."_s + key, u"one ASCII character in quotes"_s);
    return text.isEmpty() ? otherwise : text;
}

std::optional<double> JsonKeys::positiveAt(const QJsonObject &object, const QString &where,
                                           const QString &key)
{
    const QJsonValue value = object.value(key);
    if (value.isUndefined())
        return {};
    if (!value.isDouble() || !(value.toDouble() > 0)) {
        wrong(where + u"."_s + key, u"a number above 0"_s);
        return {};
    }
    return value.toDouble();
}

bool JsonKeys::flagAt(const QJsonObject &object, const QString &where, const QString &key, bool otherwise)
{
    const QJsonValue value = object.value(key);
    if (!value.isUndefined() && !value.isBool())
        wrong(where + u"."_s + key, u"true or false"_s);
    return value.toBool(otherwise);
}

} // namespace holdfast::detail
