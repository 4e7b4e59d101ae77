// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/act_steps.h"

namespace holdfast
{

Done wantReason(const QString &reason)
{
    if (!reason.trimmed().isEmpty())
        return {};
    return fail(ErrorKind::Usage, QStringLiteral("A reason is needed; it stays with the record."));
}

Done recorded(CruiseFile &file, const Act &act, const QString &verb, const QJsonObject &body)
{
    const auto entry = file.record(act, verb, body);
    return entry ? Done() : Done(entry.error());
}

} // namespace holdfast
