// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/specimens.h"

#include "dive/act_steps.h"
#include "dive/verbs.h"

#include "base/ids.h"
#include "base/regular_file.h"
#include "custody/custody_verbs.h"
#include "custody/entry_body.h"
#include "custody/inner_acts.h"
#include "custody/photograph_place.h"
#include "dive/inner_acts.h"
#include "dive/numbers.h"
#include "dive/one_line.h"
#include "feed/sha256.h"

#include <QDate>
#include <QFile>
#include <QFileInfo>
#include <QJsonDocument>

namespace holdfast
{

namespace
{

Done checkSpan(const TimeSpan &span)
{
    if (span.from <= span.to)
        return {};
    return fail(ErrorKind::Usage, QStringLiteral("The time span of the find ends (%1) before it begins (%2).")
                                      .arg(toIso(span.to), toIso(span.from)));
}

Done checkCount(std::optional<int> count)
{
    if (!count || (*count >= 1 && *count <= 100000))
        return {};
    return fail(ErrorKind::Usage, QStringLiteral("The count must be 1 to 100000, not %1.").arg(*count));
}

/// Found on deck: the earliest it can have been taken is given, the latest is the vehicle on deck.
Result<TimeSpan> spanUntilDeck(const DiveInfo &dive, std::optional<UtcTime> earliest)
{
    if (earliest && dive.onDeck)
        return TimeSpan{*earliest, std::max(*earliest, *dive.onDeck)};
    return fail(ErrorKind::Refused,
                QStringLiteral("Dive %1 has no time for \"%2\" yet, so the span in which this was collected "
                               "is unknown: give its first and last possible time, or record the phase.")
                    .arg(dive.number)
                    .arg(earliest ? QStringLiteral("on deck") : QStringLiteral("launched")));
}

/// The details as they go into the record, checked.
Result<SpecimenDetails> checkedDetails(const Database &db, const SpecimenDetails &given, int dive)
{
    SpecimenDetails d = given;
    d.material = d.material.trimmed();
    if (d.material.isEmpty())
        return fail(ErrorKind::Usage,
                    QStringLiteral("What is it? A material is needed, as in coral, tissue or rock."));
    for (const auto &[text, what] : {std::pair{d.material, QStringLiteral("The material")},
                                     std::pair{d.purpose.trimmed(), QStringLiteral("The purpose")},
                                     std::pair{d.sizeMm.trimmed(), QStringLiteral("The size")},
                                     std::pair{d.relation.trimmed(), QStringLiteral("The relation")}}) {
        if (auto line = wantOneLine(text, what); !line)
            return line.error();
    }
    if (auto good = checkCount(d.count); !good)
        return good.error();
    const auto mass = measuredText(d.massG, QStringLiteral("The mass in grams"));
    if (!mass)
        return mass.error();
    d.massG = *mass;
    if (d.foundOn.trimmed().isEmpty()) {
        if (d.span)
            return fail(
                ErrorKind::Usage,
                QStringLiteral("A time span belongs to an associate: say what it was found on. A part "
                               "of a sample has the sample's time."));
        return d;
    }
    const auto host = readItem(db, d.foundOn);
    if (!host)
        return host.error();
    d.foundOn = host->id;
    if (d.relation.trimmed().isEmpty())
        d.relation = QStringLiteral("found on");
    if (!d.span) {
        const auto info = readDive(db, dive);
        if (!info)
            return info.error();
        const auto sample = readSample(db, host->sample);
        if (!sample)
            return sample.error();
        const auto span = spanUntilDeck(*info, sample->time);
        if (!span)
            return span.error();
        d.span = *span;
    }
    if (auto good = checkSpan(*d.span); !good)
        return good.error();
    return d;
}

QJsonObject splitBody(const Item &parent, int number, const SpecimenDetails &d)
{
    QJsonObject body{{QStringLiteral("specimen"), newUuid()},
                     {QStringLiteral("id"), partId(parent.id, number)},
                     {QStringLiteral("sample"), parent.sample},
                     {QStringLiteral("parent"), parent.id},
                     {QStringLiteral("number"), number},
                     {QStringLiteral("material"), d.material},
                     {QStringLiteral("purpose"), d.purpose.trimmed()},
                     {QStringLiteral("massG"), d.massG},
                     {QStringLiteral("sizeMm"), d.sizeMm.trimmed()},
                     {QStringLiteral("description"), d.description.trimmed()},
                     {QStringLiteral("foundOn"), d.foundOn},
                     {QStringLiteral("relation"), d.relation.trimmed()}};
    if (d.count)
        body.insert(QStringLiteral("count"), *d.count);
    if (d.span) {
        body.insert(QStringLiteral("fromUs"), static_cast<qint64>(microsecondsOf(d.span->from)));
        body.insert(QStringLiteral("toUs"), static_cast<qint64>(microsecondsOf(d.span->to)));
    }
    if (d.at)
        body.insert(QStringLiteral("timeUs"), static_cast<qint64>(microsecondsOf(*d.at)));
    return body;
}

Done splitTimeFits(const Item &parent, const std::optional<UtcTime> &at, UtcTime now)
{
    if (!at)
        return {};
    if (*at > now)
        return fail(ErrorKind::Usage, QStringLiteral("%1 is in the future.").arg(toIso(*at)));
    if (*at < parent.begun)
        return fail(ErrorKind::Refused, QStringLiteral("%1 was %2 at %3, which is after %4.")
                                            .arg(parent.id,
                                                 parent.parent.isEmpty() ? QStringLiteral("taken")
                                                                         : QStringLiteral("itself split off"),
                                                 toIso(parent.begun), toIso(*at)));
    return {};
}

/// Inside a write.
Result<QString> splitOne(CruiseFile &file, const Act &act, const QString &parent,
                         const SpecimenDetails &details)
{
    const auto from = readItemAtHand(file.db(), parent);
    if (!from)
        return from.error();
    if (!from->parent.isEmpty() && from->parent != from->sample)
        return fail(ErrorKind::Refused,
                    QStringLiteral("%1 is a subsample already; split its specimen %2 instead.")
                        .arg(from->id, from->parent));
    const auto good = checkedDetails(file.db(), details, from->dive);
    if (!good)
        return good.error();
    if (auto fits = splitTimeFits(*from, details.at, act.now); !fits)
        return fits.error();
    const auto number = nextPartNumber(file.db(), file.station(), from->id);
    if (!number)
        return number.error();
    const QJsonObject body = splitBody(*from, *number, *good);
    if (auto done = recordEntry(file, act, verb::specimenSplit, body); !done)
        return done.error();
    return partId(from->id, *number);
}

} // namespace

Result<QStringList> splitSpecimens(CruiseFile &file, const Act &act, const QStringList &parents,
                                   const SpecimenDetails &details)
{
    return file.write([&]() -> Result<QStringList> {
        QStringList made;
        for (const QString &parent : parents) {
            const auto id = splitOne(file, act, parent, details);
            if (!id)
                return id.error();
            made << *id;
        }
        return made;
    });
}

Result<QString> splitSpecimen(CruiseFile &file, const Act &act, const QString &parent,
                              const SpecimenDetails &details)
{
    const auto made = splitSpecimens(file, act, {parent}, details);
    if (!made)
        return made.error();
    return made->front();
}

namespace
{

/// Inside a write.
Done voidOne(CruiseFile &file, const Act &act, const QString &id, const QString &reason)
{
    const auto item = readItemAtHand(file.db(), id);
    if (!item)
        return item.error();
    if (item->parent.isEmpty())
        return fail(ErrorKind::Refused,
                    QStringLiteral("%1 is a sample; only what was split off a sample is taken out this way.")
                        .arg(item->id));
    const auto family = readSpecimens(file.db(), item->sample);
    if (!family)
        return family.error();
    for (const SpecimenInfo &part : *family) {
        if (part.parent == item->id && part.state == QLatin1String("held"))
            return fail(ErrorKind::Refused,
                        QStringLiteral("%1 was split further, into %2: that must be taken out first.")
                            .arg(item->id, part.id));
    }
    return recordEntry(file, act, verb::specimenVoided,
                       {{QStringLiteral("id"), item->id}, {QStringLiteral("reason"), reason.trimmed()}});
}

} // namespace

Done voidSpecimens(CruiseFile &file, const Act &act, const QStringList &ids, const QString &reason)
{
    if (auto given = wantReason(reason); !given)
        return given;
    return file.write([&]() -> Done {
        for (const QString &id : ids) {
            if (auto done = voidOne(file, act, id, reason); !done)
                return done;
        }
        return {};
    });
}

Done voidSpecimen(CruiseFile &file, const Act &act, const QString &id, const QString &reason)
{
    return voidSpecimens(file, act, {id}, reason);
}

Result<LoggedSample> logFind(CruiseFile &file, const Act &act, int dive, const SampleDetails &details,
                             std::optional<TimeSpan> span, const KindTable &kinds)
{
    return file.write([&] { return recordFind(file, act, dive, details, span, kinds); });
}

Result<LoggedSample> recordFind(CruiseFile &file, const Act &act, int dive, const SampleDetails &details,
                                std::optional<TimeSpan> span, const KindTable &kinds)
{
    if (!span) {
        const auto info = readDive(file.db(), dive);
        if (!info)
            return info.error();
        const auto whole = spanUntilDeck(*info, info->launched);
        if (!whole)
            return whole.error();
        span = *whole;
    }
    if (auto good = checkSpan(*span); !good)
        return good.error();
    return recordStampedSample(
        file, act, dive, act.now, details, kinds,
        {{verb::seenFrom, toIsoMicro(span->from)}, {verb::seenTo, toIsoMicro(span->to)}});
}

std::optional<TimeSpan> findSpan(const StampInfo &stamp)
{
    const QJsonObject seen = QJsonDocument::fromJson(stamp.seen.toUtf8()).object();
    const auto from = parseIsoUtc(seen.value(verb::seenFrom).toString().toStdString());
    const auto to = parseIsoUtc(seen.value(verb::seenTo).toString().toStdString());
    if (!from || !to)
        return {};
    return TimeSpan{*from, *to};
}

const QStringList &taxonRanks()
{
    static const QStringList ranks =
        QStringLiteral("kingdom phylum subphylum class subclass order suborder superfamily family subfamily "
                       "tribe genus subgenus species subspecies variety form")
            .split(QLatin1Char(' '));
    return ranks;
}

Done identifyItem(CruiseFile &file, const Act &act, const Identification &given)
{
    return identifyItems(file, act, {given.item}, given);
}

Done identifyItems(CruiseFile &file, const Act &act, const QStringList &ids, const Identification &given)
{
    const QString name = given.name.trimmed();
    const QString rank = given.rank.trimmed().toLower();
    if (name.isEmpty())
        return fail(ErrorKind::Usage,
                    QStringLiteral("A name is needed, as in Paragorgia or \"Porifera sp. 3\"."));
    for (const auto &[text, what] : {std::pair{name, QStringLiteral("The name")},
                                     std::pair{given.qualifier.trimmed(), QStringLiteral("The qualifier")}}) {
        if (auto line = wantOneLine(text, what); !line)
            return line;
    }
    if (!rank.isEmpty() && !taxonRanks().contains(rank))
        return fail(ErrorKind::Usage,
                    QStringLiteral("\"%1\" is no rank; the ranks are %2.")
                        .arg(given.rank.trimmed(), taxonRanks().join(QStringLiteral(", "))));
    const QString date = given.date.trimmed().isEmpty() ? dateText(act.now) : given.date.trimmed();
    if (!QDate::fromString(date, QStringLiteral("yyyy-MM-dd")).isValid())
        return fail(ErrorKind::Usage, QStringLiteral("The date of the identification must be as in "
                                                     "2026-03-12, not \"%1\".")
                                          .arg(date));
    // The day may have begun already where the person is.
    if (date > dateText(act.now + std::chrono::hours(24)))
        return fail(ErrorKind::Usage,
                    QStringLiteral("The date of the identification, %1, is in the future.").arg(date));
    const QString who = given.identifiedBy.trimmed().isEmpty() ? act.person : given.identifiedBy.trimmed();
    if (auto named = checkPersonName(who); !named)
        return named;
    return file.write([&]() -> Done {
        for (const QString &id : ids) {
            const auto item = readItem(file.db(), id);
            if (!item)
                return item.error();
            if (auto done = recordEntry(file, act, verb::itemIdentified,
                                        {{QStringLiteral("id"), item->id},
                                         {QStringLiteral("name"), name},
                                         {QStringLiteral("rank"), rank},
                                         {QStringLiteral("qualifier"), given.qualifier.trimmed()},
                                         {QStringLiteral("identifiedBy"), who},
                                         {QStringLiteral("date"), date},
                                         {QStringLiteral("remark"), given.remark.trimmed()}});
                !done)
                return done;
        }
        return {};
    });
}

Result<Photograph> readPhotograph(const QString &path)
{
    QFile file(path);
    if (auto regular = wantRegularFile(path); !regular)
        return regular.error();
    if (!file.open(QIODevice::ReadOnly))
        return fail(ErrorKind::Unreadable,
                    QStringLiteral("%1 can't be read: %2.").arg(path, file.errorString()));
    Photograph photo;
    Sha256 sum;
    while (!file.atEnd()) {
        const QByteArray piece = file.read(1 << 20);
        if (piece.isEmpty())
            break;
        photo.bytes += piece.size();
        sum.add(piece);
    }
    if (file.error() != QFileDevice::NoError)
        return fail(ErrorKind::Unreadable,
                    QStringLiteral("%1 can't be read to its end: %2.").arg(path, file.errorString()));
    if (photo.bytes == 0)
        return fail(ErrorKind::Unreadable,
                    QStringLiteral("%1 is empty or no file; a photograph was expected.").arg(path));
    const auto digest = sum.finish();
    if (!digest)
        return digest.error();
    photo.sha256 = QString::fromLatin1(digest->toHex());
    photo.path = path;
    photo.fileName = QFileInfo(path).fileName();
    return photo;
}

Result<Photograph> linkPhotograph(CruiseFile &file, const Act &act, const QString &itemId,
                                  const QString &path, const QString &caption)
{
    return linkPhotographs(file, act, {itemId}, path, caption);
}

Result<Photograph> linkPhotographs(CruiseFile &file, const Act &act, const QStringList &ids,
                                   const QString &path, const QString &caption)
{
    const auto seen = readPhotograph(path);
    if (!seen)
        return seen;
    return linkPhotographs(file, act, ids, *seen, caption);
}

Result<Photograph> linkPhotographs(CruiseFile &file, const Act &act, const QStringList &ids,
                                   const Photograph &seen, const QString &caption)
{
    const QString itself = QFileInfo(file.db().path()).canonicalFilePath();
    if (!itself.isEmpty() && itself == QFileInfo(seen.path).canonicalFilePath())
        return fail(
            ErrorKind::Refused,
            QStringLiteral("%1 is the cruise file itself; a photograph was expected.").arg(seen.path));
    if (auto line = wantOneLine(seen.path, QStringLiteral("The name of a photograph's file"), longestRemark);
        !line)
        return line.error();
    Photograph photo = seen;
    photo.path = recordedPlace(file.db().path(), seen.path);
    photo.caption = caption.trimmed();
    photo.by = act.person;
    photo.time = act.now;
    return file.write([&]() -> Result<Photograph> {
        for (const QString &id : ids) {
            const auto item = readItem(file.db(), id);
            if (!item)
                return item.error();
            photo.item = item->id;
            const auto there = readPhotographs(file.db(), item->id);
            if (!there)
                return there.error();
            for (const Photograph &p : *there) {
                if (p.sha256 == photo.sha256)
                    return fail(
                        ErrorKind::Duplicate,
                        QStringLiteral("%1 has this photograph already, as %2.").arg(item->id, p.fileName));
            }
            if (auto done = recordEntry(file, act, verb::photographLinked,
                                        {{QStringLiteral("id"), item->id},
                                         {QStringLiteral("fileName"), photo.fileName},
                                         {QStringLiteral("path"), photo.path},
                                         {QStringLiteral("sha256"), photo.sha256},
                                         {QStringLiteral("bytes"), photo.bytes},
                                         {QStringLiteral("caption"), photo.caption}});
                !done)
                return done.error();
        }
        return photo;
    });
}

namespace
{

/// Inside a write.
Done amendOne(CruiseFile &file, const Act &act, const QString &id, const QString &field, const QString &value,
              const QString &reason)
{
    const auto specimen = readSpecimen(file.db(), id);
    if (!specimen)
        return specimen.error();
    const SpecimenDetails &d = specimen->details;
    const QMap<QString, QString> now{
        {QStringLiteral("material"), d.material},
        {QStringLiteral("purpose"), d.purpose},
        {QStringLiteral("count"), d.count ? QString::number(*d.count) : QString()},
        {QStringLiteral("mass"), d.massG},
        {QStringLiteral("size"), d.sizeMm},
        {QStringLiteral("description"), d.description}};
    const QString v = value.trimmed();
    if (!now.contains(field))
        return fail(ErrorKind::Usage, QStringLiteral("A specimen has no field \"%1\"; it has %2.")
                                          .arg(field, QStringList(now.keys()).join(QStringLiteral(", "))));
    if (field == QLatin1String("material") && v.isEmpty())
        return fail(ErrorKind::Usage, QStringLiteral("A specimen needs a material."));
    if (field != QLatin1String("description")) {
        if (auto line = wantOneLine(v, QStringLiteral("The new text for \"%1\"").arg(field)); !line)
            return line;
    }
    if (field == QLatin1String("count") && !v.isEmpty()) {
        bool whole = false;
        const int count = v.toInt(&whole);
        if (auto good = checkCount(whole ? count : 0); !good)
            return good;
    }
    if (field == QLatin1String("mass")) {
        if (auto good = measuredText(v, QStringLiteral("The mass in grams")); !good)
            return good.error();
    }
    if (v == now.value(field))
        return {};
    return recordEntry(file, act, verb::specimenAmended,
                       {{QStringLiteral("id"), specimen->id},
                        {QStringLiteral("field"), field},
                        {QStringLiteral("old"), now.value(field)},
                        {QStringLiteral("new"), v},
                        {QStringLiteral("reason"), reason.trimmed()}});
}

} // namespace

Done amendItems(CruiseFile &file, const Act &act, const QStringList &ids, const QString &field,
                const QString &value, const QString &reason, const KindTable &kinds)
{
    if (auto given = wantReason(reason); !given)
        return given;
    return file.write([&]() -> Done {
        for (const QString &id : ids) {
            const auto item = readItem(file.db(), id);
            if (!item)
                return item.error();
            const Done done = item->parent.isEmpty() ? recordSampleAmendment(file, act, item->id,
                                                                             {{field, value}}, reason, kinds)
                                                     : amendOne(file, act, item->id, field, value, reason);
            if (!done)
                return done;
        }
        return {};
    });
}

Done amendSpecimen(CruiseFile &file, const Act &act, const QString &id, const QString &field,
                   const QString &value, const QString &reason)
{
    if (auto given = wantReason(reason); !given)
        return given;
    return file.write([&]() { return amendOne(file, act, id, field, value, reason); });
}

} // namespace holdfast
