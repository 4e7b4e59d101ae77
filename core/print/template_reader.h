// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QJsonObject>
#include <QRectF>
#include <QSet>
#include <QString>
#include <QStringList>
#include <memory>
#include <optional>
#include <vector>

namespace holdfast
{

/// One JSON object of a template, read field by field. The first fault is kept and every later read gives a
/// harmless value, so that a reader can be written straight down and ask fault() once at its end. Fields that
/// nobody asked for are a fault too: a misspelt name must not be passed over.
class TemplateObject
{
public:
    /// Error Malformed with line and column when `json` is not one JSON object. `where` names the file.
    [[nodiscard]] static Result<TemplateObject> parse(const QByteArray &json, const QString &where);

    [[nodiscard]] bool has(const QString &key) const { return m_object.contains(key); }
    double number(const QString &key, double least, double most, std::optional<double> otherwise = {});
    int whole(const QString &key, int least, int most, std::optional<int> otherwise = {});
    bool flag(const QString &key, bool otherwise);
    QString text(const QString &key, const std::optional<QString> &otherwise = {});
    QString word(const QString &key, const QStringList &allowed,
                 const std::optional<QString> &otherwise = {});
    QStringList words(const QString &key, const QStringList &allowed);
    QStringList texts(const QString &key, const QStringList &otherwise);
    TemplateObject object(const QString &key);
    std::vector<TemplateObject> objects(const QString &key);

    /// Says that all fields have been asked for; what is left over is a fault.
    void finish();
    /// Adds a fault of the reader's own, about the whole object or one of its fields.
    void addFault(const QString &key, const QString &sentence);
    [[nodiscard]] std::optional<Error> fault() const;

private:
    struct Fault {
        QString where;
        std::optional<Error> first;
    };
    TemplateObject(QJsonObject object, QString path, std::shared_ptr<Fault> fault)
        : m_object(std::move(object)), m_path(std::move(path)), m_fault(std::move(fault))
    {
    }
    [[nodiscard]] QString pathOf(const QString &key) const;
    void expected(const QString &key, const QString &what);
    QJsonValue take(const QString &key);

    QJsonObject m_object;
    QString m_path = {};
    std::shared_ptr<Fault> m_fault;
    QSet<QString> m_asked;
};

/// The bytes of the template `name` (without .json) in `folder`. Error NotFound lists what is there.
[[nodiscard]] Result<QByteArray> readTemplateFile(const QString &folder, const QString &name,
                                                  const QString &what);
/// The names of the templates in a folder, sorted.
[[nodiscard]] QStringList templateNamesIn(const QString &folder);

} // namespace holdfast
