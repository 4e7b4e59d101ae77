// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"
#include "dive/log_intake.h"
#include "live/log_sender.h"
#include "live/sources.h"

#include <QEventLoop>

namespace holdfast::cli
{

namespace
{

using namespace Qt::StringLiterals;

Result<SendPlan> planOf(const Arguments &a)
{
    SendPlan plan;
    plan.path = a.positional().at(0);
    plan.asNow = a.has(u"as-now"_s);
    const auto to = parseSendTarget(a.text(u"to"_s));
    if (!to)
        return to.error();
    plan.to = *to;
    if (a.has(u"speed"_s)) {
        bool good = false;
        plan.speed = a.text(u"speed"_s).toDouble(&good);
        if (!good || !(plan.speed >= 1 && plan.speed <= 100))
            return fail(ErrorKind::Usage,
                        u"--speed needs a number from 1 to 100, not \"%1\"."_s.arg(a.text(u"speed"_s)));
    }
    if (a.has(u"profile"_s)) {
        const auto profile = feedProfile(a.text(u"profile"_s));
        if (!profile)
            return profile.error();
        plan.profile = *profile;
        const auto first = ReplaySource::firstTime(plan.path, plan.profile);
        if (!first)
            return first.error();
        plan.from = *first;
    } else {
        const auto fitting = fittingProfile(plan.path);
        if (!fitting)
            return fitting.error();
        plan.profile = fitting->profile;
        plan.from = fitting->first;
    }
    if (a.has(u"from"_s)) {
        const auto from = a.time(u"from"_s);
        if (!from)
            return from.error();
        plan.from = *from;
    }
    return plan;
}

Done replay(const Arguments &a, const World &world)
{
    const auto plan = planOf(a);
    if (!plan)
        return plan.error();
    LogSender sender(*plan);
    QEventLoop loop;
    bool ended = false;
    QObject::connect(&sender, &LogSender::finished, &loop, [&] {
        ended = true;
        loop.quit();
    });
    if (auto started = sender.start(); !started)
        return started;
    const QString where =
        plan->to.listen ? u"to whoever connects to TCP %1 port %2"_s.arg(plan->to.host).arg(sender.port())
                        : u"to %1"_s.arg(a.text(u"to"_s));
    world.out(
        u"Sending %1 %2 from %3 on, %4 × as fast, read by profile %5%6. Ctrl+C ends it.\n"_s
            .arg(plan->path, where, toIso(plan->from))
            .arg(plan->speed)
            .arg(plan->profile.name, plan->asNow ? u", with the times of now written into it"_s : QString()));
    if (!ended)
        loop.exec();
    if (!sender.outcome())
        return sender.outcome();
    world.out(u"%1 lines sent.\n"_s.arg(sender.lines()));
    return {};
}

} // namespace

QList<Verb> replayVerbs()
{
    return {
        {u"replay"_s,
         {u"LOG"_s},
         {{u"to"_s, u"PLACE"_s, u"udp://127.0.0.1:47001, or tcp-listen:47001 to wait for receivers"_s, true},
          {u"speed"_s, u"N"_s, u"1 to 100 times as fast; once without it"_s},
          {u"profile"_s, u"P"_s, u"the feed profile that finds the times; without it one is looked for"_s},
          {u"from"_s, u"TIME"_s, u"begins at this time of the log"_s},
          {u"as-now"_s, QString(),
           u"writes the times of now into the lines, so that stamps of now have a fix; to try the program"_s}},
         u"Sends a log as a live feed, each line when its time has come."_s,
         u"The lines go out as they stand in the log, each with CR LF; a header is said again every five "
         u"seconds.\n"
         "Feeds that take them are set by holdfast feeds FILE."_s,
         replay}};
}

} // namespace holdfast::cli
