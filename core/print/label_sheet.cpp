// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/label_sheet.h"

#include "base/check_character.h"
#include "base/ids.h"
#include "print/page_text.h"
#include "print/value_text.h"

#include <QHash>
#include <cmath>
#include <limits>

namespace holdfast
{

namespace
{

constexpr double framePaddingMm = 0.4;
constexpr double frameLineMm = 0.35;
constexpr double pencilLineMm = 0.15;
constexpr double captionPt = 5.5;

/// On the printer the stock is meant for.
bool carries(const LabelStock &stock, const QString &text)
{
    for (const QRectF &square : {stock.codeMm, stock.secondCodeMm}) {
        if (square.isEmpty())
            continue;
        const auto fit = fitQr(text, {square.width(), stock.printerDpi});
        if (!fit || fit->tooFine)
            return false;
    }
    return !stock.codeMm.isEmpty();
}

/// The stock of the smallest difference in area that carries `text` with comfortable limits.
const LabelStock *nearestThatWorks(const LabelJob &job, const QString &text)
{
    const LabelStock *nearest = nullptr;
    double least = std::numeric_limits<double>::max();
    const double area = job.stock.labelMm.width() * job.stock.labelMm.height();
    for (const LabelStock &other : job.others) {
        if (other.name == job.stock.name)
            continue;
        const double difference = std::abs(other.labelMm.width() * other.labelMm.height() - area);
        if (carries(other, text) && difference < least) {
            least = difference;
            nearest = &other;
        }
    }
    return nearest;
}

Error tooFineError(const LabelJob &job, const QString &text, const QString &why)
{
    QString sentence =
        QStringLiteral("The code of %1 does not fit label stock %2: %3. ").arg(text, job.stock.name, why);
    if (const LabelStock *other = nearestThatWorks(job, text))
        sentence +=
            QStringLiteral("The nearest stock that works is %1 (%2); ").arg(other->name, other->title);
    else if (!job.others.empty())
        sentence += QStringLiteral("No stock at hand carries it; ");
    sentence += QStringLiteral("or accept the fine code.");
    return fail(ErrorKind::Refused, sentence);
}

Done checkId(const QString &id)
{
    static const QString allowed = QStringLiteral("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-.");
    bool good = checkCharacter(id).has_value();
    for (const QChar c : id)
        good = good && allowed.contains(c);
    if (good)
        return {};
    return fail(
        ErrorKind::Usage,
        QStringLiteral("\"%1\" can't be printed as an id: capital letters, digits, - and . are what an id is "
                       "made of.")
            .arg(id));
}

Done checkJob(const LabelJob &job, int dpi)
{
    if (job.labels.empty())
        return fail(ErrorKind::Usage, QStringLiteral("There are no labels to print."));
    if (job.startPosition < 1 || job.startPosition > job.stock.labelsPerPage())
        return fail(ErrorKind::Usage,
                    QStringLiteral("Start position %1 is not on the sheet: %2 has positions 1 to %3.")
                        .arg(job.startPosition)
                        .arg(job.stock.name)
                        .arg(job.stock.labelsPerPage()));
    if (job.copies && (*job.copies < 1 || *job.copies > 100))
        return fail(
            ErrorKind::Usage,
            QStringLiteral("%1 copies of a label were asked for; 1 to 100 are possible.").arg(*job.copies));
    if (dpi < 72 || dpi > 4800)
        return fail(ErrorKind::Usage,
                    QStringLiteral("A printer of %1 dpi was named; 72 to 4800 are possible.").arg(dpi));
    for (const LabelContent &label : job.labels) {
        if (auto good = checkId(label.id); !good)
            return good;
    }
    return {};
}

/// Lays the marks of single labels; the sheet places them.
class LabelPen
{
public:
    LabelPen(const LabelJob &job, int dpi, QStringList &notes) : m_job(job), m_dpi(dpi), m_notes(notes) {}

