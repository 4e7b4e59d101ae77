// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/phases.h"

#include "store/sql.h"

namespace holdfast
{

std::array<std::optional<UtcTime>, 4> phaseTimes(const DiveInfo &dive)
{
    return {dive.launched, dive.onBottom, dive.offBottom, dive.onDeck};
}

Done setPhase(const Database &db, const QString &phase, qint64 dive, const QVariant &timeUs)
{
    static const QHash<QString, QString> columns{
        {QStringLiteral("launched"), QStringLiteral("launched_us")},
        {QStringLiteral("on bottom"), QStringLiteral("on_bottom_us")},
        {QStringLiteral("off bottom"), QStringLiteral("off_bottom_us")},
        {QStringLiteral("on deck"), QStringLiteral("on_deck_us")}};
    const auto column = columns.constFind(phase);
    if (column == columns.constEnd())
        return fail(ErrorKind::Malformed, QStringLiteral("There is no phase \"%1\".").arg(phase));
    return execSql(db.connection(), QStringLiteral("UPDATE dive SET %1=? WHERE number=?").arg(*column),
                   {timeUs, dive});
}

} // namespace holdfast
