// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/kept_statements.h"

#include <QHash>
#include <QVariant>
#include <algorithm>
#include <mutex>

namespace holdfast
{

namespace
{

// More than all fixed sentences of the program; only text with a number pasted into it can reach it.
constexpr qsizetype mostKept = 1000;
// A kept statement keeps what was bound to it.
constexpr qsizetype largeBytes = 4096;

using Kept = QHash<QString, QSqlQuery>;

std::mutex &mutex()
{
    static std::mutex m;
    return m;
}

QHash<QString, Kept> &store()
{
    static QHash<QString, Kept> s;
    return s;
}

bool beginsWith(const QString &sql, std::initializer_list<const char *> words)
{
    const QStringView text = QStringView(sql).trimmed();
    return std::any_of(words.begin(), words.end(), [text](const char *word) {
        return text.startsWith(QLatin1String(word), Qt::CaseInsensitive);
    });
}

bool isLarge(const QVariant &value)
{
    switch (value.typeId()) {
    case QMetaType::QByteArray:
        return value.toByteArray().size() > largeBytes;
    case QMetaType::QString:
        return value.toString().size() > largeBytes;
    default:
        return false;
    }
}

/// Qt reads the columns of a result once: what was compiled before a table changed does not see the new ones.
void forgetStatements(const QString &connectionName)
{
    Kept gone; // before the lock, so that they are finalised after it
    const std::lock_guard guard(mutex());
    if (const auto kept = store().find(connectionName); kept != store().end())
        gone.swap(*kept);
}

} // namespace

void keepStatements(const QString &connectionName)
{
    const std::lock_guard guard(mutex());
    store().insert(connectionName, {});
}

void dropStatements(const QString &connectionName)
{
    Kept gone; // before the lock, so that they are finalised after it
    const std::lock_guard guard(mutex());
    gone = store().take(connectionName);
}

std::optional<QSqlQuery> takeStatement(const QString &connectionName, const QString &sql)
{
    const std::lock_guard guard(mutex());
    const auto kept = store().find(connectionName);
    if (kept == store().end())
        return std::nullopt;
    const auto found = kept->find(sql);
    if (found == kept->end())
        return std::nullopt;
    QSqlQuery statement = std::move(*found);
    kept->erase(found);
    return statement;
}

void giveStatement(const QString &connectionName, const QString &sql, QSqlQuery statement)
{
    if (beginsWith(sql, {"CREATE", "ALTER", "DROP"})) {
        forgetStatements(connectionName);
        return;
    }
    if (!beginsWith(sql, {"SELECT", "INSERT", "UPDATE", "DELETE", "REPLACE", "WITH"}))
        return;
    const QVariantList bound = statement.boundValues();
    if (std::any_of(bound.begin(), bound.end(), isLarge))
        return;
    statement.finish();
    Kept gone; // before the lock, so that they are finalised after it
    const std::lock_guard guard(mutex());
    const auto kept = store().find(connectionName);
    if (kept == store().end() || kept->contains(sql))
        return;
    if (kept->size() >= mostKept)
        gone.swap(*kept);
    kept->insert(sql, std::move(statement));
}

} // namespace holdfast
