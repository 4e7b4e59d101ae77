// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QElapsedTimer>
#include <QObject>
#include <QTimer>
#include <functional>
#include <vector>

class QKeyEvent;
class QWindow;

namespace holdfast
{

/// Tells a barcode gun that types (a keyboard wedge) from a person: the gun types letters, digits, '-', '.'
/// and
/// '*' with hardly any time in between and ends with Enter or Tab. What looks like an id is taken out of the
/// stream of keys, so that it triggers no shortcut; what turns out to be a person's typing is given on.
///
/// Outside text fields a key is held back for `gapMs` only when it may begin one of our ids (`firstLetters`);
/// any other key goes on at once. In a text field nothing is held back; when an id was typed there by a gun,
/// the field gets back the text it had, but for one that says `takesScans`: that keeps the id and its
/// Enter.
class ScanFilter : public QObject
{
    Q_OBJECT
public:
    /// The longest time between two keys of a gun, milliseconds. Guns send a key every 1 to 20 ms; a fast
    /// typist one every 80 ms or more (common practice).
    static constexpr int gapMs = 35;

    explicit ScanFilter(QObject *parent = nullptr);

    /// Watches a window, instead of the one before.
    void watch(QWindow *window);
    void setFirstLetters(const QString &letters) { m_first = letters.toUpper(); }

    /// Could it be an id as guns type it: 6 characters or more, a digit and a '-' or '*' among them.
    [[nodiscard]] static bool looksLikeId(const QString &text);

signals:
    void scanned(const QString &text);

protected:
    bool eventFilter(QObject *watched, QEvent *event) override;

private:
    struct Held {
        int key;
        Qt::KeyboardModifiers modifiers;
        QString text;
    };
    [[nodiscard]] bool isQuick() const;
    [[nodiscard]] bool wouldTake(const QKeyEvent &event) const;
    [[nodiscard]] bool pressed(const QKeyEvent &event);
    void giveOn();
    void forget();

    QWindow *m_window = nullptr;
    QString m_first;
    QString m_burst;            ///< what came without a pause so far
    std::vector<Held> m_held;   ///< of it, what was held back
    QObject *m_field = nullptr; ///< the text field it goes to; null: none
    QString m_fieldText;        ///< what the field held before
    QElapsedTimer m_since;
    QTimer m_pause;
    bool m_giving = false;
};

} // namespace holdfast
