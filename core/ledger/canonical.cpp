// SPDX-License-Identifier: GPL-3.0-or-later
#include "ledger/canonical.h"

#include "ledger/stored_entry.h"

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
    const QByteArray utf8 = text.toUtf8();
    std::string quoted;
    appendCanonicalString(quoted, std::string_view(utf8.constData(), static_cast<std::size_t>(utf8.size())));
    out.append(quoted.data(), static_cast<qsizetype>(quoted.size()));
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
    const EntryBytes bytes(e);
    std::string out;
    // An impossible time is still part of the text; whoever checks the entry refuses it.
    (void)writeCanonicalEntry(bytes.stored(), out);
    return QByteArray(out.data(), static_cast<qsizetype>(out.size()));
}

EntryBytes::EntryBytes(const Entry &e)
    : m_station(e.station.toUtf8()), m_uuid(e.uuid.toUtf8()), m_actor(e.actor.toUtf8()),
      m_verb(e.verb.toUtf8()), m_body(e.body.toUtf8()), m_prev(e.prev.toUtf8()), m_hash(e.hash.toUtf8()),
      m_seq(e.seq), m_lamport(e.lamport), m_timeUs(e.timeUs)
{
}

StoredEntry EntryBytes::stored() const
{
    const auto view = [](const QByteArray &bytes) {
        return std::string_view(bytes.constData(), static_cast<std::size_t>(bytes.size()));
    };
    return {view(m_station), m_seq,        m_lamport,    view(m_uuid), m_timeUs,
            view(m_actor),   view(m_verb), view(m_body), view(m_prev), view(m_hash)};
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
