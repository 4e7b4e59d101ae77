// SPDX-License-Identifier: GPL-3.0-or-later
// Runs the tst_*.qml files beside it. Each test gets a new cruise file; keys go to the real window.
#include "base/ids.h"
#include "qml/a_deck.h"
#include "qml/a_van.h"
#include "theme.h"

#include <QAccessible>
#include <QDir>
#include <QFile>
#include <QFileInfo>
#include <QJsonDocument>
#include <QQmlEngine>
#include <QQuickItem>
#include <QQuickWindow>
#include <QUdpSocket>
#include <QtQuickTest>

using holdfast::test::Van;

/// What the QML tests see as `Bench`: makes a cruise, presses keys, reads the ledger.
class TestBench : public QObject
{
    Q_OBJECT
public:
    /// A new cruise file and view models; what Main.qml requires.
    Q_INVOKABLE QVariantMap begin(bool opened)
    {
        m_van = std::make_unique<Van>();
        if (opened)
            m_van->open();
        return m_van->work.properties();
    }
    Q_INVOKABLE void end()
    {
        m_deck.reset();
        m_van.reset();
    }
    Q_INVOKABLE void key(QQuickWindow *window, int key, int modifiers = 0)
    {
        QTest::keyClick(window, static_cast<Qt::Key>(key), static_cast<Qt::KeyboardModifiers>(modifiers));
    }
    Q_INVOKABLE void type(QQuickWindow *window, const QString &text)
    {
        for (const QChar c : text)
            QTest::keyClick(window, c.toLatin1());
    }
    /// A sample straight into the record, as if another had logged it.
    Q_INVOKABLE void logSample(const QString &slot, const QString &kind)
    {
        m_van->work.desk.write(QStringLiteral("logging"), [=](holdfast::CruiseFile &file) -> holdfast::Done {
            const auto kinds = holdfast::KindTable::load();
            if (!kinds)
                return kinds.error();
            holdfast::SampleDetails details;
            details.slot = slot;
            details.kind = kind;
            const auto at = holdfast::utcFromCivil(2026, 3, 12, 9, 0, 0).value_or(holdfast::UtcTime{});
            const auto logged =
                holdfast::stampSample(file, {QStringLiteral("Mara"), at}, 1, at, details, *kinds);
            if (!logged)
                return logged.error();
            return {};
        });
    }
    Q_INVOKABLE bool hasFile(const QString &path) const { return QFileInfo(path).size() > 0; }
    /// As a gun with a keyboard wedge does: the printed id with its check character, then Enter, in one
    /// burst.
    Q_INVOKABLE void scan(QQuickWindow *window, const QString &id)
    {
        QTest::qWait(60); // a person takes the gun into the hand
        type(window, printed(id));
        QTest::keyClick(window, Qt::Key_Return);
    }
    /// Draws a zigzag with the mouse into the field for signatures that is the n-th to be seen.
    Q_INVOKABLE void sign(QQuickWindow *window, int n) const
    {
        QList<QQuickItem *> pads;
        QList<QQuickItem *> all{window->contentItem()};
        while (!all.isEmpty()) { // by what is seen in what: the owner of an item may be another
            QQuickItem *const item = all.takeFirst();
            if (item->isVisible() && item->inherits("holdfast::SignaturePad"))
                pads << item;
            all << item->childItems();
        }
        if (n >= pads.size())
            qFatal("only %d fields for signatures are to be seen", static_cast<int>(pads.size()));
        const QQuickItem *const pad = pads.at(n);
        const bool laidOut = QTest::qWaitFor([window, pad] { // wrapped words above it find their height first
            return pad->mapToScene(QPointF(0, pad->height())).y() < window->height();
        });
        if (!laidOut)
            qFatal("the field for signatures is outside the window");
        const auto at = [pad](int i) {
            return pad
                ->mapToScene(QPointF(pad->width() * (0.1 + 0.07 * i), pad->height() * (i % 2 ? 0.7 : 0.3)))
                .toPoint();
        };
        QTest::mousePress(window, Qt::LeftButton, {}, at(0));
        for (int i = 1; i < 11; ++i)
            QTest::mouseMove(window, at(i));
        QTest::mouseRelease(window, Qt::LeftButton, {}, at(11));
    }
    Q_INVOKABLE QString printed(const QString &id) const { return holdfast::printedId(id); }
    /// A coral in B2 and a basalt in R1.
    Q_INVOKABLE void collect() { m_van->collect(); }
    Q_INVOKABLE void onDeck() const { m_van->onDeck(); }
    Q_INVOKABLE QStringList verbs() const { return m_van->verbs(); }
    Q_INVOKABLE QStringList actors() const { return m_van->actors(); }
    Q_INVOKABLE QString tablesFit() const { return m_van->tablesFit(); }
    Q_INVOKABLE void writeLogs() const { m_van->writeLogs(); }
    Q_INVOKABLE QVariantList bodies(const QString &verb) const
    {
        QVariantList all;
        for (const QString &body : m_van->bodies(verb))
            all << QJsonDocument::fromJson(body.toUtf8()).object().toVariantMap();
        return all;
    }
    /// A UDP port of this computer that nobody listens at.
    Q_INVOKABLE int freePort() const { return Van::freeUdpPort(); }
    /// As an instrument says it.
    Q_INVOKABLE void say(int port, const QString &line)
    {
        m_instrument.writeDatagram(line.toUtf8() + '\n', QHostAddress(QHostAddress::LocalHost),
                                   static_cast<quint16>(port));
    }
    /// A second station made of the cruise as it is, which then amends what the first does, and leaves its
    /// exchange file in a folder. `spoil`: with one letter of the description changed afterwards.
    Q_INVOKABLE QVariantMap deckGives(const QString &description, bool spoil)
    {
        return deckOf(*m_van).gives(description, spoil);
    }
    /// Van and deck plan dive 2 without knowing of each other; the deck leaves its exchange file.
    Q_INVOKABLE QVariantMap bothPlan()
    {
        holdfast::test::Deck &deck = deckOf(*m_van);
        m_van->planOneMore(2);
        return deck.plans(2, QStringLiteral("Small vehicle"), QStringLiteral("small"));
    }
    [[nodiscard]] Q_INVOKABLE QString readFile(const QString &path) const
    {
        QFile file(path);
        return file.open(QIODevice::ReadOnly) ? QString::fromUtf8(file.readAll()) : QString();
    }
    Q_INVOKABLE void writeFile(const QString &path, const QString &text) const
    {
        QFile file(path);
        if (!file.open(QIODevice::WriteOnly) || file.write(text.toUtf8()) < 0)
            qFatal("%s could not be written", qUtf8Printable(path));
    }
    Q_INVOKABLE QString folderBeside(const QString &path, const QString &name) const
    {
        const QDir folder = QFileInfo(path).absoluteDir();
        folder.mkpath(name);
        return folder.filePath(name);
    }
    Q_INVOKABLE void vanSays(const QString &description) const { m_van->describe(description); }
    Q_INVOKABLE QStringList samples() const { return m_van->samples(); }
    Q_INVOKABLE bool holdsTypedText(QQuickWindow *window) const
    {
        return window->activeFocusItem() && window->activeFocusItem()->inherits("QQuickTextInput");
    }
    /// Items that take the focus by Tab but have no name for a screen reader.
    Q_INVOKABLE QStringList unnamed(QQuickWindow *window) const
    {
        QStringList found;
        const auto items = window->contentItem()->findChildren<QQuickItem *>();
        for (QQuickItem *item : items) {
            if (!item->isVisible() || !item->activeFocusOnTab())
                continue;
            QAccessibleInterface *i = QAccessible::queryAccessibleInterface(item);
            if (!i || i->text(QAccessible::Name).isEmpty())
                found << QString::fromLatin1(item->metaObject()->className());
        }
        return found;
    }

private:
    holdfast::test::Deck &deckOf(const Van &van)
    {
        if (!m_deck)
            m_deck = std::make_unique<holdfast::test::Deck>(van);
        return *m_deck;
    }
    std::unique_ptr<Van> m_van;
    QUdpSocket m_instrument;
    std::unique_ptr<holdfast::test::Deck> m_deck;
};

class Setup : public QObject
{
    Q_OBJECT
public slots:
    void applicationAvailable() { QAccessible::setActive(true); }
    void qmlEngineAvailable(QQmlEngine *engine)
    {
        engine->addImportPath(holdfast::moduleImportPath);
        qmlRegisterSingletonInstance("Holdfast.Tests", 1, 0, "Bench", &m_bench);
    }
    void cleanupTestCase() { m_bench.end(); }

private:
    TestBench m_bench;
};

QUICK_TEST_MAIN_WITH_SETUP(ui_screens, Setup)
#include "ui_screen_tests.moc"
