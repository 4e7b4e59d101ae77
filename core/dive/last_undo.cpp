// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/last_undo.h"

#include "dive/actions.h"
#include "dive/inner_acts.h"
#include "dive/readers.h"
#include "dive/slot_conditions.h"
#include "dive/verbs.h"
#include "store/sql.h"

#include <QJsonDocument>
#include <QJsonObject>
#include <QStringList>

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

/// Those of one action: lids of a box are moved by one key, an entry each.
struct Last {
    QString uuid, verb;
    std::vector<QJsonObject> bodies;
    [[nodiscard]] QString text(const char *key) const
    {
        return bodies.front().value(QLatin1String(key)).toString();
    }
    [[nodiscard]] QStringList slotCodes() const
    {
        QStringList codes;
        for (auto body = bodies.rbegin(); body != bodies.rend(); ++body)
            codes << body->value(u"slot"_s).toString();
        return codes;
    }
};

Result<std::optional<Last>> lastActionOf(const CruiseFile &file)
{
    auto rows =
        query(file.db().connection(),
              u"SELECT uuid, verb, body, time_us, actor FROM ledger WHERE station=? AND verb NOT IN "
              "(?, ?, ?, ?) ORDER BY seq DESC"_s,
              {file.station(), verb::recordingClosed, verb::logTakenIn, verb::feedSet, verb::watchChanged});
    if (!rows)
        return rows.error();
    std::optional<Last> last;
    qint64 timeUs = 0;
    QString actor;
    while (rows->next()) {
        if (last && (rows->text(1) != last->verb || rows->integer(3) != timeUs || rows->text(4) != actor))
            break;
        if (!last) {
            last = Last{rows->text(0), rows->text(1), {}};
            timeUs = rows->integer(3);
            actor = rows->text(4);
        }
        last->bodies.push_back(QJsonDocument::fromJson(rows->text(2).toUtf8()).object());
        if (last->verb != verb::lidMoved && last->verb != verb::reachChanged)
            break;
    }
    return last;
}

QString timeOf(const StampInfo &stamp)
{
    return clockText(stamp.time);
}

using Found = Result<std::optional<LedgerUndo>>;

Found undoOfStamp(const CruiseFile &file, const Last &last)
{
    const auto stamp = readStamp(file.db(), last.text("stamp"));
    if (!stamp)
        return stamp.error();
    if (last.verb == verb::stampTaken) {
        const bool again = last.bodies.front().value(u"seen"_s).toObject().contains(u"again"_s);
        if (again || stamp->state != u"waiting"_s)
            return std::optional<LedgerUndo>();
        return std::optional(LedgerUndo{last.uuid, u"the stamp of %1"_s.arg(timeOf(*stamp)),
                                        [uuid = stamp->uuid](CruiseFile &f, const Act &now) {
                                            return setStampAside(f, now, uuid, takenBack);
                                        }});
    }
    if (last.text("reason") == takenBack)
        return std::optional<LedgerUndo>();
    return std::optional(LedgerUndo{
        last.uuid,
        (last.verb == verb::stampFailed ? u"the failed attempt of %1"_s : u"setting aside %1"_s)
            .arg(timeOf(*stamp)),
        [uuid = stamp->uuid](CruiseFile &f, const Act &now) { return reopenStamp(f, now, uuid); }});
}

Found undoOfSample(const Last &last)
{
    const QString id = last.text("id");
    if (last.verb == verb::sampleMoved) {
        if (last.text("reason") == takenBack)
            return std::optional<LedgerUndo>();
        return std::optional(
            LedgerUndo{last.uuid, u"the move of %1 to %2"_s.arg(id, last.text("to")),
                       [id, from = last.text("from")](CruiseFile &f, const Act &now) -> Done {
                           const auto back = moveSample(f, now, id, from, takenBack);
                           return back ? Done() : Done(back.error());
                       }});
    }
    return std::optional(
        LedgerUndo{last.uuid, u"%1; its moment waits again"_s.arg(id),
                   [id](CruiseFile &f, const Act &now) { return takeBackSample(f, now, id); }});
}

Found undoOfSlots(const Last &last)
{
    const QStringList codes = last.slotCodes();
    const QString said = codes.join(u' ');
    const int dive = last.bodies.front().value(u"dive"_s).toInt();
    if (last.text("reason") == takenBack)
        return std::optional<LedgerUndo>();
    if (last.verb == verb::reachChanged) {
        const bool reachable = last.bodies.front().value(u"reachable"_s).toBool();
        return std::optional(
            LedgerUndo{last.uuid, u"the reach of %1"_s.arg(said), [=](CruiseFile &f, const Act &now) {
                           return setReaches(f, now, dive, codes, !reachable, takenBack);
                       }});
    }
    const bool open = last.bodies.front().value(u"open"_s).toBool();
    const UtcTime at =
        utcFromMicroseconds(static_cast<qint64>(last.bodies.front().value(u"timeUs"_s).toDouble()));
    // Moved back at the same moment, so that no time of lying open comes of a slip of the hand.
    return std::optional(
        LedgerUndo{last.uuid, (open ? u"opening the lid of %1"_s : u"shutting the lid of %1"_s).arg(said),
                   [=](CruiseFile &f, const Act &now) {
                       return moveLids(f, now, dive, codes, !open, at + Microseconds(1), takenBack);
                   }});
}

} // namespace

Done takeBackSample(CruiseFile &file, const Act &act, const QString &id)
{
    return file.write([&]() -> Done {
        const auto sample = readSample(file.db(), id);
        if (!sample)
            return sample.error();
        if (auto gone = recordSampleState(file, act, id, u"void"_s, takenBack); !gone)
            return gone;
        const auto stamp = readStamp(file.db(), sample->stamp);
        if (!stamp)
            return stamp.error();
        const auto again = recordStamp(file, act, stamp->dive, stamp->time, {{u"again"_s, id}});
        return again ? Done() : Done(again.error());
    });
}

Result<std::optional<LedgerUndo>> lastUndo(const CruiseFile &file)
{
    const auto last = lastActionOf(file);
    if (!last)
        return last.error();
    if (!last->has_value())
        return std::optional<LedgerUndo>();
    const QString &did = (*last)->verb;
    if (did == verb::stampTaken || did == verb::stampFailed || did == verb::stampSetAside)
        return undoOfStamp(file, **last);
    if (did == verb::sampleLogged || did == verb::sampleMoved)
        return undoOfSample(**last);
    if (did == verb::lidMoved || did == verb::reachChanged)
        return undoOfSlots(**last);
    return std::optional<LedgerUndo>();
}

} // namespace holdfast
