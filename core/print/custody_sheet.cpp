// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/custody_sheet.h"

#include "base/check_character.h"
#include "base/ids.h"
#include "print/hand_over_block.h"
#include "print/sample_cells.h"
#include "print/sheet_flow.h"
#include "print/value_text.h"

#include <QMap>
#include <QRegularExpression>
#include <algorithm>

namespace holdfast
{

namespace
{

constexpr int sheetDpi = 600;
constexpr double proofCodeMm = 26;

/// The 64 digits in groups of eight, as a person compares them.
QString grouped(const QString &sha256)
{
    QString out;
    for (qsizetype i = 0; i < sha256.size(); i += 8)
        out += (i > 0 ? QStringLiteral(" ") : QString()) + sha256.mid(i, 8);
    return out;
}

/// Why a row is struck through, in a word: "failed: arm too short" is failed.
QString strikeWord(const QString &setAside)
{
    const QString word = setAside.section(QLatin1Char(':'), 0, 0).trimmed();
    return word == QLatin1String("failed") || word == QLatin1String("void") ? word
                                                                            : QStringLiteral("set aside");
}

class CustodyPages
{
public:
    CustodyPages(const CustodySheetContent &content, const SheetLayout &layout)
        : m_content(content), m_layout(layout), m_flow(layout, frameOf(content))
    {
    }

    Result<PageDocument> make()
    {
        for (const QString &section : m_layout.sections) {
            if (auto done = draw(section); !done)
                return done.error();
        }
        PageDocument document = std::move(m_flow).finish(
            QStringLiteral("%1 %2 dive %3").arg(m_content.title, m_content.cruise, m_content.dive));
        document.printerDpi = sheetDpi;
        return document;
    }

private:
    static SheetFrame frameOf(const CustodySheetContent &c)
    {
        SheetFrame frame;
        frame.title = c.title;
        frame.subtitle = joinedValues(
            {c.cruise, c.dive.isEmpty() ? QString() : QStringLiteral("dive ") + c.dive, c.vehicle});
        frame.warning = c.closed ? QString() : QStringLiteral("DRAFT: the dive is not closed");
        frame.footLeft =
            QStringLiteral("printed by %1, %2").arg(orMissing(c.printedBy), dateTimeText(c.printedAt));
        frame.footMiddle = c.remark;
        return frame;
    }

    Done draw(const QString &section)
    {
        if (section == u"dive")
            drawDive(4);
        else if (section == u"plan")
            drawPlan();
        else if (section == u"dive-and-plan")
            return drawDiveAndPlan();
        else if (section == u"samples")
            drawSamples();
        else if (section == u"hand-overs")
            drawHandOvers();
        else if (section == u"history")
            drawHistory();
        else if (section == u"amendments")
            drawAmendments();
        else if (section == u"proof")
            return drawProof();
        return {};
    }

    [[nodiscard]] QString countText() const
    {
        int kept = 0;
        int waiting = 0;
        QMap<QString, int> struck; ///< failed, set aside, void: each is something else
        for (const CustodySample &s : m_content.samples) {
            if (!s.setAside.isEmpty() && !s.waiting)
                ++struck[strikeWord(s.setAside)];
            else
                ++(s.waiting ? waiting : kept);
        }
        QStringList others;
        for (auto it = struck.cbegin(); it != struck.cend(); ++it)
            others << QStringLiteral("%1 %2").arg(it.value()).arg(it.key());
        if (waiting > 0)
            others << QStringLiteral("%1 still waiting").arg(waiting);
        return others.isEmpty()
                   ? QString::number(kept)
                   : QStringLiteral("%1 (and %2)").arg(kept).arg(others.join(QStringLiteral(", ")));
    }

