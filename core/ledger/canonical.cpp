// SPDX-License-Identifier: GPL-3.0-or-later
#include "ledger/canonical.h"

#include <QCryptographicHash>
#include <QJsonArray>
#include <QJsonDocument>
#include <cmath>

namespace holdfast
{

namespace
{

bool appendString(QByteArray &out, const QString &text)
{
    if (!text.isValidUtf16())
        return false;
    out += '"';
    const QByteArray utf8 = text.toUtf8();
    for (const char c : utf8) {
        switch (c) {
        case '"':
            out += "\\\"";
            break;
        case '\\':
            out += "\\\\";
            break;
        case '\b':
            out += "\\b";
            break;
        case '\f':
            out += "\\f";
            break;
        case '\n':
            out += "\\n";
            break;
        case '\r':
            out += "\\r";
            break;
        case '\t':
            out += "\\t";
            break;
        default:
            if (static_cast<unsigned char>(c) < 0x20)
                out += "\\u00" + QByteArray(1, c).toHex();
            else
                out += c;
        }
    }
    out += '"';
    return true;
}

bool append(QByteArray &out, const QJsonValue &value)
{
    switch (value.type()) {
    case QJsonValue::Null:
        out += "null";
        return true;
    case QJsonValue::Bool:
        out += value.toBool() ? "true" : "false";
        return true;
    case QJsonValue::Double: {
        const double d = value.toDouble();
        if (d != std::floor(d) || std::abs(d) > 9007199254740991.0)
            return false;
        out += QByteArray::number(static_cast<qint64>(d));
        return true;
    }
    case QJsonValue::String:
        return appendString(out, value.toString());
    case QJsonValue::Array: {
        out += '[';
        bool first = true;
        for (const QJsonValue item : value.toArray()) {
            if (!std::exchange(first, false))
                out += ',';
            if (!append(out, item))
                return false;
        }
        out += ']';
        return true;
    }
    case QJsonValue::Object: {
        const QJsonObject object = value.toObject();
        QStringList keys = object.keys();
        std::sort(keys.begin(), keys.end()); // QString compares UTF-16 code units
        out += '{';
        bool first = true;
        for (const QString &key : std::as_const(keys)) {
            if (!std::exchange(first, false))
                out += ',';
            if (!appendString(out, key))
                return false;
            out += ':';
            if (!append(out, object.value(key)))
                return false;
        }
        out += '}';
        return true;
    }
    case QJsonValue::Undefined:
        break;
    }
    return false;
}

QByteArray quoted(const QString &text)
{
    QByteArray out;
    if (!appendString(out, text))
        out = "\"\\ufffd\""; // damaged text can't match any hash
    return out;
}

} // namespace

Result<QByteArray> canonicalJson(const QJsonValue &value)
{
    QByteArray out;
    if (!append(out, value))
        return fail(
            ErrorKind::Internal,
            QStringLiteral("An entry holds a value that the ledger can't keep: a fraction must be written as "
                           "text, and text must be whole Unicode."));
    return out;
}

QByteArray canonicalEntry(const Entry &e)
{
    // Keys in canonical order, by hand: `body` goes in as the bytes that are stored.
    return "{\"actor\":" + quoted(e.actor) + ",\"body\":" + e.body.toUtf8() +
           ",\"lamport\":" + QByteArray::number(e.lamport) + ",\"prev\":" + quoted(e.prev) +
           ",\"seq\":" + QByteArray::number(e.seq) + ",\"station\":" + quoted(e.station) + ",\"time\":\"" +
           toIsoMicro(utcFromMicroseconds(e.timeUs)).toLatin1() + "\",\"uuid\":" + quoted(e.uuid) +
           ",\"verb\":" + quoted(e.verb) + "}";
}

QString sha256Hex(const QByteArray &bytes)
{
    return QString::fromLatin1(QCryptographicHash::hash(bytes, QCryptographicHash::Sha256).toHex());
}

QJsonObject Entry::bodyObject() const
{
    return QJsonDocument::fromJson(body.toUtf8()).object();
}

QString zeroHash()
{
    return QString(64, QLatin1Char('0'));
}

} // namespace holdfast
