// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "cruise_reader.h"
#include "custody_view.h"
#include "desk.h"

#include <QtQml/qqmlregistration.h>

namespace holdfast
{

/// The Custody screen: who has what, the threads of the dive's items through the lanes of their holders, and
/// the hand-over in two steps: collect by scanning, then both sides confirm.
class CustodyDesk : public QObject
{
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by the program")
    Q_PROPERTY(QString answer READ answer NOTIFY changed FINAL)
    Q_PROPERTY(int breaks READ breaks NOTIFY changed FINAL)
    Q_PROPERTY(QStringList holders READ holders NOTIFY changed FINAL)
    Q_PROPERTY(
        QStringList waiting READ waiting NOTIFY changed FINAL) ///< hand-overs that wait for their receiver
    // The hand-over in hand.
    Q_PROPERTY(int step READ step NOTIFY stepChanged FINAL)     ///< 0 none, 1 collecting, 2 confirming
    Q_PROPERTY(QString code READ code NOTIFY stepChanged FINAL) ///< of one that waited; empty: a new one
    Q_PROPERTY(QStringList items READ items NOTIFY stepChanged FINAL) ///< a line each
    Q_PROPERTY(QString giver READ giver WRITE setGiver NOTIFY stepChanged FINAL)
    Q_PROPERTY(QString receiver READ receiver WRITE setReceiver NOTIFY stepChanged FINAL)
    Q_PROPERTY(QString seals READ seals NOTIFY stepChanged FINAL) ///< in force on what is handed over
    Q_PROPERTY(QString trouble READ trouble NOTIFY troubleChanged FINAL)
    Q_PROPERTY(QString conditionWords READ conditionWords CONSTANT FINAL)
    Q_PROPERTY(QString basisWords READ basisWords CONSTANT FINAL)

public:
    explicit CustodyDesk(Desk &desk, QObject *parent = nullptr);

    /// A new hand-over: step 1.
    Q_INVOKABLE void begin();
    /// Receives one that waits: step 2.
    Q_INVOKABLE void beginReceiving(int row);
    Q_INVOKABLE void cancel();
    /// Adds an item by its plain id (the scanner looked it up).
    void take(const QString &id);
    Q_INVOKABLE void remove(int row);
    /// The receiver will not have this one; an empty reason takes that back.
    Q_INVOKABLE void refuse(int row, const QString &reason);
    Q_INVOKABLE void next();
    /// Relinquished only: it waits, in transit, for its receiver.
    Q_INVOKABLE void offerOnly(const QString &giverConfirms);
    /// Both sides are here: relinquished and received in one go. Each confirms by their own name.
    /// `sealsSeen`: intact or broken, when there are seals.
    Q_INVOKABLE void complete(const QString &giverConfirms, const QString &receiverConfirms,
                              const QString &condition, const QString &temperatureC, const QString &basis,
                              const QString &sealsSeen);

    [[nodiscard]] const CustodyView &view() const { return m_view; }
    [[nodiscard]] QString answer() const;
    [[nodiscard]] int breaks() const { return m_view.breaks(); }
    [[nodiscard]] QStringList holders() const;
    [[nodiscard]] QStringList waiting() const;
    [[nodiscard]] int step() const { return m_step; }
    [[nodiscard]] QString code() const { return m_code; }
    [[nodiscard]] QStringList items() const;
    [[nodiscard]] QString giver() const { return m_giver; }
    void setGiver(const QString &name);
    [[nodiscard]] QString receiver() const { return m_receiver; }
    void setReceiver(const QString &name);
    [[nodiscard]] QString seals() const { return m_seals.join(QStringLiteral(", ")); }
    [[nodiscard]] QString trouble() const { return m_trouble; }
    [[nodiscard]] static QString conditionWords();
    [[nodiscard]] static QString basisWords();

signals:
    void changed();
    void stepChanged();
    void troubleChanged();
    void refused(const QString &sentence);
    void handedOver(const QString &code);

private:
    void read();
    void setStep(int step);
    void say(const QString &trouble);
    void readSeals();
    [[nodiscard]] OfferDetails offer(const QString &giverConfirms, UtcTime at) const;

    Desk *m_desk;
    CruiseReader m_reader;
    CustodyView m_view;
    QString m_code, m_giver, m_receiver, m_trouble;
    QStringList m_ids, m_seals;
    QMap<QString, QString> m_refused; ///< id and reason
    int m_step = 0;
    quint64 m_turn = 0;
};

} // namespace holdfast