    [[nodiscard]] Result<std::vector<PageMark>> draw(const LabelContent &content, const QString &copy,
                                                     const QRectF &at)
    {
        std::vector<PageMark> marks;
        if (m_job.stock.outline)
            marks.push_back(BoxMark{.rectMm = at, .lineMm = 0.1, .round = m_job.stock.round});
        if (auto done = addCodes(content, at, marks); !done)
            return done.error();
        for (const LabelText &text : m_job.stock.texts) {
            if (auto done = addText(content, copy, text, at, marks); !done)
                return done.error();
        }
        for (const PencilLine &line : m_job.stock.lines)
            addLine(line, at, marks);
        return marks;
    }

private:
    Done addCodes(const LabelContent &content, const QRectF &at, std::vector<PageMark> &marks)
    {
        if (m_fittedId != content.id) {
            m_fits.clear();
            m_fittedId = content.id;
        }
        std::size_t index = 0;
        for (const QRectF &square : {m_job.stock.codeMm, m_job.stock.secondCodeMm}) {
            if (square.isEmpty())
                continue;
            if (index == 1 && m_fits.size() == 1 && square.width() == m_job.stock.codeMm.width())
                m_fits.push_back(m_fits.front()); // the same code again costs nothing
            if (index == m_fits.size()) {
                auto fit = fitted(printedId(content.id), square);
                if (!fit)
                    return fit.error();
                m_fits.push_back(std::move(*fit));
            }
            marks.push_back(placeQr(m_fits[index++], square.translated(at.topLeft()), m_dpi));
        }
        return {};
    }

    Result<QrFit> fitted(const QString &text, const QRectF &square)
    {
        auto fit = fitQr(text, {square.width(), m_dpi});
        if (!fit)
            return fit.error().kind == ErrorKind::Refused ? tooFineError(m_job, text, fit.error().sentence)
                                                          : fit.error();
        if (fit->tooFine && !m_job.acceptFineCode)
            return tooFineError(m_job, text, whyTooFine(*fit, m_dpi));
        if (fit->tooFine)
            m_notes.append(
                QStringLiteral("%1: the code is finer than it should be: %2. Try a print before the "
                               "dive.")
                    .arg(text, whyTooFine(*fit, m_dpi)));
        return fit;
    }

    Done addText(const LabelContent &content, const QString &copy, const LabelText &text, const QRectF &at,
                 std::vector<PageMark> &marks)
    {
        QStringList values;
        for (const QString &field : text.fields)
            values.append(labelFieldText(content, field, copy));
        const QString value = joinedValues(values);
        if (value.isEmpty())
            return {};
        const QRectF whole = text.boxMm.translated(at.topLeft());
        const double padding = text.framed ? framePaddingMm : 0;
        TextBox box{.boxMm = whole.adjusted(padding, padding, -padding, -padding),
                    .largestPt = text.largestPt,
                    .smallestPt = text.smallestPt,
                    .bold = text.bold,
                    .wrap = text.wrap,
                    .mayCut = text.mayCut,
                    .align = text.align};
        const QString full = text.before + value;
        auto mark = fitText(full, box);
        if (!mark)
            return fail(
                ErrorKind::Refused,
                QStringLiteral("The label of %1 can't be printed on %2: \"%3\" does not fit its %4 x %5 mm "
                               "even at %6 pt, and it may not be cut.")
                    .arg(content.id, m_job.stock.name, full)
                    .arg(whole.width())
                    .arg(whole.height())
                    .arg(text.smallestPt));
        if (mark->text != printableText(full))
            m_notes.append(QStringLiteral("%1: \"%2\" is shortened on the label.").arg(content.id, full));
        if (text.framed)
            marks.push_back(BoxMark{.rectMm = whole, .lineMm = frameLineMm});
        marks.push_back(std::move(*mark));
        return {};
    }

