// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/recovery_finds.h"

#include "custody/inner_acts.h"
#include "dive/inner_acts.h"

namespace holdfast
{

Result<LoggedSample> tallyLooseFind(CruiseFile &file, const Act &act, int dive, const QString &slot,
                                    const QString &what, const KindTable &kinds)
{
    return file.write([&]() -> Result<LoggedSample> {
        // The answer first: what is logged as found after it is what it says.
        if (auto done = recordTally(file, act, dive, slot, TallyAnswer::Extra, what); !done)
            return done.error();
        SampleDetails d;
        d.kind = what;
        d.description = QStringLiteral("found loose in %1 at recovery").arg(slot.trimmed().toUpper());
        return recordFind(file, act, dive, d, {}, kinds);
    });
}

Done tallyAlike(CruiseFile &file, const Act &act, int dive, const QString &slot, const QString &why,
                const KindTable &kinds)
{
    return file.write([&]() -> Done {
        const auto samples = readSamples(file.db(), dive);
        if (!samples)
            return samples.error();
        std::vector<SampleInfo> here;
        QStringList ids;
        for (const SampleInfo &sample : *samples) {
            if (sample.slot.compare(slot.trimmed(), Qt::CaseInsensitive) != 0 ||
                sample.state != QLatin1String("held"))
                continue;
            here.push_back(sample);
            ids << sample.id;
        }
        if (ids.size() < 2)
            return fail(ErrorKind::Refused,
                        QStringLiteral("%1 holds less than two samples by the ledger: there is nothing to be "
                                       "told apart.")
                            .arg(slot));
        for (const SampleInfo &sample : here) {
            QStringList others = ids;
            others.removeAll(sample.id);
            const QString alike =
                QStringLiteral("can't be told apart from %1").arg(others.join(QStringLiteral(", ")));
            if (sample.description.contains(alike))
                continue;
            const QString text =
                sample.description.isEmpty() ? alike : sample.description + QStringLiteral("; ") + alike;
            if (auto done = recordSampleAmendment(file, act, sample.id,
                                                  {{QStringLiteral("description"), text}}, why, kinds);
                !done)
                return done;
        }
        return recordTally(
            file, act, dive, slot, TallyAnswer::Different,
            QStringLiteral("can't be told apart: %1; %2").arg(ids.join(QStringLiteral(", ")), why));
    });
}

} // namespace holdfast
