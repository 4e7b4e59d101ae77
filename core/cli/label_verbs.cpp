// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/counted.h"
#include "base/ids.h"
#include "cli/cli.h"
#include "print/label_papers.h"
#include "print/stock_shelf.h"
#include "print/value_text.h"

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

Done wholeInto(const Arguments &a, const char *flag, std::optional<int> &into)
{
    if (!a.has(q(flag)))
        return {};
    const auto given = a.whole(q(flag));
    if (!given)
        return given.error();
    into = *given;
    return {};
}

/// What `labels` and `blanks` have in common.
Result<LabelOrder> orderOf(const Arguments &a)
{
    LabelOrder order;
    order.stock = a.text(q("stock"));
    order.contact = a.text(q("contact"));
    order.acceptFineCode = a.has(q("fine"));
    std::optional<int> start;
    if (auto done = wholeInto(a, "start", start); !done)
        return done.error();
    order.startPosition = start.value_or(1);
    if (auto done = wholeInto(a, "copies", order.copies); !done)
        return done.error();
    if (auto done = wholeInto(a, "dpi", order.printerDpi); !done)
        return done.error();
    return order;
}

Done write(const LabelSheets &sheets, const Arguments &a, const QString &what, const World &world)
{
    const QString out = a.text(q("out"));
    if (auto written = writePdf(sheets.document, out); !written)
        return written;
    for (const QString &note : sheets.notes)
        world.err(QStringLiteral("note: %1\n").arg(note));
    tell(world, a,
         QStringLiteral("%1: %2 on %3%4\n")
             .arg(out, counted(sheets.printed, q("label"), q("labels")),
                  counted(static_cast<qint64>(sheets.document.pages.size()), q("page"), q("pages")), what));
    return {};
}

Done addSubject(const Arguments &a, LabelOrder &order)
{
    const QString of = a.text(q("of"), q("samples"));
    static const QStringList words{q("samples"), q("specimens"), q("both")};
    if (!words.contains(of))
        return fail(
            ErrorKind::Usage,
            QStringLiteral("--of is one of %1, not \"%2\".").arg(words.join(QStringLiteral(", ")), of));
    order.of = static_cast<LabelOrder::Of>(words.indexOf(of));
    const QStringList ids = a.text(q("items")).split(QLatin1Char(','), Qt::SkipEmptyParts);
    for (const QString &id : ids)
        order.ids << id.trimmed();
    if (a.has(q("items")) && order.ids.isEmpty())
        return fail(ErrorKind::Usage, QStringLiteral("--items needs at least one id."));
    if (a.has(q("items")) == a.has(q("dive")))
        return fail(ErrorKind::Usage, QStringLiteral("Say whose labels: --dive N, or --items ID,ID."));
    return {};
}

Done labels(const Arguments &a, const World &world)
{
    auto order = orderOf(a);
    if (!order)
        return order.error();
    if (auto done = addSubject(a, *order); !done)
        return done;
    if (order->ids.isEmpty()) {
        const auto dive = a.whole(q("dive"));
        if (!dive)
            return dive.error();
        order->dive = *dive;
    }
    const auto file = openForReading(a.positional().at(0));
    if (!file)
        return file.error();
    const auto sheets = labelSheets(file->db(), *order);
    if (!sheets)
        return sheets.error();
    return write(*sheets, a, {}, world);
}

Done blanks(const Arguments &a, const World &world)
{
    auto order = orderOf(a);
    if (!order)
        return order.error();
    const auto dive = a.whole(q("dive"));
    if (!dive)
        return dive.error();
    order->dive = *dive;
    std::optional<int> again;
    if (auto done = wholeInto(a, "again", again); !done)
        return done;
    const auto count = a.whole(q("count"));
    if (!count)
        return count.error();
    order->blank = {again.value_or(1), *count};
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    if (again) {
        const auto given = readBlankLabels(file->db(), *dive);
        if (!given)
            return given.error();
        const int last = given->empty() ? 0 : given->back().first + given->back().count - 1;
        if (*again < 1 || *count < 1 || *again + *count - 1 > last)
            return fail(ErrorKind::Refused,
                        QStringLiteral("Only labels that were printed can be printed again: dive %1 has had "
                                       "blank labels up to number %2.")
                            .arg(*dive)
                            .arg(last));
    } else {
        // Laid out once before the numbers are given away, so that a stock that can't carry them costs none.
        if (auto tried = labelSheets(file->db(), *order); !tried)
            return tried.error();
        const auto taken = takeBlankLabels(*file, {a.person(), world.now()}, *dive, *count);
        if (!taken)
            return taken.error();
        order->blank = *taken;
    }
    const auto sheets = labelSheets(file->db(), *order);
    if (!sheets)
        return sheets.error();
    const auto ids = blankLabelIds(file->db(), *dive, order->blank);
    if (!ids)
        return ids.error();
    return write(*sheets, a,
                 QStringLiteral(": %1 to %2").arg(printedId(ids->front()), printedId(ids->back())), world);
}

Done bind(const Arguments &a, const World &world)
{
    auto file = openForWriting(a.positional().at(0));
    if (!file)
        return file.error();
    const auto item = bindLabel(*file, {a.person(), world.now()}, a.positional().at(1), a.positional().at(2),
                                a.text(q("reason")));
    if (!item)
        return item.error();
    world.out(
        QStringLiteral("%1 saved: label %2 is on it\n").arg(*item, a.positional().at(1).trimmed().toUpper()));
    return {};
}

} // namespace

QList<Verb> labelVerbs()
{
    const Flag stock{q("stock"), q("NAME"),
                     q("a label stock, as in a4-70x37 (templates/labels, or your own)"), true};
    const Flag out{q("out"), q("OUT.pdf"), q("the PDF"), true};
    const QList<Flag> common{
        {q("start"), q("POSITION"), q("the first free label of a part-used sheet, from 1")},
        {q("copies"), q("N"), q("copies of each label, instead of the stock's own")},
        {q("dpi"), q("DPI"), q("dots per inch of your printer, when it is not the stock's")},
        {q("contact"), q("TEXT"), q("who to tell when one is found, where the stock prints it")},
        {q("fine"), {}, q("accept a code that is finer than it should be")}};
    Flag dive = diveFlag();
    dive.required = false;
    return {{q("labels"),
             {q("FILE")},
             QList<Flag>{dive,
                         {q("items"), q("ID,ID"), q("instead of a dive: these samples and specimens")},
                         {q("of"), q("WHAT"), q("samples (when not given), specimens or both, of the dive")},
                         stock,
                         out} +
                 common,
             q("Prints labels of samples and specimens, with QR codes, to a PDF."),
             {},
             labels},
            {q("blanks"),
             {q("FILE")},
             QList<Flag>{diveFlag(),
                         {q("count"), q("N"), q("how many"), true},
                         stock,
                         out,
                         {q("again"), q("FIRST"), q("print earlier numbers again, from this one on")},
                         byFlag()} +
                 common,
             q("Prints blank labels for a dive, each with an id of its own, to be bound later by scanning."),
             q("The numbers are recorded as given; print those of a dive at one station."),
             blanks},
            {q("bind"),
             {q("FILE"), q("LABEL"), q("ID")},
             {{q("reason"), q("TEXT"), q("needed when the label was on something else before")}, byFlag()},
             q("Binds a blank label that was stuck on a sample or specimen to it."),
             {},
             bind}};
}

} // namespace holdfast::cli
