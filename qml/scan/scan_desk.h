// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "bench_desk.h"
#include "custody_desk.h"
#include "places.h"
#include "recovery_desk.h"
#include "scan_filter.h"

#include <QtQml/qqmlregistration.h>

class QWindow;

namespace holdfast
{

/// Takes scanned and typed ids anywhere in the window: they act in the running step (hand-over, tally,
/// bench), else the record slides in. What is not one of ours is refused with a sentence across
/// the window (RefusalBand) and the system's bell, which many computers keep silent. Also finds records by any
/// word.
class ScanDesk : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(QString recordId READ recordId NOTIFY recordChanged FINAL) ///< empty: none is shown
    Q_PROPERTY(QString recordHolder READ recordHolder NOTIFY recordChanged FINAL)
    Q_PROPERTY(QStringList recordStory READ recordStory NOTIFY recordChanged FINAL)
    Q_PROPERTY(QStringList recordBreaks READ recordBreaks NOTIFY recordChanged FINAL)
    Q_PROPERTY(QStringList found READ found NOTIFY foundChanged FINAL)       ///< lines of what find() found
    Q_PROPERTY(QString foundWords READ foundWords NOTIFY foundChanged FINAL) ///< how many, in words
    Q_PROPERTY(int refusals READ refusals NOTIFY refused FINAL)              ///< how often a code was refused

public:
    ScanDesk(Desk &desk, Places &places, RecoveryDesk &recovery, BenchDesk &bench, CustodyDesk &custody);

    /// Listens to a gun that types into this window.
    Q_INVOKABLE void watch(QObject *window);
    /// An id as scanned, or typed by hand.
    Q_INVOKABLE void take(const QString &text);
    Q_INVOKABLE void closeRecord();
    Q_INVOKABLE void find(const QString &text);
    Q_INVOKABLE void openFound(int row);

    [[nodiscard]] QString recordId() const { return m_record.id; }
    [[nodiscard]] QString recordHolder() const { return m_holder; }
    [[nodiscard]] QStringList recordStory() const { return m_story; }
    [[nodiscard]] QStringList recordBreaks() const { return m_breaks; }
    [[nodiscard]] QStringList found() const { return m_found; }
    [[nodiscard]] QString foundWords() const { return m_foundWords; }
    [[nodiscard]] int refusals() const { return m_refusals; }

signals:
    void recordChanged();
    void foundChanged();
    void refused(const QString &sentence);
    void taken(const QString &id);

private:
    void refuse(const QString &sentence);
    void route(const Item &item);
    /// A place was asked for with an item in hand: the bench opens it, elsewhere its record slides in; the
    /// dive's own desk chooses it there.
    void open(const QString &place, const QString &id);
    void show(const QString &id);

    Desk *m_desk;
    Places *m_places;
    RecoveryDesk *m_recovery;
    BenchDesk *m_bench;
    CustodyDesk *m_custody;
    ScanFilter m_filter;
    CruiseReader m_reader;
    History m_record;
    QString m_holder, m_foundWords;
    QStringList m_story, m_breaks, m_found, m_foundIds;
    int m_refusals = 0;
    quint64 m_turn = 0;
};

} // namespace holdfast
