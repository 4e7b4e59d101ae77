// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/preservation.h"

#include "custody/custody_verbs.h"
#include "custody/entry_body.h"
#include "custody/held_acts.h"
#include "dive/one_line.h"
#include "dive/readers.h"

#include <algorithm>
#include <cmath>

namespace holdfast
{

namespace
{

const QString formalin = QStringLiteral("formalin");
const QString formaldehyde = QStringLiteral("formaldehyde");

Done projectPreserved(const Database &db, const Entry &e)
{
    const EntryBody b(e);
    return execSql(
        db.connection(),
        QStringLiteral("INSERT INTO preservation (entry, lamport, item, preservative, percent, base, "
                       "formalin_percent, formaldehyde_percent, container, container_number, "
                       "container_count, warnings, by_whom, time_us) VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?)"),
        {e.uuid, e.lamport, b.text("id"), b.text("preservative"), b.text("percent"), b.text("base"),
         b.text("formalinPercent"), b.text("formaldehydePercent"), b.text("container"),
         b.whole("containerNumber"), b.whole("containerCount"), b.text("warnings"), e.actor,
         b.whole("timeUs")});
}

Done projectStored(const Database &db, const Entry &e)
{
    const EntryBody b(e);
    return execSql(
        db.connection(),
        QStringLiteral("INSERT INTO storage (entry, lamport, item, place, temperature_c, warnings, "
                       "by_whom, time_us) VALUES (?,?,?,?,?,?,?,?)"),
        {e.uuid, e.lamport, b.text("id"), b.text("place"), b.text("temperatureC"), b.text("warnings"),
         e.actor, b.whole("timeUs")});
}

/// Items of a list, each once, at hand, taken before `at`, which is not in the future.
Result<std::vector<Item>> itemsAt(const Database &db, const QStringList &ids, UtcTime at, UtcTime now)
{
    if (at > now)
        return fail(ErrorKind::Usage, QStringLiteral("%1 is in the future.").arg(toIso(at)));
    if (ids.isEmpty())
        return fail(ErrorKind::Usage, QStringLiteral("At least one id is needed."));
    std::vector<Item> items;
    for (const QString &id : ids) {
        auto item = readItemAtHand(db, id);
        if (!item)
            return item.error();
        const auto sample = readSample(db, item->sample);
        if (!sample)
            return sample.error();
        if (at < sample->time)
            return fail(ErrorKind::Usage, QStringLiteral("%1 was taken at %2, which is after %3.")
                                              .arg(item->id, toIso(sample->time), toIso(at)));
        const bool twice =
            std::any_of(items.begin(), items.end(), [&](const Item &i) { return i.id == item->id; });
        if (twice)
            return fail(ErrorKind::Duplicate, QStringLiteral("%1 is in the list twice.").arg(item->id));
        items.push_back(std::move(*item));
    }
    return items;
}

QString percentText(double percent)
{
    return QString::number(percent, 'f', 2);
}

/// The preservative as it goes into the record: without an item, without warnings.
Result<QJsonObject> preservativeBody(const Preservative &p)
{
    const QString name = p.name.trimmed();
    if (name.isEmpty())
        return fail(
            ErrorKind::Usage,
            QStringLiteral("A preservative is needed, as in ethanol or formalin; or frozen, or none."));
    for (const auto &[text, what] : {std::pair{name, QStringLiteral("The preservative")},
                                     std::pair{p.container.trimmed(), QStringLiteral("The container")}}) {
        if (auto line = wantOneLine(text, what); !line)
            return line.error();
    }
    const auto percent = measuredText(p.percent, QStringLiteral("The concentration in percent"));
    if (!percent)
        return percent.error();
    if (percent->toDouble() > 100)
        return fail(ErrorKind::Usage,
                    QStringLiteral("A concentration can't be above 100 %, as %1 is.").arg(*percent));
    if (p.containerNumber < 1 || p.containerCount < p.containerNumber || p.containerCount > 10000)
        return fail(ErrorKind::Usage, QStringLiteral("Container %1 of %2 makes no sense; as in 2 of 3.")
                                          .arg(p.containerNumber)
                                          .arg(p.containerCount));
    QString base = p.base.trimmed().toLower();
    const bool counted = isFormaldehyde(name);
    if (!counted && !base.isEmpty())
        return fail(ErrorKind::Usage,
                    QStringLiteral("Only formalin and formaldehyde have a base; %1 has none.").arg(name));
    if (counted && !percent->isEmpty() && base != formalin && base != formaldehyde)
        return fail(
            ErrorKind::Usage,
            QStringLiteral("%1 % of what? Say the base, formalin or formaldehyde: 10 % formalin holds "
                           "about 4 % formaldehyde.")
                .arg(*percent));
    if (percent->isEmpty())
        base.clear();
    const BothPercents both = bothPercents(*percent, base);
    return QJsonObject{{QStringLiteral("preservative"), name},
                       {QStringLiteral("percent"), *percent},
                       {QStringLiteral("base"), base},
                       {QStringLiteral("formalinPercent"), both.formalin},
                       {QStringLiteral("formaldehydePercent"), both.formaldehyde},
                       {QStringLiteral("container"), p.container.trimmed()},
                       {QStringLiteral("containerNumber"), p.containerNumber},
                       {QStringLiteral("containerCount"), p.containerCount},
                       {QStringLiteral("timeUs"), static_cast<qint64>(microsecondsOf(p.at))}};
}

bool isMet(const ClockReading &r)
{
    return r.state == ClockState::Met || r.state == ClockState::MetLate;
}

/// The limits that an act at `at` is the first to meet, and too late, in words: what was in ethanol in time
/// is not late when it goes into another jar days after.
QStringList lateWarnings(const Item &item, const HoldingLimit &limit, const HeldActs &before,
                         const HeldActs &with, UtcTime at)
{
    QStringList warnings;
    const auto timesBefore = before.timesFor(limit);
    const auto timesNow = with.timesFor(limit);
    if (!timesBefore || !timesNow)
        return warnings;
    const auto was = coldClock(limit, *timesBefore, at);
    const auto is = coldClock(limit, *timesNow, at);
    for (std::size_t i = 0; i < is.size(); ++i) {
        const bool first = !isMet(was[i]) || is[i].leftMinutes > was[i].leftMinutes;
        if (is[i].state == ClockState::MetLate && first)
            warnings << QStringLiteral("%1 %2").arg(item.id, lateWords(is[i]));
    }
    return warnings;
}

/// What storing leaves open: the cold clock goes on where it is too warm or nobody says how cold it is.
QString clockGoesOn(const Item &item, const HoldingLimit &limit, const HeldActs &with, const StoredAct &act)
{
    const auto times = with.timesFor(limit);
    if (!times || act.temperatureC)
        return {};
    const auto readings = coldClock(limit, *times, act.at);
    const bool running = std::any_of(readings.begin(), readings.end(), [&](const ClockReading &r) {
        return !isMet(r) && (limit.preservatives.isEmpty() || r.what == coldWords());
    });
    return running ? QStringLiteral(
                         "%1: how cold is %2? Until its temperature is recorded the cold clock goes on")
                         .arg(item.id, act.place)
                   : QString();
}

bool suits(const HoldingLimit &limit, const QString &preservative)
{
    return limit.preservatives.isEmpty() ||
           std::any_of(limit.preservatives.begin(), limit.preservatives.end(),
                       [&](const QString &word) { return standsIn(word, preservative); });
}

Done recordHeld(CruiseFile &file, const Act &act, const QString &verb, const Item &item, QJsonObject body,
                const QStringList &warnings)
{
    body.insert(QStringLiteral("id"), item.id);
    body.insert(QStringLiteral("warnings"), warnings.join(QStringLiteral("; ")));
    return recordEntry(file, act, verb, body);
}

} // namespace

bool isFormaldehyde(const QString &preservative)
{
    return preservative.contains(formalin, Qt::CaseInsensitive) ||
           preservative.contains(formaldehyde, Qt::CaseInsensitive) ||
           preservative.contains(QStringLiteral("formol"), Qt::CaseInsensitive);
}

Result<QString> checkedBase(const QString &base)
{
    const QString word = base.trimmed().toLower();
    if (word.isEmpty())
        return QStringLiteral("");
    if (word == formalin || word == formaldehyde)
        return word;
    return fail(ErrorKind::Usage,
                QStringLiteral("The base is formalin or formaldehyde, not \"%1\".").arg(base.trimmed()));
}

BothPercents bothPercents(const QString &percent, const QString &base)
{
    if (!percent.isEmpty() && base == formalin)
        return {percent, percentText(formaldehydeOfFormalin(percent.toDouble()))};
    if (!percent.isEmpty() && base == formaldehyde)
        return {percentText(formalinOfFormaldehyde(percent.toDouble())), percent};
    return {QStringLiteral(""), QStringLiteral("")};
}

Result<HoldingRules> HoldingRules::load()
{
    auto limits = HoldingTable::load();
    if (!limits)
        return limits.error();
    auto kinds = KindTable::load();
    if (!kinds)
        return kinds.error();
    return HoldingRules{std::move(*limits), std::move(*kinds)};
}

const HoldingLimit *HoldingRules::of(const Item &item) const
{
    return limits.find(item.what, kinds.familyOf(item.what), item.purpose);
}

Result<HeldNotice> preserveItems(CruiseFile &file, const Act &act, const QStringList &ids,
                                 const Preservative &preservative, const HoldingRules &rules)
{
    const auto body = preservativeBody(preservative);
    if (!body)
        return body.error();
    return file.write([&]() -> Result<HeldNotice> {
        const auto items = itemsAt(file.db(), ids, preservative.at, act.now);
        if (!items)
            return items.error();
        HeldNotice notice;
        notice.cautions = rules.limits.cautionsFor(preservative.name);
        for (const Item &item : *items) {
            QStringList warnings;
            if (const HoldingLimit *limit = rules.of(item)) {
                if (!suits(*limit, preservative.name))
                    warnings << QStringLiteral("%1: for %2, %3 is not usual, but %4")
                                    .arg(item.id, limit->purpose.isEmpty() ? item.what : limit->purpose,
                                         preservative.name.trimmed(),
                                         limit->preservatives.join(QStringLiteral(" or ")));
                const auto book = HeldBook::readOf(file.db(), item.sample);
                if (!book)
                    return book.error();
                const HeldActs before = book->of(item.id);
                HeldActs with = before;
                with.preserved.push_back(preservative.at);
                warnings += lateWarnings(item, *limit, before, with, preservative.at);
            }
            if (auto done = recordHeld(file, act, verb::itemPreserved, item, *body, warnings); !done)
                return done.error();
            notice.warnings += warnings;
        }
        return notice;
    });
}

Result<QString> checkedPlace(const QString &place)
{
    QStringList parts = place.split(QLatin1Char('/'));
    for (QString &part : parts) {
        if (auto line = wantOneLine(part.trimmed(), QStringLiteral("Each part of a place")); !line)
            return line.error();
        part = part.simplified();
    }
    if (parts.contains(QString()) || parts.size() > 10 || place.size() > 500)
        return fail(
            ErrorKind::Usage,
            QStringLiteral("\"%1\" is no place; one is written from the largest to the smallest part, "
                           "as in ship/lab 2/freezer A/shelf 3.")
                .arg(place));
    return parts.join(QLatin1Char('/'));
}

Result<HeldNotice> storeItems(CruiseFile &file, const Act &act, const QStringList &ids, const QString &place,
                              const QString &temperatureC, UtcTime at, const HoldingRules &rules)
{
    const auto path = checkedPlace(place);
    if (!path)
        return path.error();
    const QString temperature = temperatureC.trimmed();
    bool number = false;
    const double degrees = temperature.toDouble(&number);
    if (!temperature.isEmpty() && !(number && degrees >= -273.15 && degrees <= 100))
        return fail(ErrorKind::Usage,
                    QStringLiteral("The temperature must be degrees Celsius, -273.15 to 100, not \"%1\".")
                        .arg(temperature));
    return file.write([&]() -> Result<HeldNotice> {
        const auto items = itemsAt(file.db(), ids, at, act.now);
        if (!items)
            return items.error();
        HeldNotice notice;
        notice.cautions = rules.limits.cautionsFor(*path);
        for (const Item &item : *items) {
            QStringList warnings;
            const HoldingLimit *limit = rules.of(item);
            if (limit && number && (degrees < limit->lowestC || degrees > limit->highestC))
                warnings << QStringLiteral("%1 at %2 C: it should be held at %3 to %4 C")
                                .arg(item.id, temperature)
                                .arg(limit->lowestC)
                                .arg(limit->highestC);
            if (limit) {
                const auto book = HeldBook::readOf(file.db(), item.sample);
                if (!book)
                    return book.error();
                const HeldActs before = book->of(item.id);
                const StoredAct stored{at, *path, number ? std::optional(degrees) : std::nullopt};
                HeldActs with = before;
                with.stored.push_back(stored);
                warnings += lateWarnings(item, *limit, before, with, at);
                if (const QString open = clockGoesOn(item, *limit, with, stored); !open.isEmpty())
                    warnings << open;
            }
            const QJsonObject body{{QStringLiteral("place"), *path},
                                   {QStringLiteral("temperatureC"), temperature},
                                   {QStringLiteral("timeUs"), static_cast<qint64>(microsecondsOf(at))}};
            if (auto done = recordHeld(file, act, verb::itemStored, item, body, warnings); !done)
                return done.error();
            notice.warnings += warnings;
        }
        return notice;
    });
}

Result<std::vector<PreservationInfo>> readPreservations(const Database &db, const QString &id)
{
    auto rows =
        query(db.connection(),
              QStringLiteral("SELECT p.item, p.preservative, p.percent, p.base, p.formalin_percent, "
                             "p.formaldehyde_percent, p.container, p.container_number, "
                             "p.container_count, p.warnings, p.by_whom, p.time_us FROM preservation p "
                             "JOIN ledger l ON l.uuid=p.entry WHERE p.item=? ORDER BY p.time_us, "
                             "l.lamport, l.station, l.seq"),
              {id});
    if (!rows)
        return rows.error();
    std::vector<PreservationInfo> out;
    while (rows->next())
        out.push_back({rows->text(0), rows->text(1), rows->text(2), rows->text(3), rows->text(4),
                       rows->text(5), rows->text(6), static_cast<int>(rows->integer(7)),
                       static_cast<int>(rows->integer(8)), rows->text(9), rows->text(10),
                       utcFromMicroseconds(rows->integer(11))});
    return out;
}

namespace
{

Result<std::vector<StorageInfo>> storageRows(Result<Statement> rows)
{
    if (!rows)
        return rows.error();
    std::vector<StorageInfo> out;
    while (rows->next())
        out.push_back({rows->text(0), rows->text(1), rows->text(2), rows->text(3), rows->text(4),
                       utcFromMicroseconds(rows->integer(5))});
    return out;
}

} // namespace

Result<std::vector<StorageInfo>> readStorage(const Database &db, const QString &id)
{
    return storageRows(
        query(db.connection(),
              QStringLiteral("SELECT s.item, s.place, s.temperature_c, s.warnings, s.by_whom, s.time_us FROM "
                             "storage s JOIN ledger l ON l.uuid=s.entry WHERE s.item=? ORDER BY s.time_us, "
                             "l.lamport, l.station, l.seq"),
              {id}));
}

Result<std::vector<StorageInfo>> readPlace(const Database &db, const QString &place)
{
    // '0' follows '/' in the order of text, so the second bound ends what begins with "place/".
    return storageRows(query(
        db.connection(),
        QStringLiteral("SELECT item, place, temperature_c, warnings, by_whom, time_us FROM (SELECT s.*, "
                       "row_number() OVER (PARTITION BY s.item ORDER BY s.time_us DESC, l.lamport DESC, "
                       "l.station DESC, l.seq DESC) AS back FROM storage s JOIN ledger l ON l.uuid=s.entry) "
                       "WHERE back=1 AND (?='' OR place=? OR (place>=? AND place<?)) ORDER BY place, item"),
        {place.isNull() ? QStringLiteral("") : place, place, place + QLatin1Char('/'),
         place + QLatin1Char('0')}));
}

VerbRules preservationVerbRules()
{
    return {{verb::itemPreserved, projectPreserved}, {verb::itemStored, projectStored}};
}

} // namespace holdfast
