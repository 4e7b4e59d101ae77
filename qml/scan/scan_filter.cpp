// SPDX-License-Identifier: GPL-3.0-or-later
#include "scan_filter.h"

#include <QGuiApplication>
#include <QKeyEvent>
#include <QWindow>
#include <algorithm>

// Exported by Qt Gui for Qt Test: the way a key takes from the platform, shortcuts first. What was held back
// must go that way, else it would miss the shortcuts.
Q_GUI_EXPORT bool qt_sendShortcutOverrideEvent(QObject *o, ulong timestamp, int k, Qt::KeyboardModifiers mods,
                                               const QString &text, bool autorep, ushort count);
Q_GUI_EXPORT void qt_handleKeyEvent(QWindow *window, QEvent::Type t, int key, Qt::KeyboardModifiers mods,
                                    const QString &text, bool autorep, ushort count);

namespace holdfast
{

namespace
{

bool isIdCharacter(QChar c)
{
    return (c >= QLatin1Char('A') && c <= QLatin1Char('Z')) ||
           (c >= QLatin1Char('a') && c <= QLatin1Char('z')) ||
           (c >= QLatin1Char('0') && c <= QLatin1Char('9')) || c == QLatin1Char('-') ||
           c == QLatin1Char('.') || c == QLatin1Char('*');
}

bool isPlain(const QKeyEvent &event)
{
    return (event.modifiers() & ~(Qt::ShiftModifier | Qt::KeypadModifier)) == 0;
}

/// The key a gun ends with.
bool isEnd(const QKeyEvent &event)
{
    return isPlain(event) &&
           (event.key() == Qt::Key_Return || event.key() == Qt::Key_Enter || event.key() == Qt::Key_Tab);
}

bool isIdKey(const QKeyEvent &event)
{
    return isPlain(event) && event.text().size() == 1 && isIdCharacter(event.text().front());
}

/// The item with the focus when it takes text.
QObject *textField()
{
    QObject *item = QGuiApplication::focusObject();
    return item && (item->inherits("QQuickTextInput") || item->inherits("QQuickTextEdit")) ? item : nullptr;
}

} // namespace

ScanFilter::ScanFilter(QObject *parent) : QObject(parent)
{
    m_pause.setSingleShot(true);
    m_pause.setInterval(gapMs);
    connect(&m_pause, &QTimer::timeout, this, &ScanFilter::giveOn);
}

void ScanFilter::watch(QWindow *window)
{
    if (m_window)
        m_window->removeEventFilter(this);
    m_window = window;
    forget();
    if (m_window) {
        m_window->installEventFilter(this);
        connect(m_window, &QObject::destroyed, this, [this] {
            m_window = nullptr;
            forget();
        });
    }
}

bool ScanFilter::looksLikeId(const QString &text)
{
    const bool digit = std::any_of(text.begin(), text.end(), [](QChar c) { return c.isDigit(); });
    return text.size() >= 6 && digit && (text.contains(QLatin1Char('-')) || text.contains(QLatin1Char('*')));
}

bool ScanFilter::eventFilter(QObject *watched, QEvent *event)
{
    if (watched != m_window || m_giving)
        return false;
    if (event->type() == QEvent::ShortcutOverride) {
        if (wouldTake(*static_cast<QKeyEvent *>(event))) {
            event->accept(); // no shortcut; the key press follows
            return true;
        }
        if (!m_held.empty() && static_cast<QKeyEvent *>(event)->key() != Qt::Key_Shift)
            giveOn();
        return false;
    }
    if (event->type() == QEvent::KeyPress)
        return pressed(*static_cast<QKeyEvent *>(event));
    // The release of a key that is held back comes with it.
    if (event->type() == QEvent::KeyRelease && !m_held.empty()) {
        const int key = static_cast<QKeyEvent *>(event)->key();
        return std::any_of(m_held.begin(), m_held.end(), [key](const Held &h) { return h.key == key; });
    }
    return false;
}

bool ScanFilter::isQuick() const
{
    return m_since.isValid() && m_since.elapsed() <= gapMs;
}

bool ScanFilter::wouldTake(const QKeyEvent &event) const
{
    const bool quick = isQuick();
    if (isEnd(event)) {
        const bool keeps = m_field && m_field->property("takesScans").toBool();
        return quick && !keeps && looksLikeId(m_burst);
    }
    QObject *field = textField();
    if (!isIdKey(event) || field)
        return false;
    if (!quick || m_burst.isEmpty() || field != m_field)
        return m_first.contains(event.text().front().toUpper());
    // Two keys may come close together from a person's two hands.
    return !m_held.empty() || m_burst.size() >= 2;
}

bool ScanFilter::pressed(const QKeyEvent &event)
{
    if (event.key() == Qt::Key_Shift)
        return false; // a gun presses it for '*'
    const bool take = wouldTake(event);
    const bool quick = isQuick();
    m_since.start();
    if (isEnd(event) && take) {
        const QString text = m_burst;
        if (m_field)
            m_field->setProperty("text", m_fieldText);
        forget();
        emit scanned(text);
        return true;
    }
    if (!isIdKey(event)) {
        giveOn();
        return false;
    }
    QObject *field = textField();
    if (!quick || m_burst.isEmpty() || field != m_field) {
        giveOn();
        m_field = field;
        m_fieldText = field ? field->property("text").toString() : QString();
    }
    m_burst += event.text();
    if (!take)
        return false;
    m_held.push_back({event.key(), event.modifiers(), event.text()});
    m_pause.start();
    return true;
}

void ScanFilter::giveOn()
{
    const std::vector<Held> held = std::move(m_held);
    forget();
    m_giving = true;
    for (const Held &h : held) {
        if (!m_window)
            break;
        if (!qt_sendShortcutOverrideEvent(m_window, 0, h.key, h.modifiers, h.text, false, 1))
            qt_handleKeyEvent(m_window, QEvent::KeyPress, h.key, h.modifiers, h.text, false, 1);
        if (m_window)
            qt_handleKeyEvent(m_window, QEvent::KeyRelease, h.key, h.modifiers, h.text, false, 1);
    }
    m_giving = false;
}

void ScanFilter::forget()
{
    m_pause.stop();
    m_burst.clear();
    m_held.clear();
    m_field = nullptr;
    m_fieldText.clear();
}

} // namespace holdfast
