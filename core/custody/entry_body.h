// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"

#include <QJsonArray>
#include <QJsonObject>
#include <QVariant>

namespace holdfast
{

/// The body of an entry with its values ready to be bound; for projectors.
struct EntryBody {
    QJsonObject o;
    explicit EntryBody(const Entry &entry) : o(entry.bodyObject()) {}

    /// An absent text is an empty one: the tables keep no null where a text belongs.
    [[nodiscard]] QString text(const char *key) const { return textIn(o, key); }
    [[nodiscard]] QVariant textOrNull(const char *key) const
    {
        const QString t = text(key);
        return t.isEmpty() ? QVariant(QMetaType(QMetaType::QString)) : QVariant(t);
    }
    [[nodiscard]] qint64 whole(const char *key) const { return o.value(QLatin1String(key)).toInteger(); }
    [[nodiscard]] QVariant wholeOrNull(const char *key) const
    {
        const QJsonValue v = o.value(QLatin1String(key));
        return v.isDouble() ? QVariant(v.toInteger()) : QVariant(QMetaType(QMetaType::LongLong));
    }
    [[nodiscard]] QJsonArray list(const char *key) const { return o.value(QLatin1String(key)).toArray(); }

    [[nodiscard]] static QString textIn(const QJsonObject &object, const char *key)
    {
        const QString t = object.value(QLatin1String(key)).toString();
        return t.isNull() ? QStringLiteral("") : t;
    }
};

/// Records an entry that has nothing more to say than its body.
[[nodiscard]] inline Done recordEntry(CruiseFile &file, const Act &act, const QString &verb,
                                      const QJsonObject &body)
{
    const auto entry = file.record(act, verb, body);
    if (!entry)
        return entry.error();
    return {};
}

} // namespace holdfast
