// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "cruise_reader.h"
#include "custody/item_cautions.h"
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
    Q_PROPERTY(bool giverHasPin READ giverHasPin NOTIFY stepChanged FINAL) ///< at this station
    Q_PROPERTY(bool receiverHasPin READ receiverHasPin NOTIFY stepChanged FINAL)
    Q_PROPERTY(bool confirming READ isConfirming NOTIFY troubleChanged FINAL) ///< PINs are looked at
    Q_PROPERTY(QStringList cautions READ cautions NOTIFY stepChanged FINAL)   ///< of what is handed over
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
    /// Adds an item by its id as a person, or a gun that types slowly, typed it: with its check character.
    /// False when it can't be one; the trouble says why.
    Q_INVOKABLE bool takeTyped(const QString &text);
    /// Whether what stands in the field of a name is an id.
    Q_INVOKABLE static bool isId(const QString &text);
    Q_INVOKABLE void remove(int row);
    /// The receiver will not have this one; an empty reason takes that back.
    Q_INVOKABLE void refuse(int row, const QString &reason);
    Q_INVOKABLE void next();
    /// Each party confirms by their own PIN, or, when that is empty, by the strokes drawn (SignaturePad).
    /// Relinquished only: it waits, in transit, for its receiver.
    Q_INVOKABLE void offerOnly(const QString &giverPin, const QVariantList &giverDrawn);
    /// Both sides are here: relinquished and received in one go, both or neither. `sealsSeen`: intact or
    /// broken, when there are seals.
    Q_INVOKABLE void complete(const QString &giverPin, const QVariantList &giverDrawn,
                              const QString &receiverPin, const QVariantList &receiverDrawn,
                              const QString &condition, const QString &temperatureC, const QString &basis,
                              const QString &sealsSeen);
    /// Sets the PIN of a party at this station; `old` when there is one already.
    Q_INVOKABLE void setPin(bool ofReceiver, const QString &old, const QString &pin, const QString &again);

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
    [[nodiscard]] bool giverHasPin() const { return m_giverHasPin; }
    [[nodiscard]] bool receiverHasPin() const { return m_receiverHasPin; }
    [[nodiscard]] bool isConfirming() const { return m_confirming; }
    [[nodiscard]] QStringList cautions() const { return m_cautions; }
    [[nodiscard]] QString trouble() const { return m_trouble; }
    [[nodiscard]] static QString conditionWords();
    [[nodiscard]] static QString basisWords();

signals:
    void changed();
    void stepChanged();
    void troubleChanged();
    void refused(const QString &sentence);
    void handedOver(const QString &code);
    void pinSet(bool ofReceiver);

private:
    void read();
    void setStep(int step);
    void say(const QString &trouble);
    void readSeals();
    void readCautions();
    void readPins();
    struct Party {
        Confirmation confirmation;
        QString pin; ///< empty: drawn
    };
    /// Error Usage when the party has confirmed in neither way.
    [[nodiscard]] static Result<Party> party(const QString &name, const QString &pin,
                                             const QVariantList &drawn);
    /// Looks at the PINs on a thread of its own, then goes on when all are right.
    void confirm(const std::vector<Party> &parties, std::function<void()> then);
    /// What comes after a hand-over was written, or refused; `code` is filled in by then.
    [[nodiscard]] CruiseWriter::Reply ended(const std::shared_ptr<QString> &code);
    [[nodiscard]] OfferDetails offer(const Confirmation &giver, UtcTime at) const;
    void hand(const Confirmation &giver, Receipt receipt);

    Desk *m_desk;
    CruiseReader m_reader;
    CustodyView m_view;
    QString m_code, m_giver, m_receiver, m_trouble;
    QStringList m_ids, m_seals;
    std::optional<HoldingTable> m_table;
    QStringList m_cautions;
    QMap<QString, QString> m_refused; ///< id and reason
    int m_step = 0;
    bool m_giverHasPin = false, m_receiverHasPin = false, m_confirming = false;
    quint64 m_turn = 0;
};

} // namespace holdfast
