// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QCoreApplication>
#include <QFile>
#include <QTemporaryDir>
#include <gtest/gtest.h>

namespace holdfast::test
{

/// Stations made by tests keep their keys in a folder that goes with the test program.
inline void keepKeysAside()
{
    static const QTemporaryDir keys;
    if (!qEnvironmentVariableIsSet("HOLDFAST_KEYS"))
        qputenv("HOLDFAST_KEYS", keys.path().toUtf8());
}

/// Qt SQL finds its SQLite driver through the application object; a test program that paints makes its own in
/// main.
inline QCoreApplication &application()
{
    keepKeysAside();
    if (QCoreApplication::instance())
        return *QCoreApplication::instance();
    static int argc = 1;
    static char name[] = "tests";
    static char *argv[] = {name, nullptr};
    static QCoreApplication app(argc, argv);
    return app;
}

/// A test with a folder of its own that goes when the test ends.
class WithFolder : public ::testing::Test
{
protected:
    void SetUp() override
    {
        application();
        ASSERT_TRUE(m_folder.isValid());
    }
    [[nodiscard]] QString path(const QString &name) const { return m_folder.filePath(name); }
    [[nodiscard]] static QByteArray bytesOf(const QString &path)
    {
        QFile file(path);
        return file.open(QIODevice::ReadOnly) ? file.readAll() : QByteArray("unreadable");
    }
    static void write(const QString &path, const QByteArray &bytes)
    {
        QFile file(path);
        ASSERT_TRUE(file.open(QIODevice::WriteOnly));
        ASSERT_EQ(file.write(bytes), bytes.size());
    }

private:
    QTemporaryDir m_folder;
};

} // namespace holdfast::test

/// Fails with the error's own sentence.
#define ASSERT_OK(expression)                                                                                \
    do {                                                                                                     \
        const auto &okResult = (expression);                                                                 \
        ASSERT_TRUE(okResult.has_value()) << okResult.error().sentence.toStdString();                        \
    } while (false)
