// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/intake_entry.h"

#include "feed/sha256.h"

#include <QJsonArray>

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

QJsonArray counted(const std::vector<ReasonCount> &reasons)
{
    QJsonArray list;
    for (const ReasonCount &r : reasons)
        list.append(QJsonObject{{u"reason"_s, r.reason},
                                {u"count"_s, static_cast<qint64>(r.count)},
                                {u"firstLine"_s, static_cast<qint64>(r.firstLine)}});
    return list;
}

Result<QString> sumOf(const QByteArray &bytes)
{
    Sha256 sha;
    sha.add(bytes);
    const auto sum = sha.finish();
    if (!sum)
        return sum.error();
    return QString::fromLatin1(sum->toHex());
}

/// Over the lines kept aside: number, reason and text of each, ended by bytes that stand in none of them.
Result<QString> sumOfAside(const std::vector<LineAside> &aside)
{
    QByteArray all;
    for (const LineAside &line : aside)
        all += QByteArray::number(line.line) + '\0' + line.reason.toUtf8() + '\0' + line.text + '\n';
    return sumOf(all);
}

} // namespace

Result<QJsonObject> intakeEntryBody(const QString &uuid, int dive, const IntakeData &data,
                                    const PackedLog &packed, const QString &qualityLimits)
{
    const IntakeReport &r = data.report;
    const auto profileSum = sumOf(data.profile.json);
    if (!profileSum)
        return profileSum.error();
    const auto asideSum = sumOfAside(r.aside);
    if (!asideSum)
        return asideSum.error();
    QJsonObject body{{u"intake"_s, uuid},
                     {u"dive"_s, dive},
                     {u"profile"_s, data.profile.name},
                     {u"profileSha256"_s, *profileSum},
                     {u"kind"_s, nameOf(logKindOf(data.profile))},
                     {u"fileName"_s, data.fileName},
                     {u"sha256"_s, data.sha256},
                     {u"bytes"_s, static_cast<qint64>(data.bytes)},
                     {u"lines"_s, static_cast<qint64>(r.lines)},
                     {u"accepted"_s, static_cast<qint64>(r.accepted)},
                     {u"repaired"_s, static_cast<qint64>(r.repaired)},
                     {u"rejected"_s, static_cast<qint64>(r.rejected)},
                     {u"repairs"_s, counted(r.repairs)},
                     {u"rejects"_s, counted(r.rejects)},
                     {u"notes"_s, counted(r.notes)},
                     {u"warnings"_s, QJsonArray::fromStringList(r.warnings)},
                     {u"asideSha256"_s, *asideSum},
                     {u"columns"_s, QString::fromLatin1(packed.columns)},
                     {u"digest"_s, packed.digest}};
    if (r.firstTime)
        body.insert(u"firstUs"_s, static_cast<qint64>(microsecondsOf(*r.firstTime)));
    if (r.lastTime)
        body.insert(u"lastUs"_s, static_cast<qint64>(microsecondsOf(*r.lastTime)));
    if (!qualityLimits.isEmpty())
        body.insert(u"qualityLimits"_s, qualityLimits);
    return body;
}

Result<QStringList> differencesFromEntry(const QJsonObject &body, const LogFile &log,
                                         const IntakeReport &stored)
{
    const auto profileSum = sumOf(log.profileJson);
    if (!profileSum)
        return profileSum.error();
    const auto asideSum = sumOfAside(stored.aside);
    if (!asideSum)
        return asideSum.error();
    QStringList found;
    const auto compare = [&](const QString &key, const QJsonValue &here, const QString &what) {
        if (body.contains(key) && body.value(key) != here)
            found << what;
    };
    compare(u"dive"_s, log.dive, u"its dive"_s);
    compare(u"kind"_s, nameOf(log.kind), u"its kind"_s);
    compare(u"fileName"_s, log.fileName, u"its name"_s);
    compare(u"bytes"_s, log.bytes, u"its size"_s);
    compare(u"profile"_s, log.profile, u"its profile's name"_s);
    compare(u"profileSha256"_s, *profileSum, u"the text of its profile"_s);
    compare(u"columns"_s, QString::fromLatin1(log.columns), u"its columns"_s);
    compare(u"firstUs"_s, static_cast<qint64>(microsecondsOf(log.first)), u"its first time"_s);
    compare(u"lastUs"_s, static_cast<qint64>(microsecondsOf(log.last)), u"its last time"_s);
    compare(u"repairs"_s, counted(stored.repairs), u"what was repaired"_s);
    compare(u"rejects"_s, counted(stored.rejects), u"what was rejected"_s);
    compare(u"notes"_s, counted(stored.notes), u"what was noted"_s);
    compare(u"warnings"_s, QJsonArray::fromStringList(stored.warnings), u"its warnings"_s);
    compare(u"asideSha256"_s, *asideSum, u"the lines kept aside"_s);
    return found;
}

} // namespace holdfast
