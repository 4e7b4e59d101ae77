// SPDX-License-Identifier: GPL-3.0-or-later
#include "make_demo.h"

#include "base/csv.h"
#include "base/ids.h"
#include "base/template_folder.h"
#include "bench_work.h"
#include "custody/hand_over.h"
#include "custody/tally.h"
#include "dive/actions.h"
#include "dive/log_intake.h"
#include "dive/readiness.h"
#include "dive/slot_conditions.h"
#include "print/dive_papers.h"
#include "print/label_papers.h"
#include "scenario.h"

#include <QDir>
#include <QFileInfo>
#include <cmath>

namespace holdfast::demo
{

namespace
{

QString u(const char *text)
{
    return QString::fromUtf8(text);
}

const char *const about =
    "This folder holds the demo cruise of Holdfast. Everything in it is invented: the seamount, the cruise "
    "TK26, the\n"
    "vehicle, the people, the samples, and every number in the logs, which a program made.\n\n"
    "  cruise.hfc           the cruise file: open it with  holdfast cruise.hfc\n"
    "  logs/                what the position, CTD and velocity logs of its dives would look like\n"
    "  labels.pdf           the labels of dive 1\n"
    "  custody-sheet.pdf    the custody sheet of dive 1\n\n"
    "Dive 1 is closed. Dive 2 is on deck, its tally begun. Dive 3 is on the bottom: its logs are in logs/ "
    "and can be\n"
    "replayed in the window.\n";

class Maker
{
public:
    Maker(QString folder, std::function<void(const QString &)> told)
        : m_folder(std::move(folder)), m_told(std::move(told))
    {
    }

    Result<QStringList> make()
    {
        for (const auto step : {&Maker::prepare, &Maker::openFile, &Maker::playDives, &Maker::printPapers}) {
            if (auto done = (this->*step)(); !done)
                return done.error();
        }
        return m_files;
    }

private:
    [[nodiscard]] QString path(const QString &name) const { return m_folder + QLatin1Char('/') + name; }

    Done write(const QString &name, const QByteArray &bytes)
    {
        m_files << name;
        return writeWhole(path(name), bytes);
    }

    Done prepare()
    {
        if (m_folder.isEmpty())
            return fail(ErrorKind::Usage, u("The demo cruise needs the name of a new folder."));
        const QFileInfo info(m_folder);
        if (info.exists() && !info.isDir())
            return fail(ErrorKind::Unwritable,
                        u("%1 is a file; a new or empty folder was expected.").arg(m_folder));
        if (info.isDir() && !QDir(m_folder).isEmpty())
            return fail(ErrorKind::Duplicate,
                        u("The folder %1 is not empty; give a new one, so that nothing is written over.")
                            .arg(m_folder));
        if (!QDir().mkpath(path(u("logs"))))
            return fail(ErrorKind::Unwritable, u("The folder %1 can't be made.").arg(m_folder));
        return write(u("README.txt"), about);
    }

    Done openFile()
    {
        const UtcTime opened = scenario().front().plan.launch - std::chrono::hours(20);
        auto file = CruiseFile::create(path(u("cruise.hfc")), u("TK26"), u("van"), {u("Mara"), opened},
                                       allVerbRules());
        if (!file)
            return file.error();
        m_files << u("cruise.hfc");
        m_file.emplace(std::move(*file));
        auto kinds = KindTable::load();
        if (!kinds)
            return kinds.error();
        m_kinds = std::move(*kinds);
        return {};
    }

    Done playDives()
    {
        for (const DemoDive &dive : scenario()) {
            m_told(u("Dive %1: %2 events, %3 m deep")
                       .arg(dive.number)
                       .arg(dive.events.size())
                       .arg(dive.plan.bottomM));
            if (auto done = playDive(dive); !done)
                return done.error().whileDoing(u("Dive %1 of the demo").arg(dive.number));
        }
        return {};
    }

