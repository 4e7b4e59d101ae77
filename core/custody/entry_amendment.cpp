// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/entry_amendment.h"

#include "custody/custody_verbs.h"
#include "custody/custody_words.h"
#include "custody/entry_body.h"
#include "custody/items.h"
#include "custody/preservation.h"
#include "custody/specimens.h"
#include "dive/act_steps.h"
#include "dive/moments.h"
#include "dive/one_line.h"
#include "dive/readers.h"
#include "dive/verbs.h"

#include <QDate>
#include <QRegularExpression>
#include <algorithm>

namespace holdfast
{

namespace
{

enum class Form { Words, Text, Needed, Time, Whole, Degrees, Percent, Base, Place, Condition, Rank, Date };

/// A value that can be corrected: its word for people, the column that holds it, and the tables with that
/// column, the first of which is read.
struct Field {
    QString name, column;
    QStringList tables;
    Form form;
};

QString s(const char *text)
{
    return QString::fromLatin1(text);
}

const QHash<QString, std::vector<Field>> &fields()
{
    static const QHash<QString, std::vector<Field>> all{
        {verb::itemPreserved,
         {{s("preservative"), s("preservative"), {s("preservation")}, Form::Needed},
          {s("percent"), s("percent"), {s("preservation")}, Form::Percent},
          {s("base"), s("base"), {s("preservation")}, Form::Base},
          {s("container"), s("container"), {s("preservation")}, Form::Words},
          {s("time"), s("time_us"), {s("preservation")}, Form::Time}}},
        {verb::itemStored,
         {{s("place"), s("place"), {s("storage")}, Form::Place},
          {s("temperature"), s("temperature_c"), {s("storage")}, Form::Degrees},
          {s("time"), s("time_us"), {s("storage")}, Form::Time}}},
        {verb::itemIdentified,
         {{s("name"), s("name"), {s("identification")}, Form::Needed},
          {s("rank"), s("rank"), {s("identification")}, Form::Rank},
          {s("qualifier"), s("qualifier"), {s("identification")}, Form::Words},
          {s("identified by"), s("identified_by"), {s("identification")}, Form::Needed},
          {s("date"), s("date"), {s("identification")}, Form::Date},
          {s("remark"), s("remark"), {s("identification")}, Form::Text}}},
        {verb::photographLinked,
         {{s("caption"), s("caption"), {s("photograph")}, Form::Text},
          {s("path"), s("path"), {s("photograph")}, Form::Needed}}},
        {verb::custodianAppointed, {{s("time"), s("time_us"), {s("custodian")}, Form::Time}}},
        {verb::handOverOffered,
         {{s("carrier"), s("carrier"), {s("hand_over"), s("custody_event")}, Form::Words},
          {s("tracking"), s("tracking"), {s("hand_over")}, Form::Words},
          {s("place"), s("place"), {s("hand_over"), s("custody_event")}, Form::Place},
          {s("remark"), s("remark"), {s("hand_over")}, Form::Text},
          {s("time"), s("time_us"), {s("hand_over"), s("custody_event")}, Form::Time}}},
        {verb::handOverAnswered,
         {{s("condition"), s("condition"), {s("hand_over_answer")}, Form::Condition},
          {s("temperature"), s("temperature_c"), {s("hand_over_answer")}, Form::Degrees},
          {s("count"), s("count"), {s("hand_over_answer")}, Form::Whole},
          {s("remark"), s("remark"), {s("hand_over_answer")}, Form::Text},
          {s("time"),
           s("time_us"),
           {s("hand_over_answer"), s("custody_event"), s("seal_event")},
           Form::Time}}},
        {verb::custodyClaimed,
         {{s("reason"), s("reason"), {s("custody_event")}, Form::Needed},
          {s("place"), s("place"), {s("custody_event")}, Form::Place},
          {s("time"), s("time_us"), {s("custody_event")}, Form::Time}}},
        {verb::custodyEnded,
         {{s("place"), s("place"), {s("custody_event")}, Form::Place},
          {s("time"), s("time_us"), {s("custody_event")}, Form::Time}}},
        {verb::sealApplied,
         {{s("reason"), s("reason"), {s("seal_event")}, Form::Words},
          {s("time"), s("time_us"), {s("seal_event")}, Form::Time}}},
        {verb::sealInspected, {{s("time"), s("time_us"), {s("seal_event")}, Form::Time}}},
        {verb::sealBroken,
         {{s("reason"), s("reason"), {s("seal_event")}, Form::Needed},
          {s("time"), s("time_us"), {s("seal_event")}, Form::Time}}},
    };
    return all;
}

const Field *fieldOf(const QString &verb, const QString &name)
{
    const auto list = fields().constFind(verb);
    if (list == fields().constEnd())
        return nullptr;
    const auto field =
        std::find_if(list->begin(), list->end(), [&name](const Field &f) { return f.name == name; });
    return field == list->end() ? nullptr : &*field;
}

Error notSuch(const QString &what, const QString &value)
{
    return fail(ErrorKind::Usage, QStringLiteral("%1, not \"%2\".").arg(what, value));
}

/// A value as the record keeps it; a time as ISO 8601 with every microsecond.
Result<QString> checkedValue(const Field &field, const QString &typed)
{
    const QString v = typed.trimmed();
    bool number = false;
    const double real = v.toDouble(&number);
    const bool longer = field.form == Form::Text || field.name == s("reason") || field.name == s("path");
    if (auto line =
            wantOneLine(v, QStringLiteral("The %1").arg(field.name), longer ? longestRemark : longestName);
        !line)
        return line.error();
    switch (field.form) {
    case Form::Words:
    case Form::Text:
        return v;
    case Form::Needed:
        if (v.isEmpty())
            return fail(ErrorKind::Usage, QStringLiteral("The %1 can't be empty.").arg(field.name));
        return v;
    case Form::Time:
        if (const auto t = parseIsoUtc(v.toStdString()))
            return toIsoMicro(*t);
        return notSuch(QStringLiteral("A time must be UTC as in 2026-03-12T14:22:07Z"), v);
    case Form::Whole: {
        const int whole = v.toInt(&number);
        if (number && whole >= 1 && whole <= 100000)
            return QString::number(whole);
        return notSuch(QStringLiteral("The count must be 1 to 100000"), v);
    }
    case Form::Degrees:
        if (v.isEmpty() || (number && real >= -273.15 && real <= 100))
            return v;
        return notSuch(QStringLiteral("The temperature must be degrees Celsius, -273.15 to 100"), v);
    case Form::Percent:
        if (v.isEmpty() || (number && real > 0 && real <= 100))
            return v;
        return notSuch(QStringLiteral("The concentration must be a percentage above 0, at most 100"), v);
    case Form::Base:
        return checkedBase(v);
    case Form::Place:
        return checkedPlace(v);
    case Form::Condition:
        return checkedCondition(v);
    case Form::Rank:
        if (v.isEmpty() || taxonRanks().contains(v.toLower()))
            return v.toLower();
        return notSuch(QStringLiteral("The rank must be one of %1").arg(taxonRanks().join(s(", "))), v);
    case Form::Date:
        if (QDate::fromString(v, s("yyyy-MM-dd")).isValid())
            return v;
        return notSuch(QStringLiteral("The date must be as in 2026-03-12"), v);
    }
    return v;
}

Result<QString> currentValue(const Database &db, const Field &field, const QString &entry)
{
    auto row = query(
        db.connection(),
        QStringLiteral("SELECT %1 FROM %2 WHERE entry=?").arg(field.column, field.tables.front()), {entry});
    if (!row)
        return row.error();
    if (!row->next())
        return fail(ErrorKind::NotFound,
                    QStringLiteral("That entry is not in the table %1.").arg(field.tables.front()));
    if (field.form == Form::Time)
        return toIsoMicro(utcFromMicroseconds(row->integer(0)));
    const QString text = row->text(0);
    return text.isNull() ? QStringLiteral("") : text;
}

/// A percentage of formalin or formaldehyde stands in the table in both ways of counting; another in neither.
Done updateBothPercents(const Database &db, const QString &entry)
{
    auto row = query(db.connection(), s("SELECT percent, base FROM preservation WHERE entry=?"), {entry});
    if (!row)
        return row.error();
    if (!row->next())
        return {};
    const BothPercents both = bothPercents(row->text(0), row->text(1));
    row->reset();
    return execSql(db.connection(),
                   s("UPDATE preservation SET formalin_percent=?, formaldehyde_percent=? WHERE entry=?"),
                   {both.formalin, both.formaldehyde, entry});
}

Done projectAmended(const Database &db, const Entry &e)
{
    const EntryBody b(e);
    const Field *field = fieldOf(b.text("verb"), b.text("field"));
    if (!field)
        return fail(
            ErrorKind::Malformed,
            QStringLiteral("An entry \"%1\" has no field \"%2\".").arg(b.text("verb"), b.text("field")));
    const QString value = b.text("new");
    QVariant bound = value;
    if (field->form == Form::Time) {
        const auto time = parseIsoUtc(value.toStdString());
        if (!time)
            return fail(ErrorKind::Malformed, QStringLiteral("\"%1\" is no time.").arg(value));
        bound = static_cast<qint64>(microsecondsOf(*time));
    } else if (field->form == Form::Whole) {
        bound = value.toLongLong();
    }
    for (const QString &table : field->tables) {
        if (auto done = execSql(db.connection(),
                                QStringLiteral("UPDATE %1 SET %2=? WHERE entry=?").arg(table, field->column),
                                {bound, b.text("entry")});
            !done)
            return done;
    }
    if (field->form == Form::Percent || field->form == Form::Base) {
        if (auto done = updateBothPercents(db, b.text("entry")); !done)
            return done;
    }
    return execSql(db.connection(),
                   s("INSERT INTO entry_amendment (entry, lamport, target, field, old_value, new_value, "
                     "reason, by_whom, time_us) VALUES (?,?,?,?,?,?,?,?,?)"),
                   {e.uuid, e.lamport, b.text("entry"), b.text("field"), b.text("old"), value,
                    b.text("reason"), e.actor, e.timeUs});
}

/// Whom an entry is about, of those tables that say it.
Result<QStringList> itemsOf(const Database &db, const QString &entry)
{
    auto rows = query(db.connection(),
                      s("SELECT item FROM preservation WHERE entry=? UNION SELECT item FROM storage WHERE "
                        "entry=? UNION SELECT item FROM custody_event WHERE entry=? UNION SELECT item FROM "
                        "seal_item WHERE seal IN (SELECT seal FROM seal_event WHERE entry=?)"),
                      {entry, entry, entry, entry});
    if (!rows)
        return rows.error();
    QStringList items;
    while (rows->next())
        items << rows->text(0);
    return items;
}

/// Nothing happens in the future, nor to what was not collected yet.
Done timeFits(const Database &db, const Act &act, const QString &entry, const QString &iso)
{
    const auto at = parseIsoUtc(iso.toStdString());
    if (!at)
        return fail(ErrorKind::Internal, QStringLiteral("\"%1\" is no time.").arg(iso));
    if (*at > act.now)
        return fail(ErrorKind::Refused,
                    QStringLiteral("%1 is after now (%2).").arg(toIso(*at), toIso(act.now)));
    const auto items = itemsOf(db, entry);
    if (!items)
        return items.error();
    for (const QString &id : *items) {
        const auto item = readItem(db, id);
        if (!item)
            return item.error();
        // A part may have been worked on before its split was written down.
        const auto sample = readSample(db, item->sample);
        if (!sample)
            return sample.error();
        if (*at < sample->time)
            return fail(ErrorKind::Refused, QStringLiteral("%1 is before %2 was collected (%3).")
                                                .arg(toIso(*at), item->id, toIso(sample->time)));
    }
    return {};
}

/// A stamp's or a phase's time has a correction of its own (dive/moments.h).
bool isMoment(const QString &verb)
{
    return verb == verb::stampTaken || verb == verb::phaseReached || verb == verb::phaseCorrected;
}

Done amendMoment(CruiseFile &file, const Act &act, const Entry &target, const QString &value,
                 const QString &reason)
{
    const auto at = parseIsoUtc(value.trimmed().toStdString());
    if (!at)
        return notSuch(QStringLiteral("A time must be UTC as in 2026-03-12T14:22:07Z"), value);
    const QJsonObject body = target.bodyObject();
    if (target.verb == verb::stampTaken)
        return correctStampTime(file, act, body.value(s("stamp")).toString(), *at, reason);
    const auto phase = phaseFrom(body.value(s("phase")).toString());
    if (!phase)
        return fail(ErrorKind::Malformed, QStringLiteral("The entry names no phase."));
    return correctPhase(file, act, body.value(s("dive")).toInt(), *phase, *at, reason);
}

} // namespace

Result<Entry> readEntry(const Database &db, const QString &name)
{
    static const QRegularExpression form(s("^(.+?)[ :](\\d{1,18})$"));
    const QString t = name.trimmed();
    const auto match = form.match(t);
    auto row =
        match.hasMatch()
            ? query(db.connection(),
                    s("SELECT station, seq, lamport, uuid, time_us, actor, verb, body, prev, hash FROM "
                      "ledger WHERE station=? AND seq=?"),
                    {match.captured(1).trimmed(), match.captured(2).toLongLong()})
            : query(db.connection(),
                    s("SELECT station, seq, lamport, uuid, time_us, actor, verb, body, prev, hash FROM "
                      "ledger WHERE uuid=?"),
                    {t.toLower()});
    if (!row)
        return row.error();
    if (!row->next())
        return fail(
            ErrorKind::NotFound,
            QStringLiteral("There is no entry \"%1\"; entries are called by station and number, as in "
                           "\"van 123\" (holdfast history prints them).")
                .arg(t));
    return Entry{row->text(0), row->integer(1), row->integer(2), row->text(3), row->integer(4),
                 row->text(5), row->text(6),    row->text(7),    row->text(8), row->text(9)};
}

QStringList amendableFields(const QString &verb)
{
    QStringList names;
    for (const Field &f : fields().value(verb))
        names << f.name;
    if (isMoment(verb))
        names << s("time");
    return names;
}

namespace
{

/// A preservative as a correction finds it.
struct Preserved {
    QString name, percent, base;
};

/// The preservative that an entry put something into, as corrected so far.
Result<Preserved> preservedBy(const Database &db, const QString &entry)
{
    auto row = query(db.connection(), s("SELECT preservative, percent, base FROM preservation WHERE entry=?"),
                     {entry});
    if (!row)
        return row.error();
    if (!row->next())
        return fail(ErrorKind::NotFound, QStringLiteral("That entry is not in the table preservation."));
    return Preserved{row->text(0), row->text(1), row->text(2)};
}

/// Name, percentage and base hang together: what a correction of one leaves wrong in the others is refused,
/// or (when the name itself was wrong) cleared. @return the fields to be cleared.
Result<QStringList> clearedWith(const Preserved &is, const QString &field, const QString &value)
{
    const bool counted = isFormaldehyde(is.name);
    if (field == s("preservative")) {
        QStringList cleared;
        if (isFormaldehyde(value) == counted)
            return cleared;
        if (!is.percent.isEmpty())
            cleared << s("percent");
        if (!is.base.isEmpty())
            cleared << s("base");
        return cleared;
    }
    if (field == s("base") && !counted && !value.isEmpty())
        return fail(ErrorKind::Usage,
                    QStringLiteral("Only formalin and formaldehyde have a base; %1 has none.").arg(is.name));
    if (counted && ((field == s("percent") && !value.isEmpty() && is.base.isEmpty()) ||
                    (field == s("base") && value.isEmpty() && !is.percent.isEmpty())))
        return fail(ErrorKind::Usage,
                    QStringLiteral("A percentage of %1 needs its base, formalin or formaldehyde: correct the "
                                   "field base first (10 % formalin holds about 4 % formaldehyde).")
                        .arg(is.name));
    return QStringList();
}

} // namespace

Result<QStringList> amendEntry(CruiseFile &file, const Act &act, const QString &entry,
                               const QString &fieldName, const QString &value, const QString &reason)
{
    if (auto given = wantReason(reason); !given)
        return given.error();
    const auto moment = readEntry(file.db(), entry);
    if (!moment)
        return moment.error();
    if (isMoment(moment->verb) && fieldName.trimmed().toLower() == s("time")) {
        if (auto done = amendMoment(file, act, *moment, value, reason); !done)
            return done.error();
        return QStringList();
    }
    return file.write([&]() -> Result<QStringList> {
        const auto target = readEntry(file.db(), entry);
        if (!target)
            return target.error();
        const QStringList names = amendableFields(target->verb);
        const Field *field = fieldOf(target->verb, fieldName.trimmed().toLower());
        if (!field)
            return fail(ErrorKind::Usage,
                        names.isEmpty()
                            ? QStringLiteral("Nothing of an entry \"%1\" can be corrected this way.")
                                  .arg(target->verb)
                            : QStringLiteral("An entry \"%1\" has no field \"%2\" to correct; it has %3.")
                                  .arg(target->verb, fieldName, names.join(s(", "))));
        const auto good = checkedValue(*field, value);
        if (!good)
            return good.error();
        if (field->form == Form::Time) {
            if (auto fits = timeFits(file.db(), act, target->uuid, *good); !fits)
                return fits.error();
        }
        const auto old = currentValue(file.db(), *field, target->uuid);
        if (!old)
            return old.error();
        if (*old == *good)
            return QStringList();
        const auto record = [&](const QString &name, const QString &from, const QString &to) {
            return recordEntry(file, act, verb::entryAmended,
                               {{s("entry"), target->uuid},
                                {s("verb"), target->verb},
                                {s("field"), name},
                                {s("old"), from},
                                {s("new"), to},
                                {s("reason"), reason.trimmed()}});
        };
        QStringList cleared;
        if (target->verb == verb::itemPreserved) {
            const auto is = preservedBy(file.db(), target->uuid);
            if (!is)
                return is.error();
            auto hanging = clearedWith(*is, field->name, *good);
            if (!hanging)
                return hanging.error();
            cleared = std::move(*hanging);
            for (const QString &name : cleared) {
                if (auto done = record(name, name == s("base") ? is->base : is->percent, s("")); !done)
                    return done.error();
            }
        }
        if (auto done = record(field->name, *old, *good); !done)
            return done.error();
        return cleared;
    });
}

Result<std::vector<EntryAmendment>> readEntryAmendments(const Database &db, const QString &target)
{
    auto rows = query(db.connection(),
                      s("SELECT a.entry, a.target, a.field, a.old_value, a.new_value, a.reason, a.by_whom, "
                        "a.time_us FROM entry_amendment a JOIN ledger l ON l.uuid=a.entry WHERE a.target=? "
                        "ORDER BY l.lamport, l.station, l.seq"),
                      {target});
    if (!rows)
        return rows.error();
    std::vector<EntryAmendment> out;
    while (rows->next())
        out.push_back({rows->text(0), rows->text(1), rows->text(2), rows->text(3), rows->text(4),
                       rows->text(5), rows->text(6), utcFromMicroseconds(rows->integer(7))});
    return out;
}

VerbRules entryAmendmentVerbRules()
{
    return {{verb::entryAmended, projectAmended}};
}

} // namespace holdfast
