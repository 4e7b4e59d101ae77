// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "desk.h"

#include "print/page_document.h"

#include <QThreadPool>
#include <memory>

namespace holdfast
{

/// The Papers screen: the labels and sheets of the shown dive, laid out off the window's thread, seen,
/// printed and exported.
class PapersDesk : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(QStringList titles READ titles CONSTANT FINAL)
    Q_PROPERTY(int chosen READ chosen WRITE choose NOTIFY changed FINAL)
    Q_PROPERTY(int pages READ pages NOTIFY changed FINAL)
    Q_PROPERTY(int page READ page WRITE setPage NOTIFY changed FINAL) ///< from 0
    Q_PROPERTY(bool working READ working NOTIFY changed FINAL)
    Q_PROPERTY(QString answer READ answer NOTIFY changed FINAL)
    Q_PROPERTY(QString use READ use NOTIFY changed FINAL)         ///< what the chosen paper is good for
    Q_PROPERTY(QStringList notes READ notes NOTIFY changed FINAL) ///< what was shortened, fine codes
    Q_PROPERTY(QString trouble READ trouble NOTIFY changed FINAL) ///< why there is no page
    Q_PROPERTY(bool hasStart READ hasStart NOTIFY changed FINAL)  ///< a sheet of labels may be part-used
    Q_PROPERTY(int start READ start WRITE setStart NOTIFY changed FINAL) ///< first free label, from 1
    Q_PROPERTY(QStringList printers READ printers NOTIFY printersChanged FINAL)

public:
    explicit PapersDesk(Desk &desk, QObject *parent = nullptr);
    ~PapersDesk() override;

    /// Looks which printers there are now.
    Q_INVOKABLE void findPrinters();
    Q_INVOKABLE void print(int printer);
    /// Writes the PDF beside the cruise file and says where.
    Q_INVOKABLE void exportPdf();
    /// While the screen is not shown nothing is laid out.
    Q_INVOKABLE void setShown(bool shown);

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
    [[nodiscard]] int start() const { return m_start; }
    void setStart(int start);
    [[nodiscard]] QStringList printers() const { return m_printers; }
    /// The page in sight; none while there is no document.
    [[nodiscard]] const Page *shownPage() const;
    /// Where exportPdf() writes the chosen paper.
    [[nodiscard]] QString exportPath() const;

signals:
    void changed();
    void printersChanged();

private:
    struct Paper {
        QString name, title, use;
        int perPage = 0; ///< labels on a page; 0: a sheet
    };
    struct Laid {
        std::shared_ptr<const PageDocument> document;
        QStringList notes;
        int labels = 0;
    };
    void layOut();
    void receive(const Result<Laid> &laid, int turn);
    [[nodiscard]] const Paper *paper() const;
    [[nodiscard]] static Result<Laid> layOutPaper(const QString &path, int dive, const Paper &paper,
                                                  int start, const Act &act);

    Desk *m_desk;
    std::vector<Paper> m_papers;
    int m_chosen = 0;
    int m_page = 0;
    int m_start = 1;
    int m_turn = 0;
    bool m_working = false;
    bool m_shown = false;
    bool m_stale = true; ///< the record has changed since the pages were laid out
    Laid m_laid;
    QStringList m_notes;
    QString m_trouble;
    QStringList m_printers;
    QThreadPool m_pool; ///< last: waits for its work before the rest goes
};

} // namespace holdfast