    Done playDive(const DemoDive &dive)
    {
        const auto loadout = readTemplate(u("loadouts"), u("demo"));
        if (!loadout)
            return loadout.error();
        if (auto done = planDive(*m_file, act(u("Mara"), dive, -90), dive.number, u("Quillwort"), *loadout);
            !done)
            return done;
        if (auto done = makeReady(dive); !done)
            return done;
        const Act appointing = act(u("Mara"), dive, -80);
        if (auto done = appointCustodian(*m_file, appointing, dive.number, u("Ilse"), appointing.now); !done)
            return done;
        const std::vector<std::pair<Phase, double>> phases{{Phase::Launched, 0.0},
                                                           {Phase::OnBottom, onBottomMin(dive.plan)},
                                                           {Phase::OffBottom, offBottomMin(dive.plan)},
                                                           {Phase::OnDeck, dive.plan.endMin}};
        const std::size_t reached = dive.stage == Stage::OnBottom ? 2 : phases.size();
        std::size_t phase = 0;
        const auto reachUntil = [&](double min) -> Done {
            for (; phase < reached && phases[phase].second <= min; ++phase) {
                const Act a = act(u("Mara"), dive, phases[phase].second);
                if (auto done = reachPhase(*m_file, a, dive.number, phases[phase].first, a.now); !done)
                    return done;
            }
            return {};
        };
        for (const Event &event : dive.events) {
            if (auto done = reachUntil(event.min); !done)
                return done;
            if (auto done = play(dive, event); !done)
                return done;
        }
        if (auto done = reachUntil(dive.plan.endMin); !done)
            return done;
        if (auto done = takeInLogs(dive); !done)
            return done;
        return recover(dive);
    }

    /// The hour before the launch: every box looked into, feeds and clocks compared, people named. The permit
    /// and its number are invented, as all of it.
    Done makeReady(const DemoDive &dive)
    {
        const auto readiness = readReadiness(m_file->db(), dive.number);
        if (!readiness)
            return readiness.error();
        double min = -75;
        const auto check = [&](const ReadyPoint &point, const char *seen) {
            return checkReady(*m_file, act(u("Ana"), dive, min += 2), dive.number, point, true, u(seen));
        };
        for (const QString &box : readiness->boxes) {
            if (auto done = check({readyItemBox(), box}, ""); !done)
                return done;
        }
        const QString logs = dive.events.empty() ? u("Mara") : dive.events.front().by;
        for (const auto &[role, person] : {std::pair{logRole(), logs}, std::pair{u("lead"), u("Ana")}}) {
            if (auto done = changeWatch(*m_file, act(u("Ana"), dive, min += 2), dive.number, role, person);
                !done)
                return done;
        }
        const Act ana = act(u("Ana"), dive, min += 1);
        if (dive.number == 1) {
            if (auto done = limitPermit(*m_file, ana, u("octocoral"), 6, u("permit 26/17 (invented)")); !done)
                return done;
        }
        if (auto done = wantItem(*m_file, ana, dive.number, u("octocoral"), 1, 2); !done)
            return done;
        if (auto done = wantItem(*m_file, ana, dive.number, u("rock"), 2, {}); !done)
            return done;
        for (const auto &[item, seen] :
             {std::pair{"feeds", "3 feeds alive"}, std::pair{"clocks", "all within 1 s"},
              std::pair{"watch", ""}, std::pair{"permits", ""}, std::pair{"plan", ""}}) {
            if (auto done = check({u(item), {}}, seen); !done)
                return done;
        }
        return {};
    }

    /// Somebody acts `min` minutes after launch.
    static Act act(const QString &person, const DemoDive &dive, double min)
    {
        return {person, dive.plan.launch + Microseconds(std::llround(min * 60e6))};
    }

    Done play(const DemoDive &dive, const Event &event)
    {
        const Act moment = act(event.by, dive, event.min);
        // Details are typed a little after the key was pressed.
        const Act later{moment.person, moment.now + std::chrono::seconds(25)};
        switch (event.what) {
        case Event::What::Lid:
            return moveLids(*m_file, moment, dive.number, {event.slot}, event.open, moment.now);
        case Event::What::Move:
            return forgetting(moveSample(*m_file, moment, idOf(dive, event), event.slot, event.words));
        case Event::What::Amend:
            return amendSample(*m_file, moment, idOf(dive, event), {{u("kind"), event.kind}}, event.words,
                               m_kinds);
        case Event::What::Lost:
            return setSampleState(*m_file, moment, idOf(dive, event), u("lost"), event.words);
        case Event::What::Sample:
        case Event::What::Failed:
        case Event::What::SetAside:
            break;
        }
        const auto stamp = takeStamp(*m_file, moment, dive.number, moment.now);
        if (!stamp)
            return stamp.error();
        if (event.what == Event::What::Failed)
            return failStamp(*m_file, later, *stamp, event.words);
        if (event.what == Event::What::SetAside)
            return setStampAside(*m_file, later, *stamp, event.words);
        SampleDetails details;
        details.slot = event.slot;
        details.kind = event.kind;
        details.count = event.count;
        details.description = event.words;
        details.askedBy = event.askedBy;
        if (event.kind == u("octocoral"))
            details.permit = event.kind;
        details.tool = event.slot.startsWith(QLatin1Char('J')) ? u("suction") : u("port arm");
        return forgetting(logSample(*m_file, later, *stamp, details, m_kinds));
    }

