// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "desk.h"
#include "field_list.h"
#include "paper_work.h"

#include "print/page_document.h"
#include "print/stock_draft.h"

#include <QThreadPool>
#include <QTimer>
#include <atomic>
#include <memory>

namespace holdfast
{

/// The Papers screen: labels and sheets laid out off the window's thread, seen, printed and exported; label
/// stocks changed with the page in sight.
class PapersDesk : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(QStringList titles READ titles NOTIFY papersChanged FINAL)
    Q_PROPERTY(int chosen READ chosen WRITE choose NOTIFY changed FINAL)
    Q_PROPERTY(int pages READ pages NOTIFY changed FINAL)
    Q_PROPERTY(int page READ page WRITE setPage NOTIFY changed FINAL) ///< from 0
    Q_PROPERTY(bool working READ working NOTIFY changed FINAL)
    Q_PROPERTY(QString answer READ answer NOTIFY changed FINAL)
    Q_PROPERTY(QString use READ use NOTIFY changed FINAL)         ///< what the chosen paper is good for
    Q_PROPERTY(QStringList notes READ notes NOTIFY changed FINAL) ///< what was shortened, fine codes
    Q_PROPERTY(QString trouble READ trouble NOTIFY changed FINAL) ///< why there is no new page
    Q_PROPERTY(bool hasStart READ hasStart NOTIFY changed FINAL)  ///< a sheet of labels may be part-used
    Q_PROPERTY(int start READ start WRITE setStart NOTIFY changed FINAL) ///< first free label, from 1
    Q_PROPERTY(bool isLabels READ isLabels NOTIFY changed FINAL)
    Q_PROPERTY(bool isReport READ isReport NOTIFY changed FINAL)
    Q_PROPERTY(bool editing READ editing NOTIFY changed FINAL) ///< the fields are those of the stock
    Q_PROPERTY(holdfast::FieldList *fields READ fields CONSTANT FINAL)
    Q_PROPERTY(QStringList printers READ printers NOTIFY printersChanged FINAL)

public:
    explicit PapersDesk(Desk &desk, QObject *parent = nullptr);
    ~PapersDesk() override;

    /// Looks which printers there are now.
    Q_INVOKABLE void findPrinters();
    Q_INVOKABLE void print(int printer);
    /// Writes the PDF beside the cruise file and says where. Blank labels get their numbers now.
    Q_INVOKABLE void exportPdf();
    /// The dive report as one HTML page.
    Q_INVOKABLE void exportHtml();
    /// While the screen is not shown nothing is laid out.
    Q_INVOKABLE void setShown(bool shown);

    /// A person types into a field; the page follows.
    Q_INVOKABLE void setField(int row, const QString &text);
    /// The field in hand: its part is marked on the page while a stock is edited.
    Q_INVOKABLE void setFieldInHand(int row);

    /// Begins to change the chosen stock, ends it without keeping, keeps it as the person's own.
    Q_INVOKABLE void edit();
    Q_INVOKABLE void leaveEditing();
    Q_INVOKABLE void keepStock();
    Q_INVOKABLE void addText();
    Q_INVOKABLE void addLine();
    Q_INVOKABLE void removePart();

    /// Prints labels of these samples at once: on the label stock chosen last (the first of one label a page
    /// when none was), on the printer used last. Without one it writes a PDF beside the cruise file and says
    /// where.
    void printLabelsOf(const QStringList &ids);

    /// A blank label was stuck on something: both as scanned or typed.
    Q_INVOKABLE void bind(const QString &label, const QString &item, const QString &reason);

    [[nodiscard]] QStringList titles() const;
    [[nodiscard]] int chosen() const { return m_chosen; }
    void choose(int paper);
    [[nodiscard]] int pages() const;
    [[nodiscard]] int page() const { return m_page; }
    void setPage(int page);
    [[nodiscard]] bool working() const { return m_working; }
    [[nodiscard]] QString answer() const;
    [[nodiscard]] QString use() const;
    [[nodiscard]] QStringList notes() const { return m_notes; }
    [[nodiscard]] QString trouble() const { return m_trouble; }
    [[nodiscard]] bool hasStart() const;
    [[nodiscard]] int start() const;
    void setStart(int start);
    [[nodiscard]] bool isLabels() const { return paper() && paper()->kind == Paper::Kind::Labels; }
    [[nodiscard]] bool isReport() const { return paper() && paper()->kind == Paper::Kind::Report; }
    [[nodiscard]] bool editing() const { return m_draft.has_value(); }
    [[nodiscard]] FieldList *fields() { return &m_fields; }
    [[nodiscard]] QStringList printers() const { return m_printers; }
    /// The page in sight; none while there is no document.
    [[nodiscard]] const Page *shownPage() const;
    /// Where the part in hand lies on the first label of the page, mm; empty when none is.
    [[nodiscard]] QRectF markedMm() const;
    /// The first label of the page while a part of its stock is in hand, with a little around it; else empty.
    [[nodiscard]] QRectF closeUpMm() const;
    /// Where exportPdf() writes the chosen paper.
    Q_INVOKABLE [[nodiscard]] QString exportPath() const;

signals:
    void changed();
    void papersChanged();
    void printersChanged();
    void bound();
    void editBegan(); ///< the fields are those of the stock now
    void stockKept();

private:
    using DocumentPtr = std::shared_ptr<const PageDocument>;

    void layOut();
    void receive(const Result<LaidPaper> &laid, int turn);
    void takePapers(const std::vector<Paper> &papers, const QStringList &faults, const QString &thenChoose);
    void showFields();
    void draftChanged(int typedRow);
    /// Runs `work` off the window's thread on the pages; blank labels get their numbers first.
    void withPages(const std::function<Result<QString>(const PageDocument &)> &work);
    void tell(const Result<QString> &told);
    [[nodiscard]] PaperJob job() const;
    [[nodiscard]] const Paper *paper() const;
    [[nodiscard]] std::vector<PaperSetting> &settings() { return m_settings[paper()->kind]; }
    [[nodiscard]] QString settingOf(const QString &key) const;

    Desk *m_desk;
    std::vector<Paper> m_papers;
    std::map<Paper::Kind, std::vector<PaperSetting>> m_settings;
    std::optional<StockDraft> m_draft;
    std::optional<LabelStock> m_draftStock; ///< the last good state of the draft
    FieldList m_fields;
    int m_inHand = -1;
    int m_chosen = 0;
    int m_page = 0;
    std::atomic<int> m_turn = 0;
    bool m_working = false;
    bool m_shown = false;
    bool m_stale = true; ///< the record has changed since the pages were laid out
    LaidPaper m_laid;
    QStringList m_notes;
    QString m_trouble;
    QStringList m_printers;
    QTimer m_typing;    ///< lays out when a person pauses
    QThreadPool m_pool; ///< last: waits for its work before the rest goes
};

} // namespace holdfast
