// SPDX-License-Identifier: GPL-3.0-or-later
#include "exchange/registers.h"

#include "dive/verbs.h"
#include "ledger/canonical.h"
#include "ledger/signature.h"

#include <QHash>
#include <QJsonArray>
#include <QStringList>

namespace holdfast
{

namespace
{

/// How a verb sets a register: keys of its body.
struct Rule {
    const char *subject; ///< keys joined by blanks, which with their names make the subject ("word=key": by
                         ///< another name); "id" stands alone
    const char
        *list; ///< key of a list: one register for each of its elements, which is (or names) the subject
    const char *field; ///< what is set; "=key" takes it from the body
    const char *value; ///< keys joined by blanks; "=words" is the value itself
};

// The names of the verbs are part of the record; those of core/custody stand here as they are written.
const QMultiHash<QString, Rule> &rules()
{
    static const auto s = [](const char *text) { return QString::fromLatin1(text); };
    static const QMultiHash<QString, Rule> all{
        {verb::divePlanned, {"dive=number", "", "plan", "vehicle loadout"}},
        {verb::divePlannedAgain, {"dive=number", "", "plan", "vehicle loadout"}},
        {verb::cruiseDescribed, {"cruise", "", "title or id pattern", "title idPattern"}},
        {verb::diveDescribed, {"dive", "", "site", "site"}},
        {verb::phaseReached, {"dive", "", "=phase", "timeUs"}},
        {verb::phaseTakenBack, {"dive", "", "=phase", "=not reached"}},
        {verb::phaseCorrected, {"dive", "", "=phase", "toUs"}},
        {verb::stampTimeCorrected, {"stamp", "", "time", "toUs"}},
        {verb::logUseChanged, {"intake", "", "use of the log", "inUse"}},
        {verb::stampFailed, {"stamp", "", "what came of it", "=a failed attempt"}},
        {verb::stampSetAside, {"stamp", "", "what came of it", "=set aside"}},
        {verb::stampReopened, {"stamp", "", "what came of it", "=waiting again"}},
        {verb::sampleLogged, {"stamp", "", "what came of it", "id"}},
        {verb::sampleMoved, {"id", "", "slot", "to"}},
        {verb::sampleAmended, {"id", "changes", "=field", "new"}},
        {verb::sampleState, {"id", "", "state", "to"}},
        {verb::lidMoved, {"dive slot", "", "lid", "open timeUs"}},
        {verb::reachChanged, {"dive slot", "", "reach", "reachable"}},
        {verb::logTakenIn, {"dive sha256", "", "intake", "fileName intake"}},
        {verb::logTakenIn, {"replaces", "", "corrected log", "fileName intake"}},
        {verb::sensorsCorrected, {"intake", "", "sensor correction", "digest"}},
        {verb::clockOffsetApplied, {"dive log", "", "clock offset", "offsetUs"}},
        {verb::readyChecked, {"dive item subject", "", "ready check", "state note"}},
        {verb::watchChanged, {"dive role", "", "watch", "to"}},
        {verb::permitLimited, {"taxon", "", "permit limit", "most title"}},
        {verb::itemWanted, {"dive kind", "", "collection plan", "least most dropped"}},
        {verb::feedSet, {"station name", "", "feed", "address profile"}},
        {verb::feedRemoved, {"station name", "", "feed", "=removed"}},
        {verb::itemRenumbered, {"item", "", "id", "id"}},
        {s("slot tallied"), {"dive slot", "", "tally", "answer note"}},
        {s("specimen voided"), {"id", "", "state", "=void"}},
        {s("specimen amended"), {"id", "", "=field", "new"}},
        {s("item identified"), {"id", "", "identification", "name rank qualifier identifiedBy"}},
        {s("item preserved"), {"id", "", "preservation", "preservative percent base container"}},
        {s("item stored"), {"id", "", "storage place", "place"}},
        {s("custodian appointed"), {"dive", "", "custodian", "person"}},
        {s("hand-over offered"), {"", "items", "holder", "from to offer"}},
        {s("hand-over answered"), {"", "accepted", "holder", "by offer"}},
        {s("hand-over answered"), {"", "refused", "holder", "from offer"}},
        {s("hand-over withdrawn"), {"", "items", "holder", "offer reason"}},
        {s("custody claimed"), {"", "items", "holder", "by basis"}},
        {s("custody ended"), {"", "items", "holder", "how by"}},
        {s("custody secured"), {"", "items", "basis of custody", "basis"}},
        {s("blank labels printed"), {"dive", "", "blank labels", "first count"}},
        {s("label bound"), {"label", "", "label", "item"}},
        {s("seal applied"), {"seal", "", "seal", "=applied"}},
        {s("seal inspected"), {"seal", "", "seal", "found"}},
        {s("seal broken"), {"seal", "", "seal", "=broken"}},
        {s("entry amended"), {"entry", "", "=field", "new"}},
    };
    return all;
}

/// Verbs that only add, or that say the same whoever says them.
const QStringList &adding()
{
    static const QStringList all{verb::cruiseOpened,
                                 verb::stationJoined,
                                 keyAnnouncedVerb,
                                 verb::diveClosed,
                                 verb::stampTaken,
                                 verb::valuesAccepted,
                                 verb::recordingClosed,
                                 verb::conflictSettled,
                                 verb::pinSet,
                                 QStringLiteral("specimen split"),
                                 QStringLiteral("photograph linked")};
    return all;
}

QString textOf(const QJsonValue &value)
{
    if (value.isString())
        return value.toString();
    if (value.isBool())
        return value.toBool() ? QStringLiteral("yes") : QStringLiteral("no");
    // A loadout by its name; the mark tells two of one name apart.
    if (value.isObject()) {
        const auto canonical = canonicalJson(value.toObject());
        return QStringLiteral("%1 (%2)").arg(value.toObject().value(QStringLiteral("name")).toString(),
                                             canonical ? sha256Hex(*canonical).left(6) : QString());
    }
    return value.isDouble() ? QString::number(value.toInteger()) : QString();
}

/// The values of some keys; with their names but for "id", which people know as it stands.
QString joined(const QJsonObject &body, const QString &keys, bool named)
{
    QStringList parts;
    for (const QString &one : keys.split(QLatin1Char(' '), Qt::SkipEmptyParts)) {
        const QString key = one.section(QLatin1Char('='), -1);
        const QString name = one.section(QLatin1Char('='), 0, 0);
        const QString text = textOf(body.value(key));
        if (!text.isEmpty())
            parts << (named && key != QLatin1String("id") ? name + QLatin1Char(' ') + text : text);
    }
    return parts.join(QStringLiteral(", "));
}

QString wordOrKey(const char *rule, const QJsonObject &body)
{
    const QString text = QString::fromLatin1(rule);
    return text.startsWith(QLatin1Char('=')) ? textOf(body.value(text.mid(1))) : text;
}

QString valueOf(const char *rule, const QJsonObject &body)
{
    const QString text = QString::fromLatin1(rule);
    return text.startsWith(QLatin1Char('=')) ? text.mid(1) : joined(body, text, false);
}

} // namespace

bool isKnownToRegisters(const QString &verb)
{
    return rules().contains(verb) || adding().contains(verb);
}

std::vector<RegisterWrite> registersOf(const Entry &entry)
{
    std::vector<RegisterWrite> writes;
    const auto [begin, end] = rules().equal_range(entry.verb);
    if (begin == end)
        return writes;
    const QJsonObject body = entry.bodyObject();
    // What an item is in and where it is (core/custody/preservation.h).
    static const QStringList byTime{QStringLiteral("item preserved"), QStringLiteral("item stored")};
    const qint64 at = byTime.contains(entry.verb) ? body.value(QStringLiteral("timeUs")).toInteger() : 0;
    for (auto rule = begin; rule != end; ++rule) {
        const QString subject = joined(body, QString::fromLatin1(rule->subject), true);
        if (!*rule->list) {
            if (!subject.isEmpty())
                writes.push_back({subject, wordOrKey(rule->field, body), valueOf(rule->value, body), at});
            continue;
        }
        for (const QJsonValue one : body.value(QLatin1String(rule->list)).toArray()) {
            // An element is an id, or an object that holds one or says what of the subject is changed.
            QJsonObject with = body;
            const QJsonObject element = one.toObject();
            for (auto it = element.begin(); it != element.end(); ++it)
                with.insert(it.key(), it.value());
            const QString about = !subject.isEmpty() ? subject
                                  : one.isString()   ? one.toString()
                                                     : textOf(element.value(QStringLiteral("id")));
            writes.push_back({about, wordOrKey(rule->field, with), valueOf(rule->value, with), at});
        }
    }
    return writes;
}

} // namespace holdfast