    void drawDive(int columns)
    {
        const CustodySheetContent &c = m_content;
        m_flow.pairs({{QStringLiteral("cruise"), orMissing(joinedValues({c.cruise, c.cruiseTitle}))},
                      {QStringLiteral("dive"), orMissing(c.dive)},
                      {QStringLiteral("vehicle"), orMissing(c.vehicle)},
                      {QStringLiteral("site"), orMissing(c.site)},
                      {QStringLiteral("launch"), dateTimeText(c.launch)},
                      {QStringLiteral("on bottom"), dateTimeText(c.onBottom)},
                      {QStringLiteral("off bottom"), dateTimeText(c.offBottom)},
                      {QStringLiteral("on deck"), dateTimeText(c.onDeck)},
                      {QStringLiteral("samples"), countText()}},
                     columns);
        std::vector<std::pair<QString, QString>> people;
        for (const SheetPerson &person : c.people)
            people.emplace_back(orMissing(person.role), orMissing(person.name));
        m_flow.pairs(people, columns);
    }

    void drawPlan()
    {
        if (m_content.plan)
            m_flow.add(drawSlotPlan(*m_content.plan, m_flow.take(m_layout.planHeightMm)));
    }

    Done drawDiveAndPlan()
    {
        if (!m_content.plan) {
            drawDive(4);
            return {};
        }
        m_flow.need(m_layout.planHeightMm);
        const double top = m_flow.y();
        const double left = m_flow.left();
        const double width = m_flow.width();
        const double wordsMm = width * 0.4;
        m_flow.add(drawSlotPlan(*m_content.plan, QRectF(left + wordsMm + 3, top, width - wordsMm - 3,
                                                        std::min(m_layout.planHeightMm, m_flow.roomMm()))));
        m_flow.part(left, wordsMm, top);
        drawDive(2);
        drawCounts();
        drawRemarks(QRectF(left, m_flow.y() + 4, wordsMm, top + m_layout.planHeightMm - m_flow.y() - 6));
        m_flow.wholeWidth(std::max(m_flow.y(), top + m_layout.planHeightMm));
        return {};
    }

    /// How much of each kind there is, for the first look on deck.
    void drawCounts()
    {
        struct Kind {
            QString word; ///< as it was written first
            int count = 0;
        };
        QMap<QString, Kind> counts;
        for (const CustodySample &s : m_content.samples) {
            if (!s.setAside.isEmpty() || s.waiting)
                continue;
            Kind &kind = counts[orMissing(s.kind).toCaseFolded()];
            if (kind.count++ == 0)
                kind.word = orMissing(s.kind);
        }
        constexpr qsizetype roomFor = 16;
        const qsizetype named = counts.size() <= roomFor ? counts.size() : roomFor - 1;
        std::vector<std::pair<QString, QString>> pairs;
        int others = 0;
        for (const Kind &kind : std::as_const(counts)) {
            if (static_cast<qsizetype>(pairs.size()) < named)
                pairs.emplace_back(kind.word, QString::number(kind.count));
            else
                others += kind.count;
        }
        if (others > 0)
            pairs.emplace_back(QStringLiteral("%1 other kinds").arg(counts.size() - named),
                               QString::number(others));
        m_flow.gap(2);
        m_flow.pairs(pairs, 4);
    }

    /// Lines for the pencil beside the plan.
    void drawRemarks(const QRectF &area)
    {
        constexpr double lineMm = 8;
        if (area.height() < 3 * lineMm)
            return;
        m_flow.text(QRectF(area.left(), area.top(), area.width(), 4), QStringLiteral("remarks at recovery"),
                    6.5);
        for (double y = area.top() + lineMm + 2; y <= area.bottom(); y += lineMm)
            m_flow.add(LineMark{
                .fromMm = QPointF(area.left(), y), .toMm = QPointF(area.right(), y), .widthMm = 0.12});
    }

