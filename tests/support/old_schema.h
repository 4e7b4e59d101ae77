// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "store/schema.h"
#include "store/sql.h"

#include <QRegularExpression>
#include <gtest/gtest.h>

namespace holdfast::test
{

/// The view of that name as the steps up to `version` left it; nothing when they made none.
inline QString earlierView(const QString &name, int version)
{
    QString found;
    for (const SchemaStep &step : schemaSteps()) {
        for (const char *sql : step.statements) {
            const QString text = QString::fromUtf8(sql);
            if (step.to <= version && text.startsWith(QStringLiteral("CREATE VIEW %1 ").arg(name)))
                found = text;
        }
    }
    return found;
}

/// Takes away the tables, columns, views, triggers and indexes that the steps after `version` added, so that
/// a file is as that version left it.
inline void dropTablesOfStepsAfter(const QSqlDatabase &connection, int version)
{
    static const QRegularExpression made(
        QStringLiteral("CREATE (?:VIRTUAL )?(TABLE|VIEW|TRIGGER|INDEX) (\\w+)"));
    static const QRegularExpression column(QStringLiteral("ALTER TABLE (\\w+) ADD COLUMN (\\w+)"));
    const auto steps = schemaSteps();
    for (auto step = steps.rbegin(); step != steps.rend() && step->to > version; ++step) {
        for (auto sql = step->statements.rbegin(); sql != step->statements.rend(); ++sql) {
            const auto match = made.match(QString::fromUtf8(*sql));
            if (match.hasMatch())
                ASSERT_OK(execSql(
                    connection,
                    QStringLiteral("DROP %1 IF EXISTS %2").arg(match.captured(1), match.captured(2))));
            // A view that a later step made anew gets its earlier form back: triggers look through it.
            if (match.captured(1) == QLatin1String("VIEW")) {
                if (const QString before = earlierView(match.captured(2), step->to - 1); !before.isEmpty())
                    ASSERT_OK(execSql(connection, before));
            }
            const auto added = column.match(QString::fromUtf8(*sql));
            if (added.hasMatch())
                ASSERT_OK(execSql(connection, QStringLiteral("ALTER TABLE %1 DROP COLUMN %2")
                                                  .arg(added.captured(1), added.captured(2))));
        }
    }
}

} // namespace holdfast::test
