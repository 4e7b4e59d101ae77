// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/dataset_about.h"

#include "base/template_folder.h"

#include <QFile>
#include <QFileInfo>
#include <QJsonArray>
#include <QJsonDocument>
#include <QSaveFile>

namespace holdfast
{

namespace
{

Error wrong(const QString &where, const QString &key, const QString &expected)
{
    return fail(ErrorKind::Malformed, QStringLiteral("%1: \"%2\" must be %3.").arg(where, key, expected));
}

Result<DatasetAbout::Person> personOf(const QJsonValue &value, const QString &where, const QString &key)
{
    if (!value.isObject())
        return wrong(where, key, QStringLiteral("an object with name, organisation and email"));
    DatasetAbout::Person person;
    const QJsonObject o = value.toObject();
    for (auto it = o.begin(); it != o.end(); ++it) {
        if (!it.value().isString())
            return wrong(where, key + QLatin1Char('.') + it.key(), QStringLiteral("a text"));
        if (it.key() == QLatin1String("name"))
            person.name = it.value().toString().trimmed();
        else if (it.key() == QLatin1String("organisation"))
            person.organisation = it.value().toString().trimmed();
        else if (it.key() == QLatin1String("email"))
            person.email = it.value().toString().trimmed();
        else
            return wrong(where, key + QLatin1Char('.') + it.key(),
                         QStringLiteral("name, organisation or email"));
    }
    return person;
}

QJsonObject jsonOf(const DatasetAbout::Person &person)
{
    QJsonObject o;
    for (const auto &[key, text] :
         {std::pair("name", &person.name), std::pair("organisation", &person.organisation),
          std::pair("email", &person.email)}) {
        if (!text->isEmpty())
            o.insert(QLatin1String(key), *text);
    }
    return o;
}

} // namespace

Result<DatasetAbout> DatasetAbout::parse(const QJsonObject &json, const QString &where)
{
    DatasetAbout about;
    const QHash<QString, QString *> texts{{QStringLiteral("title"), &about.title},
                                          {QStringLiteral("abstract"), &about.abstract},
                                          {QStringLiteral("purpose"), &about.purpose},
                                          {QStringLiteral("citation"), &about.citation},
                                          {QStringLiteral("licence"), &about.licence},
                                          {QStringLiteral("rightsHolder"), &about.rightsHolder},
                                          {QStringLiteral("institutionCode"), &about.institutionCode},
                                          {QStringLiteral("collectionCode"), &about.collectionCode},
                                          {QStringLiteral("embargoUntil"), &about.embargoUntil},
                                          {QStringLiteral("project"), &about.project}};
    for (auto it = json.begin(); it != json.end(); ++it) {
        if (QString *const text = texts.value(it.key(), nullptr)) {
            if (!it.value().isString())
                return wrong(where, it.key(), QStringLiteral("a text"));
            *text = it.value().toString().trimmed();
        } else if (it.key() == QLatin1String("contact")) {
            auto person = personOf(it.value(), where, it.key());
            if (!person)
                return person.error();
            about.contact = *person;
        } else if (it.key() == QLatin1String("creators") && it.value().isArray()) {
            const QJsonArray list = it.value().toArray();
            for (const QJsonValue &v : list) {
                auto person = personOf(v, where, it.key());
                if (!person)
                    return person.error();
                about.creators.push_back(*person);
            }
        } else if (it.key() == QLatin1String("permits") && it.value().isArray()) {
            const QJsonArray list = it.value().toArray();
            for (const QJsonValue &v : list)
                about.permits << v.toString().trimmed();
        } else {
            return wrong(where, it.key(),
                         QStringLiteral(
                             "one of title, abstract, purpose, citation, creators, contact, licence, "
                             "rightsHolder, institutionCode, collectionCode, embargoUntil, project, permits "
                             "(creators and permits are lists)"));
        }
    }
    return about;
}

Result<DatasetAbout> DatasetAbout::read(const QString &path)
{
    QFile file(path);
    if (!file.open(QIODevice::ReadOnly))
        return fail(ErrorKind::Unreadable,
                    QStringLiteral("%1 can't be read: %2.").arg(path, file.errorString()));
    const auto json = parseJsonObject(file.readAll(), path);
    if (!json)
        return json.error();
    return parse(*json, path);
}

QString DatasetAbout::pathBeside(const QString &cruisePath)
{
    const QFileInfo cruise(cruisePath);
    return cruise.path() + QLatin1Char('/') + cruise.completeBaseName() + QStringLiteral(".about.json");
}

Result<DatasetAbout> DatasetAbout::beside(const QString &cruisePath)
{
    const QString path = pathBeside(cruisePath);
    return QFileInfo::exists(path) ? read(path) : DatasetAbout();
}

QJsonObject DatasetAbout::json() const
{
    QJsonObject o;
    const std::pair<const char *, const QString *> texts[] = {{"title", &title},
                                                              {"abstract", &abstract},
                                                              {"purpose", &purpose},
                                                              {"citation", &citation},
                                                              {"licence", &licence},
                                                              {"rightsHolder", &rightsHolder},
                                                              {"institutionCode", &institutionCode},
                                                              {"collectionCode", &collectionCode},
                                                              {"embargoUntil", &embargoUntil},
                                                              {"project", &project}};
    for (const auto &[key, text] : texts) {
        if (!text->isEmpty())
            o.insert(QLatin1String(key), *text);
    }
    if (contact != Person())
        o.insert(QStringLiteral("contact"), jsonOf(contact));
    QJsonArray people;
    for (const Person &p : creators)
        people.append(jsonOf(p));
    if (!people.isEmpty())
        o.insert(QStringLiteral("creators"), people);
    if (!permits.isEmpty())
        o.insert(QStringLiteral("permits"), QJsonArray::fromStringList(permits));
    return o;
}

Done DatasetAbout::write(const QString &path) const
{
    QSaveFile file(path);
    const QByteArray bytes = QJsonDocument(json()).toJson(QJsonDocument::Indented);
    if (!file.open(QIODevice::WriteOnly) || file.write(bytes) != bytes.size() || !file.commit())
        return fail(ErrorKind::Unwritable,
                    QStringLiteral("%1 can't be written: %2.").arg(path, file.errorString()));
    return {};
}

} // namespace holdfast
