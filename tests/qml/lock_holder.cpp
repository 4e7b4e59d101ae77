// SPDX-License-Identifier: GPL-3.0-or-later
// Another program that holds a cruise file locked for writing: lock_holder FILE MILLISECONDS
#include "store/database.h"

#include <QCoreApplication>
#include <QThread>
#include <cstdio>

int main(int argc, char **argv)
{
    const QCoreApplication app(argc, argv);
    auto db =
        holdfast::Database::open(QString::fromLocal8Bit(argv[1]), holdfast::Database::Access::ReadWrite);
    if (!db)
        return 1;
    auto transaction = holdfast::Transaction::begin(db->connection());
    if (!transaction)
        return 1;
    std::puts("locked");
    std::fflush(stdout);
    QThread::msleep(static_cast<unsigned long>(QByteArray(argv[2]).toLong()));
    return 0;
}