    void drawSamples()
    {
        m_flow.heading(QStringLiteral("Samples"), 20);
        if (m_content.samples.empty()) {
            m_flow.paragraph(QStringLiteral("No samples were taken on this dive."), m_layout.textPt);
            return;
        }
        std::vector<SheetRow> rows;
        int noteColumn = -1;
        for (std::size_t i = 0; i < m_layout.columns.size(); ++i) {
            if (m_layout.columns[i].field == u"note")
                noteColumn = static_cast<int>(i);
        }
        for (const CustodySample &sample : m_content.samples) {
            SheetRow row;
            for (const SheetColumn &column : m_layout.columns)
                row.cells.append(sampleCell(sample, column.field));
            row.struck = !sample.setAside.isEmpty();
            row.unstruckColumn = noteColumn;
            rows.push_back(std::move(row));
        }
        const auto drawCondition = [this](SheetFlow &flow, std::size_t row, const SheetColumn &column,
                                          const QRectF &cell) {
            if (column.field != u"condition")
                return false;
            if (m_content.samples[row].setAside.isEmpty() && !m_content.samples[row].waiting)
                drawTickBoxes(flow, cell.adjusted(1, 0, -0.5, 0),
                              {QStringLiteral("found"), QStringLiteral("broken"), QStringLiteral("missing")},
                              6.5);
            return true;
        };
        m_flow.table(m_layout.columns, rows, m_layout.rowMm, drawCondition);
    }

    void drawHandOvers()
    {
        m_flow.heading(QStringLiteral("Hand-overs"), handOverHeightMm());
        m_flow.paragraph(
            QStringLiteral("The receiver counts and looks before signing, and writes down what differs. "
                           "Nobody hands over to themselves. One copy stays, one goes with the samples."),
            m_layout.textPt);
        int number = 0;
        for (const HandOver &handOver : m_content.handOvers)
            drawHandOver(m_flow, handOver, ++number);
        for (int i = 0; i < m_content.blankHandOvers; ++i)
            drawHandOver(m_flow, HandOver{}, ++number);
    }

    void drawHistory()
    {
        m_flow.heading(QStringLiteral("What happened"), 16);
        if (m_content.history.empty()) {
            m_flow.paragraph(QStringLiteral("Nothing is recorded."), m_layout.textPt);
            return;
        }
        const double w = m_flow.width() / 100;
        const std::vector<SheetColumn> columns{{{}, QStringLiteral("Time (UTC)"), 14 * w, false, false},
                                               {{}, QStringLiteral("What"), 18 * w, false, true},
                                               {{}, QStringLiteral("Detail"), 46 * w, false, false},
                                               {{}, QStringLiteral("By"), 22 * w, false, false}};
        std::vector<SheetRow> rows;
        for (const SheetEvent &e : m_content.history)
            rows.push_back(SheetRow{
                .cells = {twoLineTime(e.time), orMissing(e.what), orMissing(e.detail), orMissing(e.who)}});
        m_flow.table(columns, rows, m_layout.rowMm);
    }

    void drawAmendments()
    {
        m_flow.heading(QStringLiteral("Amendments"), 16);
        if (m_content.amendments.empty()) {
            m_flow.paragraph(QStringLiteral("Nothing has been corrected since it was first recorded."),
                             m_layout.textPt);
            return;
        }
        const double w = m_flow.width() / 100;
        const std::vector<SheetColumn> columns{{{}, QStringLiteral("Time (UTC)"), 10 * w, false, false},
                                               {{}, QStringLiteral("By"), 12 * w, false, false},
                                               {{}, QStringLiteral("Of"), 14 * w, false, true},
                                               {{}, QStringLiteral("Field"), 10 * w, false, false},
                                               {{}, QStringLiteral("Was"), 16 * w, false, false},
                                               {{}, QStringLiteral("Is"), 16 * w, false, false},
                                               {{}, QStringLiteral("Reason"), 22 * w, false, false}};
        std::vector<SheetRow> rows;
        for (const SheetAmendment &a : m_content.amendments)
            rows.push_back(SheetRow{.cells = {twoLineTime(a.time), orMissing(a.who), orMissing(a.subject),
                                              orMissing(a.field), orMissing(a.before), orMissing(a.after),
                                              orMissing(a.reason)}});
        m_flow.table(columns, rows, m_layout.rowMm);
    }

