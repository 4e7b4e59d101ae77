// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/counted.h"
#include "cli/cli.h"
#include "cli/interrupt.h"
#include "handoff/check_package.h"
#include "handoff/make_package.h"
#include "handoff/receive_package.h"

#include <QDir>
#include <QFileInfo>

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

Result<DatasetAbout> aboutOf(const Arguments &a)
{
    if (!a.has(q("about")))
        return DatasetAbout::beside(a.positional().at(0));
    return DatasetAbout::read(a.text(q("about")));
}

/// Progress as lines on standard error, one each time the whole per cent changes.
std::function<void(const QString &, double)> progressLines(const World &world)
{
    return [&world, last = -1](const QString &doing, double share) mutable {
        const int percent = static_cast<int>(share * 100);
        if (percent <= last)
            return;
        last = percent;
        world.err(QStringLiteral("%1 %  %2\n").arg(percent, 3).arg(doing));
    };
}

Done handoff(const Arguments &a, const World &world)
{
    const auto about = aboutOf(a);
    if (!about)
        return about.error();
    const InterruptStop interrupt;
    const JobControl job{interrupt.token(), a.has(q("quiet")) ? nullptr : progressLines(world)};
    if (a.has(q("check-only"))) {
        const auto grid = cruiseCompleteness(a.positional().at(0), *about, job);
        if (!grid)
            return grid.error();
        if (a.has(q("json")))
            outJson(world, grid->json());
        else
            world.out(grid->text());
        return {};
    }
    if (!a.has(q("out")))
        return fail(ErrorKind::Usage, q("--out DIR is missing (or --check-only)."));
    PackageOrder order;
    order.cruisePath = a.positional().at(0);
    order.parent = QDir::cleanPath(a.text(q("out")));
    order.about = *about;
    order.papers = !a.has(q("no-papers"));
    order.zip = a.has(q("zip"));
    order.earlier = a.text(q("after"));
    order.pictures = a.text(q("pictures"));
    order.person = a.person();
    order.now = world.now();
    const auto made = makePackage(order, job);
    if (!made)
        return made.error();
    if (a.has(q("json")))
        outJson(world, {{q("path"), made->path},
                        {q("version"), made->version},
                        {q("files"), made->files},
                        {q("bytes"), made->bytes},
                        {q("photographs"), made->photographs},
                        {q("photographsLeftOut"), made->photographsLeftOut},
                        {q("missing"), made->missing},
                        {q("doubtful"), made->doubtful}});
    else
        world.out(
            QStringLiteral("%1: %2 files, %3 bytes. Open points: %4 missing, %5 doubtful; they are listed in "
                           "it.\n")
                .arg(made->path)
                .arg(made->files)
                .arg(made->bytes)
                .arg(made->missing)
                .arg(made->doubtful));
    if (made->photographsLeftOut > 0 && !a.has(q("json")))
        world.out(
            QStringLiteral("%1 of %2 could not be packed; data/tables/photograph_files.csv says of each "
                           "why. --pictures FOLDER names a folder to look in.\n")
                .arg(made->photographsLeftOut)
                .arg(counted(made->photographs, q("photograph"), q("photographs"))));
    return {};
}

Done check(const Arguments &a, const World &world)
{
    const InterruptStop interrupt;
    const auto report = checkPackage(a.positional().at(0), world.now(), {interrupt.token(), {}});
    if (!report)
        return report.error();
    if (a.has(q("json")))
        outJson(world, report->json());
    else
        world.out(report->text());
    if (report->errors() == 0)
        return {};
    return fail(ErrorKind::Malformed,
                QStringLiteral("%1: %2.").arg(a.positional().at(0),
                                              counted(report->errors(), q("error"), q("errors"))));
}

Done receive(const Arguments &a, const World &world)
{
    const InterruptStop interrupt;
    const auto received =
        receivePackage(a.positional().at(0), a.text(q("out")), a.text(q("station"), q("archive")),
                       {interrupt.token(), a.has(q("quiet")) ? nullptr : progressLines(world)});
    if (!received)
        return received.error();
    world.out(QStringLiteral("%1: cruise %2, %3 entries, %4. The record holds.\nHead %5\n")
                  .arg(a.text(q("out")), received->cruise)
                  .arg(received->entries)
                  .arg(counted(received->logs, q("log"), q("logs")))
                  .arg(received->head));
    if (received->photographs > 0)
        world.out(QStringLiteral("%1 stay in the package (data/photographs): keep it, and name it as "
                                 "--pictures when this cruise is handed over again.\n")
                      .arg(counted(received->photographs, q("photograph"), q("photographs"))));
    return {};
}

} // namespace

QList<Verb> handoffVerbs()
{
    return {
        {q("handoff"),
         {q("FILE")},
         {{q("out"), q("DIR"), q("the folder in which the package appears")},
          {q("zip"), {}, q("one zip file instead of a folder")},
          {q("check-only"), {}, q("only says what an archive would miss; writes nothing")},
          {q("about"), q("ABOUT.json"),
           q("contact, licence and the like (templates/handoff); else FILE's own .about.json")},
          {q("after"), q("PACKAGE"), q("the earlier package that this one follows; else the latest in DIR")},
          {q("pictures"), q("FOLDER"),
           q("where photographs are looked for, by name or SHA-256, that do not lie beside FILE")},
          {q("no-papers"), {}, q("leaves out the custody sheets and reports as PDF")},
          {q("quiet"), {}, q("no progress on standard error")},
          byFlag(),
          jsonFlag()},
         q("Makes the package that an archive receives, or says what it would miss."),
         q("The package is a BagIt 1.0 bag. Ctrl+C stops and leaves nothing behind; a run that was killed "
           "goes on\n"
           "where it stopped when it is started again."),
         handoff},
        {q("check"),
         {q("PACKAGE")},
         {jsonFlag()},
         q("Checks any BagIt bag, and a Darwin Core Archive in it, as an archive would on receipt."),
         q("PACKAGE is a folder or a zip, which is not unpacked. Exit code 0: no error (warnings may be); 1: "
           "errors."),
         check},
        {q("receive"),
         {q("PACKAGE")},
         {{q("out"), q("FILE"), q("the cruise file to build"), true},
          {q("station"), q("NAME"), q("what the new copy writes as; archive when not given")},
          {q("quiet"), {}, q("no progress on standard error")}},
         q("Builds a cruise file again from a hand-off package, after checking it."),
         q("A damaged, incomplete or hostile package is refused with the reason, and nothing is written."),
         receive},
    };
}

} // namespace holdfast::cli
