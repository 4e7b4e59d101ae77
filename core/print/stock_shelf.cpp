// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/stock_shelf.h"

#include "base/csv.h"
#include "base/template_folder.h"
#include "print/template_reader.h"

#include <QDir>
#include <QRegularExpression>
#include <QStandardPaths>

namespace holdfast
{

namespace
{

Result<QString> programFolder()
{
    const auto folder = templateFolder();
    if (!folder)
        return folder.error();
    return *folder + QStringLiteral("/labels");
}

QString ownPath(const QString &name)
{
    return QStringLiteral("%1/%2.json").arg(ownStockFolder(), name);
}

} // namespace

QString ownStockFolder()
{
    const QString named = qEnvironmentVariable("HOLDFAST_OWN_TEMPLATES");
    if (!named.isEmpty())
        return named + QStringLiteral("/labels");
    return QStandardPaths::writableLocation(QStandardPaths::GenericDataLocation) +
           QStringLiteral("/holdfast/templates/labels");
}

bool isOwnStock(const QString &name)
{
    return templateNamesIn(ownStockFolder()).contains(name);
}

Result<std::vector<LabelStock>> labelStocks()
{
    const auto folder = programFolder();
    if (!folder)
        return folder.error();
    auto stocks = loadLabelStocks(*folder);
    if (!stocks)
        return stocks;
    auto own = loadLabelStocks(ownStockFolder());
    if (!own)
        return own.error().whileDoing(QStringLiteral("Your own stock in %1").arg(ownStockFolder()));
    stocks->insert(stocks->end(), std::make_move_iterator(own->begin()), std::make_move_iterator(own->end()));
    return stocks;
}

Result<QByteArray> labelStockJson(const QString &name)
{
    const auto folder = programFolder();
    if (!folder)
        return folder.error();
    const QStringList program = templateNamesIn(*folder);
    if (program.contains(name))
        return readTemplateFile(*folder, name, QStringLiteral("label stock"));
    const QStringList own = templateNamesIn(ownStockFolder());
    if (own.contains(name))
        return readTemplateFile(ownStockFolder(), name, QStringLiteral("label stock"));
    return fail(ErrorKind::NotFound, QStringLiteral("There is no label stock \"%1\"; there are %2.")
                                         .arg(name, (program + own).join(QStringLiteral(", "))));
}

Result<LabelStock> labelStock(const QString &name)
{
    const auto json = labelStockJson(name);
    if (!json)
        return json.error();
    return readLabelStock(*json, name, QStringLiteral("Label stock %1.json").arg(name));
}

Done saveOwnStock(const QString &name, const QByteArray &json)
{
    static const QRegularExpression good(QStringLiteral("^[A-Za-z0-9_-]{1,60}$"));
    if (!good.match(name).hasMatch())
        return fail(
            ErrorKind::Usage,
            QStringLiteral("\"%1\" can't be the name of a stock: letters, digits, - and _ are possible.")
                .arg(name));
    const auto folder = programFolder();
    if (!folder)
        return folder.error();
    if (templateNamesIn(*folder).contains(name))
        return fail(ErrorKind::Usage,
                    QStringLiteral("%1 came with the program and stays as it is; give yours another name.")
                        .arg(name));
    if (auto read = readLabelStock(json, name, QStringLiteral("Label stock %1").arg(name)); !read)
        return read.error();
    if (!QDir().mkpath(ownStockFolder()))
        return fail(ErrorKind::Unwritable,
                    QStringLiteral("The folder %1 can't be made.").arg(ownStockFolder()));
    return writeWhole(ownPath(name), json);
}

} // namespace holdfast