    template <typename T>
    static Done forgetting(const Result<T> &result)
    {
        return result ? Done() : Done(result.error());
    }

    static QString idOf(const DemoDive &dive, const Event &event)
    {
        return IdPattern::standard().sampleId(u("TK26"), dive.number, event.number);
    }

    Done takeInLogs(const DemoDive &dive)
    {
        const DiveLogs logs = simulate(dive.plan);
        const std::vector<std::tuple<QString, QString, const QByteArray *>> all{
            {u("position"), u("position-csv"), &logs.position},
            {u("ctd"), u("ctd-csv"), &logs.ctd},
            {u("dvl"), u("dvl-csv"), &logs.velocities}};
        for (const auto &[kind, profileName, bytes] : all) {
            if (bytes->isEmpty())
                continue;
            const QString name = u("logs/dive-%1-%2.csv").arg(dive.number).arg(kind);
            if (auto done = write(name, *bytes); !done)
                return done;
            if (dive.stage == Stage::OnBottom)
                continue; // these come in when the vehicle is back, or are replayed
            const auto profile = feedProfile(profileName);
            if (!profile)
                return profile.error();
            const auto taken = takeInLog(*m_file, act(u("Mara"), dive, dive.plan.endMin + 5), dive.number,
                                         path(name), *profile);
            if (!taken)
                return taken.error();
            m_told(u("  %1: %2 accepted, %3 repaired, %4 rejected")
                       .arg(name)
                       .arg(taken->report.accepted)
                       .arg(taken->report.repaired)
                       .arg(taken->report.rejected));
        }
        return {};
    }

    Done recover(const DemoDive &dive)
    {
        if (dive.stage == Stage::OnBottom)
            return {};
        const auto lines = readTally(m_file->db(), dive.number);
        if (!lines)
            return lines.error();
        double min = dive.plan.endMin + 8;
        int answered = 0;
        for (const TallyLine &line : *lines) {
            if (dive.stage == Stage::OnDeck && answered++ >= dive.tallied)
                return {};
            TallyAnswer answer = TallyAnswer::AsLogged;
            QString note;
            for (const Found &found : dive.found) {
                if (found.slot != line.slot.code)
                    continue;
                const auto parsed = tallyAnswerFrom(found.answer);
                if (!parsed)
                    return parsed.error();
                answer = *parsed;
                note = found.note;
            }
            min += 0.4;
            if (auto done =
                    tallySlot(*m_file, act(u("Ana"), dive, min), dive.number, line.slot.code, answer, note);
                !done)
                return done;
        }
        if (auto done = closeDive(*m_file, act(u("Ana"), dive, min + 2), dive.number); !done)
            return done;
        return workOnTheBench(*m_file, dive.number, act(u("Ana"), dive, dive.plan.endMin).now);
    }

    Done printPapers()
    {
        const auto labels = labelSheets(m_file->db(), {.dive = 1, .stock = u("a4-70x37")});
        if (!labels)
            return labels.error();
        if (auto done = writePdf(labels->document, path(u("labels.pdf"))); !done)
            return done;
        m_files << u("labels.pdf");
        auto content = diveSheetDocument();
        if (!content)
            return content.error();
        if (auto done = writePdf(*content, path(u("custody-sheet.pdf"))); !done)
            return done;
        m_files << u("custody-sheet.pdf");
        return {};
    }

    Result<PageDocument> diveSheetDocument()
    {
        const UtcTime printed = scenario().front().plan.launch + std::chrono::hours(5);
        return diveCustodySheet(m_file->db(), 1, u("custody-a4"), u("Ana"), printed,
                                u("Demo cruise: everything on this sheet is invented."));
    }

    QString m_folder;
    std::function<void(const QString &)> m_told;
    std::optional<CruiseFile> m_file;
    KindTable m_kinds;
    QStringList m_files;
};

} // namespace

Result<QStringList> makeDemo(const QString &folder, const std::function<void(const QString &)> &told)
{
    return Maker(folder, told).make();
}

} // namespace holdfast::demo