    static void addLine(const PencilLine &line, const QRectF &at, std::vector<PageMark> &marks)
    {
        const QRectF box = line.boxMm.translated(at.topLeft());
        double from = box.left();
        const TextBox captionBox{.boxMm = box,
                                 .largestPt = captionPt,
                                 .smallestPt = 3,
                                 .wrap = false,
                                 .mayCut = true,
                                 .align = Qt::AlignLeft | Qt::AlignBottom};
        if (auto caption = fitText(line.caption, captionBox); caption && !line.caption.isEmpty()) {
            from = std::min(caption->inkMm.right() + 0.8, box.right());
            marks.push_back(std::move(*caption));
        }
        marks.push_back(LineMark{
            .fromMm = QPointF(from, box.bottom()), .toMm = box.bottomRight(), .widthMm = pencilLineMm});
    }

    const LabelJob &m_job;
    int m_dpi;
    QStringList &m_notes;
    QString m_fittedId;
    std::vector<QrFit> m_fits;
};

QStringList copyWords(const LabelJob &job)
{
    if (!job.copies)
        return job.stock.copies;
    QStringList words;
    for (int i = 0; i < *job.copies; ++i)
        words.append(i < job.stock.copies.size() ? job.stock.copies.at(i) : QString());
    return words;
}

} // namespace

QString labelFieldText(const LabelContent &content, const QString &field, const QString &copy)
{
    const auto position = [&content]() -> QString {
        if (!content.latitudeDeg || !content.longitudeDeg)
            return {};
        return latitudeText(*content.latitudeDeg) + QLatin1Char(' ') + longitudeText(*content.longitudeDeg);
    };
    if (field == u"id")
        return printedId(content.id);
    // The id in two parts, so that the number that people say aloud can stand large on a small label.
    const qsizetype lastHyphen = content.id.lastIndexOf(QLatin1Char('-'));
    if (field == u"id_start")
        return content.id.left(lastHyphen + 1);
    if (field == u"id_end")
        return printedId(content.id).mid(lastHyphen + 1);
    if (field == u"cruise")
        return content.cruise;
    if (field == u"dive")
        return content.dive.isEmpty() ? QString() : QStringLiteral("dive ") + content.dive;
    if (field == u"kind")
        return content.kind;
    if (field == u"description")
        return content.description;
    if (field == u"time")
        return content.time ? dateTimeText(content.time) : content.found;
    if (field == u"date")
        return content.time ? dateText(*content.time) : content.found.left(10);
    if (field == u"depth")
        return content.depthM ? numberText(content.depthM, 1) + QStringLiteral(" m") : QString();
    if (field == u"position")
        return position();
    if (field == u"slot")
        return content.slot.isEmpty() ? QString() : QStringLiteral("slot ") + content.slot;
    if (field == u"preservative")
        return content.preservative;
    if (field == u"hazard")
        return content.hazard;
    if (field == u"container")
        return content.container;
    if (field == u"contact")
        return content.contact;
    if (field == u"copy")
        return copy;
    return {};
}

Result<LabelSheets> layoutLabels(const LabelJob &job)
{
    const int dpi = job.printerDpi.value_or(job.stock.printerDpi);
    if (auto good = checkJob(job, dpi); !good)
        return good.error();
    LabelSheets sheets;
    sheets.document.title = QStringLiteral("Labels on %1").arg(job.stock.name);
    sheets.document.printerDpi = dpi;
    LabelPen pen(job, dpi, sheets.notes);
    const QStringList copies = copyWords(job);
    int position = job.startPosition - 1;
    for (const LabelContent &content : job.labels) {
        for (const QString &copy : copies) {
            if (sheets.document.pages.empty() || position == job.stock.labelsPerPage()) {
                position = sheets.document.pages.empty() ? position : 0;
                sheets.document.pages.push_back(Page{.sizeMm = job.stock.pageMm, .marks = {}});
            }
            auto marks = pen.draw(content, copy, job.stock.labelRectMm(position));
            if (!marks)
                return marks.error();
            auto &page = sheets.document.pages.back().marks;
            page.insert(page.end(), std::make_move_iterator(marks->begin()),
                        std::make_move_iterator(marks->end()));
            ++position;
            ++sheets.printed;
        }
    }
    sheets.notes.removeDuplicates();
    return sheets;
}

} // namespace holdfast
