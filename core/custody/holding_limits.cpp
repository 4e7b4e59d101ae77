// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/holding_limits.h"

#include "base/template_folder.h"

#include <QJsonArray>
#include <QRegularExpression>
#include <algorithm>
#include <cmath>

namespace holdfast
{

namespace
{

Error wrong(const QString &where, const QString &key, const QString &expected)
{
    return fail(ErrorKind::Malformed, QStringLiteral("%1: \"%2\" must be %3.").arg(where, key, expected));
}

Result<QStringList> wordsOf(const QJsonObject &o, const QString &key, const QString &where, bool mayBeEmpty)
{
    const QString expected = mayBeEmpty ? QStringLiteral("a list of words, which may be empty")
                                        : QStringLiteral("a list with at least one word");
    const QJsonValue value = o.value(key);
    if (!value.isArray() || (value.toArray().isEmpty() && !mayBeEmpty))
        return wrong(where, key, expected);
    QStringList words;
    for (const QJsonValue v : value.toArray()) {
        const QString word = v.toString().trimmed().toLower();
        if (word.isEmpty())
            return wrong(where, key, expected);
        words << word;
    }
    return words;
}

Result<std::optional<int>> minutesOf(const QJsonObject &o, const QString &key, const QString &where)
{
    const QJsonValue value = o.value(key);
    if (value.isUndefined())
        return std::optional<int>();
    const int minutes = value.toInt(0); // 0 for a fraction and for anything that is no number
    if (minutes < 1 || minutes > 1000000)
        return wrong(where, key, QStringLiteral("a whole number of minutes, 1 or more"));
    return std::optional<int>(minutes);
}

Done readTemperatures(const QJsonObject &o, const QString &where, HoldingLimit &limit)
{
    const QJsonArray range = o.value(QStringLiteral("temperature_c")).toArray();
    const bool numbers = range.size() == 2 && range.at(0).isDouble() && range.at(1).isDouble();
    limit.lowestC = range.at(0).toDouble();
    limit.highestC = range.at(1).toDouble();
    if (numbers && limit.lowestC >= -273.15 && limit.highestC <= 100 && limit.lowestC <= limit.highestC)
        return {};
    return wrong(where, QStringLiteral("temperature_c"),
                 QStringLiteral("[lowest, highest] in degrees Celsius, within -273.15 to 100"));
}

Result<HoldingLimit> parseLimit(const QJsonObject &o, const QString &where)
{
    HoldingLimit limit;
    const auto materials = wordsOf(o, QStringLiteral("materials"), where, false);
    if (!materials)
        return materials.error();
    limit.materials = *materials;
    const auto preservatives = wordsOf(o, QStringLiteral("preservatives"), where, true);
    if (!preservatives)
        return preservatives.error();
    limit.preservatives = *preservatives;
    if (!o.value(QStringLiteral("purpose")).isString())
        return wrong(where, QStringLiteral("purpose"), QStringLiteral("a text, empty for any purpose"));
    limit.purpose = o.value(QStringLiteral("purpose")).toString().trimmed().toLower();
    const auto cold = minutesOf(o, QStringLiteral("cold_minutes"), where);
    const auto preserve = minutesOf(o, QStringLiteral("preserve_minutes"), where);
    const auto warn = minutesOf(o, QStringLiteral("warn_minutes"), where);
    for (const auto *given : {&cold, &preserve, &warn}) {
        if (!*given)
            return given->error();
    }
    limit.coldMinutes = *cold;
    limit.preserveMinutes = *preserve;
    limit.warnMinutes = warn->value_or(limit.warnMinutes);
    if (auto done = readTemperatures(o, where, limit); !done)
        return done.error();
    limit.note = o.value(QStringLiteral("note")).toString().trimmed();
    limit.source = o.value(QStringLiteral("source")).toString().trimmed();
    if (limit.source.isEmpty())
        return wrong(where, QStringLiteral("source"),
                     QStringLiteral("a text that says where the line is from"));
    return limit;
}

Result<std::vector<HoldingCaution>> parseCautions(const QJsonObject &json, const QString &key,
                                                  const QString &where)
{
    std::vector<HoldingCaution> cautions;
    int line = 0;
    for (const QJsonValue v : json.value(key).toArray()) {
        const QString here = QStringLiteral("%1, %2, line %3").arg(where, key).arg(++line);
        const auto words = wordsOf(v.toObject(), QStringLiteral("words"), here, false);
        if (!words)
            return words.error();
        const QString text = v.toObject().value(QStringLiteral("text")).toString().trimmed();
        if (text.isEmpty())
            return wrong(here, QStringLiteral("text"), QStringLiteral("a text"));
        cautions.push_back({*words, text});
    }
    return cautions;
}

QStringList cautionsOf(const std::vector<HoldingCaution> &cautions, const QString &name)
{
    QStringList texts;
    for (const HoldingCaution &caution : cautions) {
        const bool meant = std::any_of(caution.words.begin(), caution.words.end(),
                                       [&](const QString &word) { return standsIn(word, name); });
        if (meant)
            texts << caution.text;
    }
    return texts;
}

} // namespace

bool standsIn(const QString &word, const QString &text)
{
    const QRegularExpression whole(
        QStringLiteral("(?<![\\p{L}\\p{N}])%1(?![\\p{L}\\p{N}])").arg(QRegularExpression::escape(word)),
        QRegularExpression::CaseInsensitiveOption | QRegularExpression::UseUnicodePropertiesOption);
    return whole.match(text.normalized(QString::NormalizationForm_KC)).hasMatch();
}

Result<HoldingTable> HoldingTable::parse(const QJsonObject &json, const QString &where)
{
    HoldingTable table;
    auto cautions = parseCautions(json, QStringLiteral("cautions"), where);
    if (!cautions)
        return cautions.error();
    table.m_cautions = std::move(*cautions);
    auto ofKinds = parseCautions(json, QStringLiteral("kind_cautions"), where);
    if (!ofKinds)
        return ofKinds.error();
    table.m_kindCautions = std::move(*ofKinds);
    int line = 0;
    for (const QJsonValue v : json.value(QStringLiteral("limits")).toArray()) {
        const QString here = QStringLiteral("%1, limit %2").arg(where).arg(++line);
        auto limit = parseLimit(v.toObject(), here);
        if (!limit)
            return limit.error();
        for (const QString &material : limit->materials) {
            for (const HoldingLimit &other : table.m_limits) {
                if (other.purpose == limit->purpose && other.materials.contains(material))
                    return fail(ErrorKind::Malformed,
                                QStringLiteral("%1: \"%2\" for the purpose \"%3\" has a limit already.")
                                    .arg(here, material, limit->purpose));
            }
        }
        table.m_limits.push_back(std::move(*limit));
    }
    if (table.m_limits.empty())
        return wrong(where, QStringLiteral("limits"), QStringLiteral("a list with at least one limit"));
    return table;
}

Result<HoldingTable> HoldingTable::load()
{
    const auto json = readTemplate(QStringLiteral("holding"), QStringLiteral("common"));
    if (!json)
        return json.error();
    return parse(*json, QStringLiteral("templates/holding/common.json"));
}

const HoldingLimit *HoldingTable::find(const QString &material, const QString &family,
                                       const QString &purpose) const
{
    for (const QString &p : {purpose.trimmed().toLower(), QString()}) {
        for (const QString &m : {material.trimmed().toLower(), family.trimmed().toLower()}) {
            const auto found = std::find_if(m_limits.begin(), m_limits.end(), [&](const HoldingLimit &l) {
                return l.purpose == p && l.materials.contains(m);
            });
            if (!m.isEmpty() && found != m_limits.end())
                return &*found;
        }
    }
    return nullptr;
}

QStringList HoldingTable::cautionsFor(const QString &substance) const
{
    return cautionsOf(m_cautions, substance);
}

QStringList HoldingTable::cautionsForKind(const QString &kind) const
{
    return cautionsOf(m_kindCautions, kind);
}

QString clockWord(ClockState state)
{
    switch (state) {
    case ClockState::Running:
        return QStringLiteral("running");
    case ClockState::Warning:
        return QStringLiteral("soon");
    case ClockState::Over:
        return QStringLiteral("over");
    case ClockState::Met:
        return QStringLiteral("met");
    case ClockState::MetLate:
        break;
    }
    return QStringLiteral("met late");
}

QString coldWords()
{
    return QStringLiteral("into the cold");
}

QString lateWords(const ClockReading &reading)
{
    return QStringLiteral("%1 %2 minutes after the limit")
        .arg(reading.what)
        .arg(static_cast<int>(std::ceil(-reading.leftMinutes)));
}

std::vector<ClockReading> coldClock(const HoldingLimit &limit, const HeldTimes &times, UtcTime now)
{
    std::optional<UtcTime> cold = times.preserved;
    if (times.stored && (!cold || *times.stored < *cold))
        cold = times.stored;
    const std::optional<UtcTime> preserved = limit.preservatives.isEmpty() ? cold : times.preserved;
    std::vector<ClockReading> readings;
    const auto read = [&](const QString &what, std::optional<int> minutes, std::optional<UtcTime> done) {
        if (!minutes)
            return;
        ClockReading r;
        r.what = what;
        r.due = times.begun + std::chrono::minutes(*minutes);
        r.leftMinutes = secondsBetween(done.value_or(now), r.due) / 60.0;
        if (done)
            r.state = r.leftMinutes >= 0 ? ClockState::Met : ClockState::MetLate;
        else if (r.leftMinutes < 0)
            r.state = ClockState::Over;
        else if (r.leftMinutes <= limit.warnMinutes)
            r.state = ClockState::Warning;
        readings.push_back(r);
    };
    read(coldWords(), limit.coldMinutes, cold);
    read(QStringLiteral("into preservative"), limit.preserveMinutes, preserved);
    std::stable_sort(readings.begin(), readings.end(),
                     [](const ClockReading &a, const ClockReading &b) { return a.due < b.due; });
    return readings;
}

} // namespace holdfast
