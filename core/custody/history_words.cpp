// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/custody_verbs.h"
#include "custody/custody_words.h"
#include "custody/entry_body.h"
#include "custody/history.h"
#include "dive/verbs.h"

namespace holdfast
{

namespace
{

/// The values of an entry, put together to sentences.
struct Says {
    QJsonObject b;
    QString item;

    [[nodiscard]] QString text(const char *key) const { return EntryBody::textIn(b, key); }
    [[nodiscard]] QString number(const char *key) const
    {
        return QString::number(b.value(QLatin1String(key)).toInteger());
    }
    [[nodiscard]] QString moment(const char *key) const
    {
        return toIso(utcFromMicroseconds(b.value(QLatin1String(key)).toInteger()));
    }
    /// ", <before>VALUE<after>" when there is a value.
    [[nodiscard]] QString part(const char *before, const char *key, const char *after = "") const
    {
        const QString t = text(key);
        return t.isEmpty() ? QString()
                           : QStringLiteral(", %1%2%3").arg(QLatin1String(before), t, QLatin1String(after));
    }
    [[nodiscard]] QString listed(const char *key) const
    {
        QStringList words;
        for (const QJsonValue v : b.value(QLatin1String(key)).toArray())
            words << v.toString();
        return words.join(QStringLiteral(", "));
    }
    /// ", confirmed by Ana (pin)"; `party` is the key of who the entry is about.
    [[nodiscard]] QString confirmed(const char *party) const
    {
        const QJsonObject c = b.value(QStringLiteral("confirmation")).toObject();
        return c.isEmpty() ? QString() : QStringLiteral(", ") + confirmationText(c, text(party));
    }
    [[nodiscard]] QString others() const
    {
        const auto n = b.value(QStringLiteral("items")).toArray().size();
        return n > 1 ? QStringLiteral(" with %1 more").arg(n - 1) : QString();
    }
};

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

QString logged(const Says &s)
{
    return QStringLiteral("logged as %1%2%3%4%5%6")
        .arg(s.text("kind"),
             s.b.value(QLatin1String("count")).toInteger() > 1 ? QStringLiteral(" x ") + s.number("count")
                                                               : QString(),
             s.part("into slot ", "slot"), s.part("", "description"), s.part("with ", "tool"),
             s.part("permit ", "permit"));
}

QString amended(const Says &s)
{
    QStringList words;
    for (const QJsonValue v : s.b.value(QStringLiteral("changes")).toArray()) {
        const QJsonObject c = v.toObject();
        words << QStringLiteral("%1 from \"%2\" to \"%3\"")
                     .arg(EntryBody::textIn(c, "field"), EntryBody::textIn(c, "old"),
                          EntryBody::textIn(c, "new"));
    }
    if (words.isEmpty())
        words
            << QStringLiteral("%1 from \"%2\" to \"%3\"").arg(s.text("field"), s.text("old"), s.text("new"));
    return QStringLiteral("corrected: %1 (%2)").arg(words.join(QStringLiteral(", ")), s.text("reason"));
}

/// The fix and the water values as they were accepted for this sample.
QString valued(const Says &s)
{
    for (const QJsonValue v : s.b.value(QStringLiteral("values")).toArray()) {
        const QJsonObject o = v.toObject();
        if (EntryBody::textIn(o, "id") != s.item)
            continue;
        QStringList words;
        for (auto it = o.begin(); it != o.end(); ++it) {
            if (it.key() != QLatin1String("id") && it.value().isString() &&
                !it.value().toString().isEmpty() && words.size() < 12)
                words << QStringLiteral("%1 %2").arg(it.key(), it.value().toString());
        }
        return QStringLiteral("fix and water values accepted (%1): %2")
            .arg(s.text("reason"), words.join(QStringLiteral(", ")));
    }
    return q("fix and water values accepted");
}

QString preserved(const Says &s)
{
    QString percent;
    if (!s.text("percent").isEmpty())
        percent = QStringLiteral(" %1 %%2").arg(
            s.text("percent"), s.text("base").isEmpty() ? QString() : QStringLiteral(" ") + s.text("base"));
    QString formaldehyde = s.part("", "formaldehydePercent", " % formaldehyde");
    return QStringLiteral("preserved in %1%2%3%4%5")
        .arg(s.text("preservative"), percent, formaldehyde, s.part("", "container"),
             s.part("warning: ", "warnings"));
}

QString offered(const Says &s)
{
    return QStringLiteral("%1 %2: relinquished by %3 to %4%5%6%7%8%9")
        .arg(s.text("purpose"), s.text("code"), s.text("from"), s.text("to"), s.others(),
             s.part("carrier ", "carrier"), s.part("tracking ", "tracking"), s.part("", "remark"),
             s.confirmed("from"));
}

QString answered(const Says &s)
{
    for (const QJsonValue v : s.b.value(QStringLiteral("refused")).toArray()) {
        const QJsonObject r = v.toObject();
        if (EntryBody::textIn(r, "id") == s.item)
            return QStringLiteral("refused by %1: %2; stays with %3%4")
                .arg(s.text("by"), EntryBody::textIn(r, "reason"), s.text("from"), s.confirmed("by"));
    }
    const QString intact = s.listed("sealsIntact");
    const QString broken = s.listed("sealsBroken");
    return QStringLiteral("received by %1 from %2: %3%4%5%6%7%8%9")
        .arg(s.text("by"), s.text("from"), s.text("condition"), s.part("", "temperatureC", " C"),
             s.part("", "basis"), s.part("at ", "place"),
             intact.isEmpty() ? QString() : QStringLiteral(", seal intact: ") + intact,
             broken.isEmpty() ? QString() : QStringLiteral(", seal broken: ") + broken,
             s.part("", "remark") + s.confirmed("by"));
}

QString split(const Says &s)
{
    if (s.text("id") != s.item)
        return QStringLiteral("%1 split off: %2").arg(s.text("id"), s.text("material"));
    return QStringLiteral("split off %1: %2%3%4%5%6%7%8")
        .arg(s.text("parent"), s.text("material"), s.part("for ", "purpose"),
             s.b.contains(QStringLiteral("count")) ? QStringLiteral(", count ") + s.number("count")
                                                   : QString(),
             s.part("", "massG", " g"), s.part("", "sizeMm", " mm"), s.part("", "description"),
             s.text("foundOn").isEmpty()
                 ? QString()
                 : QStringLiteral(", %1 %2").arg(s.text("relation"), s.text("foundOn")));
}

using Sentence = QString (*)(const Says &);

const QHash<QString, Sentence> &sentences()
{
    static const QHash<QString, Sentence> all{
        {verb::phaseReached,
         [](const Says &s) { return QStringLiteral("dive %1 %2").arg(s.number("dive"), s.text("phase")); }},
        {verb::phaseTakenBack,
         [](const Says &s) {
             return QStringLiteral("taken back: dive %1 %2").arg(s.number("dive"), s.text("phase"));
         }},
        {verb::phaseCorrected,
         [](const Says &s) {
             return QStringLiteral("corrected: dive %1 %2 at %3 (%4)")
                 .arg(s.number("dive"), s.text("phase"), s.moment("toUs"), s.text("reason"));
         }},
        {verb::stampTimeCorrected,
         [](const Says &s) {
             return QStringLiteral("corrected: time of the moment from %1 to %2 (%3)")
                 .arg(s.moment("fromUs"), s.moment("toUs"), s.text("reason"));
         }},
        {verb::diveClosed,
         [](const Says &s) { return QStringLiteral("dive %1 closed").arg(s.number("dive")); }},
        {verb::stampTaken,
         [](const Says &s) {
             const QJsonObject seen = s.b.value(QStringLiteral("seen")).toObject();
             if (!seen.contains(verb::seenFrom))
                 return QStringLiteral("moment caught on dive %1").arg(s.number("dive"));
             return QStringLiteral("found at recovery of dive %1; collected between %2 and %3")
                 .arg(s.number("dive"), seen.value(verb::seenFrom).toString().left(19),
                      seen.value(verb::seenTo).toString().left(19));
         }},
        {verb::stampFailed,
         [](const Says &s) { return QStringLiteral("noted as a failed attempt: %1").arg(s.text("reason")); }},
        {verb::stampSetAside,
         [](const Says &s) { return QStringLiteral("set aside: %1").arg(s.text("reason")); }},
        {verb::stampReopened, [](const Says &) { return q("taken up again"); }},
        {verb::sampleLogged, logged},
        {verb::sampleMoved,
         [](const Says &s) {
             return QStringLiteral("moved from %1 to %2 (%3)")
                 .arg(s.text("from").isEmpty() ? q("no slot") : s.text("from"),
                      s.text("to").isEmpty() ? q("no slot") : s.text("to"), s.text("reason"));
         }},
        {verb::sampleAmended, amended},
        {verb::specimenVoided,
         [](const Says &s) { return QStringLiteral("void, split by mistake (%1)").arg(s.text("reason")); }},
        {verb::specimenAmended, amended},
        {verb::entryAmended, amended},
        {verb::sampleState,
         [](const Says &s) {
             return QStringLiteral("%1, before that %2 (%3)")
                 .arg(s.text("to"), s.text("from"), s.text("reason"));
         }},
        {verb::valuesAccepted, valued},
        {verb::slotTallied,
         [](const Says &s) {
             return QStringLiteral("slot %1 tallied: %2%3")
                 .arg(s.text("slot"), s.text("answer"), s.part("", "note"));
         }},
        {verb::specimenSplit, split},
        {verb::itemIdentified,
         [](const Says &s) {
             return QStringLiteral("identified as %1%2%3, by %4 on %5%6")
                 .arg(s.text("qualifier").isEmpty() ? QString() : s.text("qualifier") + QLatin1Char(' '),
                      s.text("name"),
                      s.text("rank").isEmpty() ? QString() : QStringLiteral(" (%1)").arg(s.text("rank")),
                      s.text("identifiedBy"), s.text("date"), s.part("", "remark"));
         }},
        {verb::photographLinked,
         [](const Says &s) {
             return QStringLiteral("photograph %1%2, SHA-256 %3…")
                 .arg(s.text("fileName"), s.part("", "caption"), s.text("sha256").left(16));
         }},
        {verb::itemPreserved, preserved},
        {verb::itemStored,
         [](const Says &s) {
             return QStringLiteral("stored at %1%2%3")
                 .arg(s.text("place"), s.part("", "temperatureC", " C"), s.part("warning: ", "warnings"));
         }},
        {verb::labelBound,
         [](const Says &s) {
             return QStringLiteral("carries label %1%2").arg(s.text("label"), s.part("", "reason"));
         }},
        {verb::custodianAppointed,
         [](const Says &s) {
             return QStringLiteral("%1 answers for what dive %2 collects")
                 .arg(s.text("person"), s.number("dive"));
         }},
        {verb::handOverOffered, offered},
        {verb::handOverAnswered, answered},
        {verb::handOverWithdrawn,
         [](const Says &s) { return QStringLiteral("hand-over withdrawn: %1").arg(s.text("reason")); }},
        {verb::custodyClaimed,
         [](const Says &s) {
             return QStringLiteral("taken by %1 without a hand-over: %2%3%4")
                 .arg(s.text("by"), s.text("reason"), s.part("at ", "place"), s.confirmed("by"));
         }},
        {verb::custodySecured,
         [](const Says &s) { return QStringLiteral("kept from now on: %1").arg(s.text("basis")); }},
        {verb::custodyEnded,
         [](const Says &s) {
             return QStringLiteral("%1 (%2), by %3%4%5")
                 .arg(s.text("how"), s.text("reason"), s.text("by"), s.part("at ", "place"),
                      s.confirmed("by"));
         }},
        {verb::sealApplied,
         [](const Says &s) {
             return QStringLiteral("seal %1 applied%2%3")
                 .arg(s.text("seal"), s.others(), s.part("", "reason"));
         }},
        {verb::sealInspected,
         [](const Says &s) {
             return QStringLiteral("seal %1 looked at: %2%3")
                 .arg(s.text("seal"), s.text("found"), s.part("", "reason"));
         }},
        {verb::sealBroken,
         [](const Says &s) {
             return QStringLiteral("seal %1 broken: %2").arg(s.text("seal"), s.text("reason"));
         }},
    };
    return all;
}

} // namespace

QString entrySentence(const Entry &entry, const QString &item)
{
    const Sentence sentence = sentences().value(entry.verb, nullptr);
    return sentence ? sentence({entry.bodyObject(), item}) : entry.verb;
}

} // namespace holdfast
