// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QByteArray>
#include <QFile>
#include <QString>
#include <QStringList>
#include <cmath>
#include <gtest/gtest.h>
#include <limits>
#include <optional>
#include <vector>

namespace holdfast::test
{

/// A table of published or computed check values: '#' comments, one header row, comma-separated, a quoted
/// field may hold commas and doubled quotes.
struct CheckTable {
    QStringList header;
    std::vector<QStringList> rows;

    [[nodiscard]] QString text(const QStringList &row, const char *column) const
    {
        const auto at = header.indexOf(QString::fromLatin1(column));
        EXPECT_GE(at, 0) << column;
        return at < 0 ? QString() : row.value(at);
    }
    [[nodiscard]] double number(const QStringList &row, const char *column) const
    {
        bool ok = false;
        const double value = text(row, column).toDouble(&ok);
        return ok ? value : std::numeric_limits<double>::quiet_NaN();
    }
};

inline QStringList splitCsv(const QString &line)
{
    QStringList fields{QString()};
    bool quoted = false;
    for (qsizetype i = 0; i < line.size(); ++i) {
        const QChar c = line[i];
        if (c == u'"') {
            if (quoted && i + 1 < line.size() && line[i + 1] == u'"') {
                fields.back() += c;
                ++i;
            } else {
                quoted = !quoted;
            }
        } else if (c == u',' && !quoted) {
            fields << QString();
        } else {
            fields.back() += c;
        }
    }
    return fields;
}

/// The full tables and the public logs are not part of the repository; a tester who has them names the folder
/// they are in, or the `data` folder beside `check-values`. Nothing means: skip.
inline std::optional<CheckTable> loadTable(const QStringList &possiblePaths)
{
    const QString folder = qEnvironmentVariable("HOLDFAST_SHARED_DATA");
    if (folder.isEmpty())
        return std::nullopt;
    QFile file;
    for (const QString &path : possiblePaths) {
        file.setFileName(folder + u'/' + path);
        if (file.open(QIODevice::ReadOnly))
            break;
    }
    EXPECT_TRUE(file.isOpen()) << qPrintable(possiblePaths.join(QStringLiteral(", "))) << " not found";
    CheckTable table;
    while (file.isOpen() && !file.atEnd()) {
        const QString line = QString::fromUtf8(file.readLine()).trimmed();
        if (line.isEmpty() || line.startsWith(u'#'))
            continue;
        if (table.header.isEmpty())
            table.header = splitCsv(line);
        else
            table.rows.push_back(splitCsv(line));
    }
    return table;
}

inline std::optional<CheckTable> loadCheckTable(const char *name)
{
    const QString file = QString::fromLatin1(name);
    return loadTable({QStringLiteral("check-values/") + file, QStringLiteral("../check-values/") + file});
}

/// A log of the data folder, such as "glider/day252_ctd.csv".
inline std::optional<CheckTable> loadLog(const char *name)
{
    const QString file = QString::fromLatin1(name);
    return loadTable({QStringLiteral("data/") + file, file});
}

} // namespace holdfast::test
