// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/bag_check.h"
#include "support/temp_dir.h"

#include <QCryptographicHash>
#include <QDir>
#include <QFileInfo>

namespace holdfast::test
{

/// A folder in which a test makes bags by hand, apart from the writer under test: sums by Qt's own hashes.
class WithBag : public WithFolder
{
protected:
    [[nodiscard]] QString bag() const { return path(QStringLiteral("bag")); }

    void put(const QString &file, const QByteArray &bytes)
    {
        const QString full = bag() + QLatin1Char('/') + file;
        QDir().mkpath(QFileInfo(full).path());
        write(full, bytes);
    }
    static QByteArray sum(const QByteArray &bytes, QCryptographicHash::Algorithm algorithm)
    {
        return QCryptographicHash::hash(bytes, algorithm).toHex();
    }
    static QByteArray line(const QByteArray &bytes, const QByteArray &file,
                           QCryptographicHash::Algorithm algorithm = QCryptographicHash::Sha512)
    {
        return sum(bytes, algorithm) + "  " + file + '\n';
    }
    void declare(const QByteArray &text = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n")
    {
        put(QStringLiteral("bagit.txt"), text);
    }
    /// The smallest valid bag with all that is recommended.
    void makeValid()
    {
        declare();
        put(QStringLiteral("data/hello.txt"), "hello\n");
        const QByteArray manifest = line("hello\n", "data/hello.txt");
        put(QStringLiteral("manifest-sha512.txt"), manifest);
        const QByteArray info = "Bagging-Date: 2026-03-12\nPayload-Oxum: 6.1\n";
        put(QStringLiteral("bag-info.txt"), info);
        tag();
    }
    /// Writes the tag manifest over what is there now.
    void tag()
    {
        QByteArray lines;
        for (const char *file :
             {"bag-info.txt", "bagit.txt", "manifest-sha512.txt", "manifest-sha256.txt", "fetch.txt"}) {
            const QString full = bag() + QLatin1Char('/') + QString::fromLatin1(file);
            if (QFileInfo::exists(full))
                lines += line(bytesOf(full), file);
        }
        put(QStringLiteral("tagmanifest-sha512.txt"), lines);
    }
    BagReport check()
    {
        const auto source = BagSource::open(bag());
        EXPECT_TRUE(source.has_value()) << source.error().sentence.toStdString();
        if (!source)
            return {};
        auto report = checkBag(**source, {});
        EXPECT_TRUE(report.has_value());
        return report ? *report : BagReport{};
    }
    void expectError(const char *says)
    {
        const BagReport report = check();
        EXPECT_FALSE(report.valid) << says;
        EXPECT_TRUE(report.findings.text().contains(QString::fromUtf8(says)))
            << "wanted: " << says << "\nfound:\n"
            << report.findings.text().toStdString();
    }
    void expectWarning(const char *says)
    {
        const BagReport report = check();
        EXPECT_TRUE(report.valid) << report.findings.text().toStdString();
        EXPECT_TRUE(report.findings.text().contains(QString::fromUtf8(says)))
            << "wanted: " << says << "\nfound:\n"
            << report.findings.text().toStdString();
    }
};

} // namespace holdfast::test