    Done drawProof()
    {
        if (m_content.ledgerHeads.empty())
            return {};
        m_flow.heading(QStringLiteral("Proof"), proofCodeMm + 7);
        m_flow.paragraph(
            QStringLiteral("The ledger ended here when this sheet was printed. Scan or type the code in the "
                           "program to check that the file still holds all of it, unchanged."),
            m_layout.textPt);
        for (const LedgerHead &head : m_content.ledgerHeads) {
            const QString text = sheetProofText(m_content.cruise, m_content.dive, head);
            if (auto readable = readSheetProof(text); !readable)
                return readable.error().whileDoing(QStringLiteral("The ledger head can't be printed"));
            const auto fit = fitQr(text, {proofCodeMm, sheetDpi});
            if (!fit)
                return fit.error().whileDoing(QStringLiteral("The ledger head can't be printed"));
            const QRectF row = m_flow.take(proofCodeMm + 1);
            m_flow.add(placeQr(*fit, QRectF(row.left(), row.top(), proofCodeMm, proofCodeMm), sheetDpi));
            const QRectF words(row.left() + proofCodeMm + 3, row.top() + 4, row.width() - proofCodeMm - 3,
                               proofCodeMm - 6);
            m_flow.text(
                QRectF(words.left(), words.top(), words.width(), 5),
                QStringLiteral("station %1, %2 entries").arg(orMissing(head.station)).arg(head.entries),
                m_layout.textPt + 0.5, true);
            m_flow.add(hashText(grouped(head.sha256.toLower()),
                                QRectF(words.left(), words.top() + 6, words.width(), 12)));
        }
        return {};
    }

    [[nodiscard]] TextMark hashText(const QString &text, const QRectF &box) const
    {
        auto mark = fitText(
            text, TextBox{.boxMm = box, .largestPt = m_layout.textPt + 0.5, .smallestPt = 4, .mono = true});
        return mark ? std::move(*mark) : TextMark{.boxMm = box};
    }

    const CustodySheetContent &m_content;
    const SheetLayout &m_layout;
    SheetFlow m_flow;
};

} // namespace

QString sheetProofText(const QString &cruise, const QString &dive, const LedgerHead &head)
{
    return QStringLiteral("HF1:%1:%2:%3:%4").arg(cruise, dive).arg(head.entries).arg(head.sha256).toUpper();
}

Result<SheetProof> readSheetProof(const QString &text)
{
    QString packed = text.toUpper();
    packed.remove(QRegularExpression(QStringLiteral("\\s")));
    static const QRegularExpression form(
        QStringLiteral("^HF1:([A-Z0-9-]+):([A-Z0-9.-]+):([0-9]{1,18}):([0-9A-F]{64})$"));
    const auto match = form.match(packed);
    if (!match.hasMatch())
        return fail(ErrorKind::Malformed,
                    QStringLiteral(
                        "\"%1\" is not the code of a sheet: HF1, the cruise, the dive, the number of entries "
                        "and 64 digits 0-9 A-F were expected, with colons between.")
                        .arg(text.left(120)));
    return SheetProof{.cruise = match.captured(1),
                      .dive = match.captured(2),
                      .entries = match.captured(3).toLongLong(),
                      .sha256 = match.captured(4).toLower()};
}

Result<PageDocument> layoutCustodySheet(const CustodySheetContent &content, const SheetLayout &layout)
{
    if (layout.sheet != u"custody")
        return fail(ErrorKind::Usage,
                    QStringLiteral("The layout %1 is for another sheet (%2), not for a custody sheet.")
                        .arg(layout.name, layout.sheet));
    for (const CustodySample &sample : content.samples) {
        const bool mayLackId = sample.waiting || !sample.setAside.isEmpty();
        if (!(sample.id.isEmpty() && mayLackId) && !checkCharacter(sample.id))
            return fail(ErrorKind::Usage,
                        QStringLiteral("\"%1\" can't be printed as an id: capital letters, digits, - "
                                       "and . are what an id is made of.")
                            .arg(sample.id));
    }
    return CustodyPages(content, layout).make();
}

} // namespace holdfast
